"""What a person tapped or typed on a part's page, as the part that is asked next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from idkit import flows
from idkit.errors import CallError
from idkit.show.web.looking import Asked, Picture
from idkit.vocabulary import Check

SIZES = (0.05, 0.08, 0.12, 0.18, 0.27)  # side of the tapped box, of the part's longer side
FIRST = 2  # of these
NOTE = 500  # letters

Form = Mapping[str, str]


def answered(asked: Asked, form: Form) -> Asked:
    """The part after a form of its questions; CallError where what was typed can't be read."""
    if "forget" in form:
        return replace(asked, typed={each: said for each, said in asked.typed.items() if each != form["forget"]})
    if "note" in form:
        return replace(asked, note=form["note"].strip()[:NOTE])
    if "scratched" in form:
        return replace(asked, scratched=form["scratched"] == "yes", box=None)
    name = form.get("check", "")
    if name not in checks():
        raise CallError("check", f"got {name!r}", ", ".join(checks()))
    if "skip" in form or "unsafe" in form:
        return replace(asked, skipped=asked.skipped | {name}, unsafe=asked.unsafe or "unsafe" in form)
    return replace(asked, typed={**asked.typed, **_typed(name, form)}, skipped=asked.skipped - {name})


def _typed(name: str, form: Form) -> dict[str, str]:
    """The answers in a form: the button that was tapped, or what was typed for each line of the question."""
    lines = {each: form.get(f"line-{each}", "") for each in (name, *checks()[name].by)}
    said = {name: form["say"]} if form.get("say") else {each: text for each, text in lines.items() if text.strip()}
    if not said:
        raise CallError(name.replace("-", " "), "got nothing", "one of the answers", "or skip it")
    for each, text in said.items():
        checks()[each].parse(text)
    return {each: text.strip() for each, text in said.items()}


def tapped(asked: Asked, form: Form, pictures: tuple[Picture, ...]) -> Asked:
    """The part after a tap on one of its photos, or after a button that changes the box that a tap made."""
    if "clear" in form:
        return replace(asked, box=None)
    if "bare" in form:
        return _named_bare(asked, form, pictures)
    if "size" in form and asked.box is not None:
        number, (left, top, across, down) = asked.box
        middle = left + across // 2, top + down // 2
        return replace(asked, box=(number, box_about(pictures[number], middle, form["size"], across)))
    number = _whole(form.get("photo", "")) or 0
    x, y, wide, high = (_whole(form.get(name, "")) for name in ("tap.x", "tap.y", "wide", "high"))
    if number >= len(pictures) or x is None or y is None or not wide or not high or (x, y) == (0, 0):
        raise CallError("scratch", "got no place", "a tap on the photo, where bare metal shows")
    picture = pictures[number]
    at = min(x, wide - 1) * picture.width // wide, min(y, high - 1) * picture.height // high
    return replace(asked, scratched=False, box=(number, box_about(picture, at)))


def _named_bare(asked: Asked, form: Form, pictures: tuple[Picture, ...]) -> Asked:
    """The part after a person said that the bare metal found in a photo is that."""
    number = _whole(form["bare"])
    box = pictures[number].bare if number is not None and number < len(pictures) else None
    if number is None or box is None:
        raise CallError("scratch", "got no bare metal", "a tap on the photo, where it shows")
    return replace(asked, scratched=False, box=(number, box))


def box_about(picture: Picture, at: tuple[int, int], change: str = "", now: int = 0) -> tuple[int, int, int, int]:
    """A square about a place in a photo, in its pixels, within it; `change` makes one of side `now` larger or smaller.

    >>> box_about(Picture(b"", 1000, 800, (), (100, 100, 500, 200), None, None), (10, 400))
    (0, 370, 40, 60)
    """
    _, _, *sides = picture.part or (0, 0, picture.width, picture.height)
    steps = [max(8, round(share * max(sides))) for share in SIZES]
    nearest = min(range(len(steps)), key=lambda step: abs(steps[step] - now)) if now else FIRST
    step = nearest + {"larger": 1, "smaller": -1}.get(change, 0)
    half = steps[min(max(step, 0), len(steps) - 1)] // 2
    left, top = max(0, at[0] - half), max(0, at[1] - half)
    right, bottom = min(picture.width, at[0] + half), min(picture.height, at[1] + half)
    return left, top, right - left, bottom - top


def checks() -> dict[str, Check]:
    """Every check by its name, the quickest first."""
    return {check.name: check for check in flows.known_checks()}


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else None
