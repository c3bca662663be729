"""How often each fault of a photo is said, untouched and spoilt: python tests/bench/fitness.py [FOLDER] [EVERY]

Pictures are those of FOLDER, else the real coins, look-alikes and full-size photographs that stand beside the project,
and always the sample pictures, which are rendered. All are looked at untouched, and with EVERY only each n-th
spoilt. Each is saved as a JPEG of quality 92 again; exposure moves in linear light and clips.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from photographs import HOME, say

from idkit import see
from idkit.see.srgb import linear_to_srgb, srgb_to_linear

SAMPLES = Path(__file__).resolve().parents[2] / "sample_images"
Picture = NDArray[np.uint8]  # blue, green, red
Spoil = Callable[[Picture], Picture]
SEPIA = np.array([[0.131, 0.534, 0.272], [0.168, 0.686, 0.349], [0.189, 0.769, 0.393]])  # widely used, from memory
Said = dict[str, tuple[str, set[str]]]  # by spoiling: the fault wanted, and those said
NEVER = "(untouched)"


def grey(picture: Picture) -> Picture:
    """Without colour, still three channels."""
    return np.asarray(cv2.cvtColor(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), cv2.COLOR_GRAY2BGR), np.uint8)


def codes(values: NDArray[np.float64]) -> Picture:
    """Rounded and cut off at 0 and 255."""
    return np.clip(np.round(values), 0, 255).astype(np.uint8)


def exposed(picture: Picture, stops: float) -> Picture:
    """That many stops more, clipped."""
    return codes(255 * linear_to_srgb(srgb_to_linear(picture / 255) * 2.0**stops))


def noisy_grey(picture: Picture) -> Picture:
    """Greyscale with noise of colour, 2 codes."""
    return codes(grey(picture) + np.random.default_rng(1).normal(0, 2, picture.shape))


def saturated(picture: Picture) -> Picture:
    """Two and a half times as far from grey."""
    return codes(grey(picture) + 2.5 * (picture.astype(float) - grey(picture)))


def levels(picture: Picture, count: int) -> Picture:
    """Each channel in so many levels."""
    return codes(np.round(picture / 255 * (count - 1)) * 255 / (count - 1))


def longest(picture: Picture, side: int) -> Picture:
    """The longer side at that many pixels."""
    scale = side / max(picture.shape[:2])
    return np.asarray(cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8)


def moved(picture: Picture, pixels: float) -> Picture:
    """Smeared along a row."""
    return np.asarray(cv2.blur(picture, (max(3, round(pixels)), 1)), np.uint8)


def two_lights(picture: Picture) -> Picture:
    """As under a lamp on one side and a window on the other, three quarters as bright."""
    share = 1 / (1 + np.exp(-np.linspace(-4, 4, picture.shape[1])))[:, None]
    light = (1 - share) * np.array([0.6, 1.0, 1.25]) + share * np.array([1.15, 1.0, 0.9])  # blue, green, red
    return codes(255 * linear_to_srgb(0.75 * srgb_to_linear(picture / 255) * light))


def framed(picture: Picture) -> Picture:
    """With a white frame about it."""
    width = max(4, round(0.05 * max(picture.shape[:2])))
    return np.asarray(np.pad(picture, ((width, width), (width, width), (0, 0)), constant_values=255), np.uint8)


def spoilings(side: float) -> Iterator[tuple[str, str, Spoil]]:
    """What is done, the fault that should be said, and how, for a part of that many pixels."""
    yield NEVER, "", lambda picture: picture
    for share in (1, 2, 3, 5):
        sigma = side * share / 100
        yield f"blur, sigma {share} % of the part", "blurred", partial(cv2.GaussianBlur, ksize=(0, 0), sigmaX=sigma)
    yield "moved by 10 % of the part", "blurred", partial(moved, pixels=0.1 * side)
    for stops in (-3, -2, -1, 1, 2, 3):
        yield f"{stops:+d} stops", "dark" if stops < 0 else "blown-out or blown-white", partial(exposed, stops=stops)
    yield "saturation x 2.5", "strong-colours", saturated
    yield "4 levels", "few-levels", partial(levels, count=4)
    yield "8 levels", "few-levels", partial(levels, count=8)
    yield "sepia", "one-tint", lambda picture: codes(picture @ SEPIA.T)
    yield "greyscale", "greyscale", grey
    yield "greyscale, noise of colour", "greyscale", noisy_grey
    yield "40 pixels", "small", partial(longest, side=40)
    yield "lamp and window", "two-lights", two_lights
    yield "white frame, 5 % wide", "border", framed


def faults(picture: Picture, path: Path) -> set[str]:
    """Names of the faults said of a picture saved there."""
    assert cv2.imwrite(str(path), picture, [cv2.IMWRITE_JPEG_QUALITY, 92])
    photo = see.read(path)
    part = see.find(photo)
    said = see.problems(photo, part, see.white(photo, part) if part else None)
    return {fault.name for fault in see.FAULTS if fault.message in said} | (set() if photo.coloured else {"greyscale"})


def look(path: Path, *, untouched: bool) -> Said:
    """For every spoiling, or none: the fault wanted and those said."""
    cv2.setNumThreads(1)
    picture = cv2.imread(str(path))
    part = see.find(see.read(path))
    side = max(part.box[2:]) if part else 0.6 * max(picture.shape[:2])
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "spoilt.jpg"
        wanted = [each for each in spoilings(side) if (each[0] == NEVER) == untouched]
        return {name: (fault, faults(spoil(picture), place)) for name, fault, spoil in wanted}


def report_untouched(title: str, found: list[Said]) -> None:
    """How often each fault is said of pictures as they are."""
    said = Counter(fault for each in found for fault in each[NEVER][1])
    names = (*(fault.name for fault in see.FAULTS), "greyscale")
    rates = ", ".join(f"{name} {said[name]} ({100 * said[name] / len(found):.1f} %)" for name in names)
    say(f"{title}: {len(found)} pictures untouched: {rates}")


def report_spoilt(found: list[Said]) -> None:
    """How often what is wanted is said, by spoiling."""
    for name, (wanted, _) in found[0].items():
        hits = sum(bool(set(wanted.split(" or ")) & each[name][1]) for each in found)
        say(f"  {name}: said {wanted} of {hits}/{len(found)} ({100 * hits / len(found):.1f} %)")


def main() -> int:
    """Print the tables; 3 where the folder is missing."""
    named = [Path(argument) for argument in sys.argv[1:2]]
    every = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    folders = named or [folder for name in ("coins", "look-alikes", "full-size") if (folder := HOME / name).is_dir()]
    if not all(folder.is_dir() for folder in folders):
        say(f"{folders[0]}: no such folder")
        return 3
    for folder in (SAMPLES, *folders):
        pictures = sorted(folder.glob("*.jpg"))
        with ProcessPoolExecutor() as pool:
            report_untouched(folder.name, list(pool.map(partial(look, untouched=True), pictures)))
            report_spoilt(
                list(pool.map(partial(look, untouched=False), pictures[:: every if folder != SAMPLES else 1]))
            )
    return 0


if __name__ == "__main__":
    sys.exit(main())
