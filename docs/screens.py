"""The pictures of the phone page in docs/screens, taken of the page itself: python docs/screens.py [FOLDER]

Opens the page in a store that is thrown away, sends it a sample part with Debian's Chromium as a phone would, and takes
each screen as it is met, in light and, of some, in the dark.
"""

from __future__ import annotations

import io
import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from PIL import Image

DOCS = Path(__file__).resolve().parent
SAMPLES = DOCS.parent / "sample_images"
COLOURS = 128  # of a picture, so that it stays small
sys.path.insert(0, str(DOCS.parent / "tests" / "bench"))


def main(arguments: list[str]) -> int:
    """Take every screen into the folder, docs/screens if none is named."""
    from served import NAME, PHONE, chromium, served

    folder = Path(arguments[0]) if arguments else DOCS / "screens"
    folder.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as home,
        _sold(Path(home)),
        served(Path(home), "--lan", "--name", NAME) as link,
        chromium() as browser,
    ):
        light = browser.new_context(**PHONE, color_scheme="light").new_page()
        _through(light, link, folder)
        dark = browser.new_context(**PHONE, color_scheme="dark").new_page()
        _in_the_dark(dark, link, folder)
        stranger = browser.new_context(**PHONE).new_page()
        stranger.goto(link[:-1])
        _take(stranger, folder, "wrong-key")
    return 0


@contextmanager
def _sold(home: Path) -> Iterator[None]:
    """A yard and the invented prices of docs/a-load in the store of the page."""
    from idkit.show.cli import run

    os.environ["IDKIT_HOME"] = str(home)
    run(["yard", "new", "Old Quay Metals", "--ton", "ton=tonne"])
    run(["prices", "use", str(DOCS / "a-load" / "prices.csv")])
    yield


def _through(page: Any, link: str, folder: Path) -> None:
    """From photo to verdict to kept to confirmed."""
    page.goto(link)
    _take(page, folder, "start")
    page.set_input_files("input[multiple]", SAMPLES / "angle-valve.jpg")
    page.wait_for_selector("text=Does a magnet pull on it?")
    _take(page, folder, "part")
    _tap_scratch(page)
    page.locator("#photos").scroll_into_view_if_needed()
    page.evaluate("document.querySelector('#photos').scrollIntoView()")
    _take(page, folder, "scratch")
    page.tap("text=no pull")
    page.wait_for_selector("text=You said")
    _take(page, folder, "asked")
    page.tap("button:has-text('fitting')")
    page.wait_for_selector("text=form fitting")
    _take(page, folder, "answered")
    page.tap("button:text-is('Keep')")
    page.wait_for_selector("text=Kept as record")
    _take(page, folder, "kept")
    page.tap("text=What did the yard say?")
    page.wait_for_selector("text=What did it turn out to be?")
    _take(page, folder, "record")
    page.tap("button:text-is('yellow brass')")
    page.wait_for_selector("text=Who says so?")
    _take(page, folder, "who-says")
    page.tap("text=The yard")
    page.wait_for_selector("text=the yard says yellow brass")
    page.tap("text=Put it on the load")
    page.wait_for_selector("text=Take off")
    _weigh(page, "copper", "6.2 kg", "1.2 kg", "bathroom pipe")
    _weigh(page, "light-iron", "14 kg", "1.2 kg", "shelf brackets")
    _take(page, folder, "load")
    page.tap("nav >> text=Records")
    page.wait_for_selector("h1:text-is('Records')")
    _take(page, folder, "records")
    page.tap("text=Phones")
    page.wait_for_selector("text=Another phone")


def _weigh(page: Any, category: str, gross: str, tare: str, what: str) -> None:
    """Put a weighed line on the load."""
    page.tap("text=Weigh something onto it")
    page.select_option("select[name=category]", category)
    for name, typed in (("gross", gross), ("tare", tare), ("what", what)):
        page.fill(f"input[name={name}]", typed)
    page.tap("text=Put it on")
    page.wait_for_selector(f"text={what}")


def _in_the_dark(page: Any, link: str, folder: Path) -> None:
    page.goto(link)
    page.set_input_files("input[multiple]", SAMPLES / "hinge.jpg")
    page.wait_for_selector("text=Does a magnet pull on it?")
    _take(page, folder, "dark")
    page.tap("text=no pull")
    page.wait_for_selector("text=You said")
    page.goto(page.url + "?ask=weight-in-water")
    _take(page, folder, "dark-weighing")


def _tap_scratch(page: Any) -> None:
    photo = page.locator("input[type=image]")
    box = photo.bounding_box()
    photo.tap(position={"x": 0.46 * box["width"], "y": 0.31 * box["height"]})
    page.wait_for_selector("text=Larger box")


def _take(page: Any, folder: Path, name: str) -> None:
    """What a phone shows now, once its pictures are there."""
    page.wait_for_load_state("networkidle")
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    few = picture.quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(folder / f"{name}.png", optimize=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
