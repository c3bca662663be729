"""A picture cut down to few levels, as posterising filters and small palettes do."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.srgb import in_8_bits
from idkit.vocabulary import Fault, Floats, Mask, Scene

Codes = NDArray[np.uint8]

LOOKED_AT = 512  # longer side, in pixels of the photo, of the middle that is looked at
FLAT = 10  # codes that a pixel and its neighbours may span
NEAR = 4  # codes that JPEG moves a level
SPACINGS = np.geomspace(24, 90, 60)  # codes from one level to the next that are tried: four to eleven levels
END = 5  # codes at either end of the range that are left out: clipped photos are full of them
FEWEST, SHARE, LEAST = 400, 0.015, 20  # flat pixels that are needed; share and number of them that make a level
ENOUGH = 3  # levels of a channel that it takes to tell
FEWEST_STEPS = 10_000  # between neighbours, that are needed: a tiny picture's are of all sizes
MOST_KEPT, MOST_FAVOURED = 0.35, 1.2  # what photographs stay under


def few_levels(scene: Scene) -> float:
    """How far over what photographs reach a sign of few levels is, the clearer of two; 1 is as far as they reach.

    Flat pixels keep to evenly spaced levels, or the steps between neighbours have a favourite size. The first shows in
    a plain subject, the second in a busy one and with four levels.
    """
    codes = in_8_bits(scene.photo.encoded[_looked_at(scene)])
    return max(levels_kept(codes) / MOST_KEPT, favoured_step(codes[..., 1], _outline(scene)) / MOST_FAVOURED)


def levels_kept(codes: Codes) -> float:
    """How far flat pixels keep to evenly spaced levels from black, 0 as chance has it to 1 all; 0 with few of them.

    Flat is a pixel whose neighbours differ little. For every spacing that is tried, each level that has enough of them
    is asked how many lie near it: nearly all in a picture of few levels, whatever its subject, and as many as there
    are codes near it in a photo. Every level counts alike, else a plain ground would decide, and a channel counts from
    three levels on: an even part on an even ground shows two in any photo. `codes` is height x width x 3.
    """
    around = np.ones((3, 3), np.uint8)
    span = cv2.dilate(codes, around) - cv2.erode(codes, around)
    flat = cv2.inRange(span, (0, 0, 0), (FLAT, FLAT, FLAT))
    size = cv2.countNonZero(flat)
    if size < FEWEST:
        return 0.0
    counts = np.stack([_counted(codes, channel, flat)[END:-END] for channel in range(3)], axis=1)
    kept = _kept(counts, max(SHARE * size, LEAST))
    return float(kept.mean(axis=1).max())


def _counted(codes: Codes, channel: int, inside: cv2.typing.MatLike) -> Floats:
    """How many pixels there are of each of 256 codes."""
    return cv2.calcHist([codes], [channel], inside, [256], [0, 256]).ravel().astype(np.float64)


def _kept(counts: Floats, least: float) -> Floats:
    """Mean over the levels of the share of pixels near them, less what chance gives, by spacing and column of counts.

    `counts` are of codes from END on, codes x channels.
    """
    here, near = (table @ counts for table in _tables())
    told = here > least
    told[:, 0] = False
    shares = np.where(told, near / np.maximum(here, 1), 0.0).sum(axis=1) / np.maximum(told.sum(axis=1), 1)
    by_chance = ((2 * NEAR + 1) / SPACINGS)[:, None]
    return np.where(told.sum(axis=1) < ENOUGH, 0.0, (shares - by_chance) / (1 - by_chance))


@cache
def _tables() -> tuple[Floats, Floats]:
    """Which codes belong to each level, and which lie near it: spacings x levels x codes from END on, of 0 and 1."""
    codes = np.arange(END, 256 - END)
    level = np.round(codes / SPACINGS[:, None]).astype(int)
    here = (level[:, None] == np.arange(level.max() + 1)[:, None]).astype(float)
    near = np.abs(codes - level * SPACINGS[:, None]) <= NEAR
    return here, here * near[:, None]


def favoured_step(green: Codes, outline: Mask) -> float:
    """How far the steps between neighbouring codes have a favourite size: 1 where small ones are always more frequent,
    as photos have it, and more where the picture was cut down to few levels. The part's outline is left out; 0 for a
    tiny picture.
    """
    clear = (~outline).astype(np.uint8)
    often = np.zeros(256)
    for down, right in ((1, 0), (0, 1)):
        rows, columns = green.shape[0] - down, green.shape[1] - right
        steps = cv2.absdiff(green[down:, right:], green[:rows, :columns])
        both = cv2.bitwise_and(clear[down:, right:], clear[:rows, :columns])
        often += cv2.calcHist([steps], [0], both, [256], [0, 256]).ravel() if rows and columns else 0
    count = float(often.sum())
    if count < FEWEST_STEPS:
        return 0.0
    bell = np.exp(-0.5 * (np.arange(-6, 7) / 2.0) ** 2)
    smooth = np.convolve(often[:100], bell / bell.sum(), "same")[4:90] + 3e-4 * count
    return float((smooth / np.minimum.accumulate(smooth)).max())


def _looked_at(scene: Scene) -> tuple[slice, slice]:
    """Rows and columns that are looked at: the middle of the photo; of one of the card that of the part on it, for
    what is printed beside it has few levels.
    """
    height, width = scene.photo.encoded.shape[:2]
    on_card = scene.part is not None and scene.white is not None and scene.white.kind == "card"
    x, y, across, down = scene.part.box if on_card and scene.part is not None else (0, 0, width, height)
    return _middle(y, down), _middle(x, across)


def _middle(first: int, side: int) -> slice:
    start = first + max(0, (side - LOOKED_AT) // 2)
    return slice(start, min(start + LOOKED_AT, first + side))


def _outline(scene: Scene) -> Mask:
    """Where the part's outline is in what is looked at, three pixels of Photo.linear either side."""
    height, width = scene.photo.encoded.shape[:2]
    rows, columns = _looked_at(scene)
    if scene.part is None:
        return np.zeros((height, width), bool)[rows, columns]
    near = cv2.morphologyEx(scene.part.mask.astype(np.uint8), cv2.MORPH_GRADIENT, np.ones((7, 7), np.uint8)) > 0
    down, across = (np.arange(size) * small // size for size, small in zip((height, width), near.shape, strict=True))
    return np.asarray(near[down[rows]][:, across[columns]])


FAULTS = (
    Fault(
        "few-levels",
        "the picture was cut down to a few levels: take it without a filter, or send the file as the phone made it",
        few_levels,
        limit=1.0,
        worst=2.0,
        doubt=0.5,
        colour=True,
        source="histograms of flat pixels and of steps between neighbours",
    ),
)
