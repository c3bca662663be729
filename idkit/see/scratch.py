"""Where bare metal shows: a filed or scratched spot on a part whose skin is something else.

A file leaves one small region of even colour with sharp edges, unlike everything around it and found nowhere else on
the part. Relief, tarnish and highlights make regions too, but soft ones, or many alike, or of the skin's own colour.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from heapq import heappush, heapreplace
from itertools import islice

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.light import luminance, ratios, some
from idkit.see.part import ground_of
from idkit.see.traits import FEWEST, chance, median, narrowing, reach_of
from idkit.vocabulary import Image, Mask, Part, Photo, Scratch, White

SIDE = 192  # longer side of the part, in pixels, at which it is looked at
SMALLEST, LARGEST = 0.007, 0.3  # share of the part
MOST = 20_000  # pixels of ground and spot whose colours are compared, evenly spaced
FLOOR = (
    0.012  # added to linear light before the logarithm: what noise and JPEG leave of colour in the dark; from memory
)
LEAST = 0.2  # chance under which nothing is told: one in ten photos shows filed metal anyway; from memory
FILED = 0.8  # share of spots as even and sharp as filed ones that are no tape, label or rust; from memory
AS_LIKELY_A_HOLE = 0.5  # share of spots of the ground's own colour that are no hole; from memory

Bytes = NDArray[np.uint8]


@dataclass(frozen=True)
class Candidate:
    """A region at the looked-at size: `piece` of it lies at `place`, its left and top; the next three cover its
    surroundings, rows x columns, `planes` 3 x rows x columns. `rest` are colours all over the part, 3 x n; `total` is
    how many pixels the part has.
    """

    piece: Mask
    place: tuple[int, int]
    mask: Mask
    planes: Image
    inside: Mask
    rest: Image
    total: int


@dataclass(frozen=True)
class Region:
    """One candidate: its pixels at the looked-at size, of which `piece` lies at `place`, its left and top, and what is
    measured of it, by name."""

    piece: Mask
    place: tuple[int, int]
    traits: dict[str, float]

    def mask(self, shape: tuple[int, ...]) -> Mask:
        """Where it is in a picture of that shape."""
        return _placed(self.piece, *self.place, shape)


def find_scratch(photo: Photo, part: Part, white: White) -> Scratch | None:
    """The likeliest spot of bare metal, or None where no region stands out at all.

    `certainty`, FILED at the most, is the chance that it is filed or scratched metal (see traits.py). A photo without
    colour has none, nor has a part smaller than 48 pixels across.
    """
    if not photo.coloured:
        return None
    image, inside = looked_at(photo, part)
    if min(image.shape[:2]) < 24 or max(image.shape[:2]) < 48:
        return None
    best = _likeliest(_candidates(image, inside, white))
    return _named(best, inside.shape, photo, part) if best is not None else None


def looked_at(photo: Photo, part: Part) -> tuple[Image, Mask]:
    """The part's own piece of the photo in linear light, its longer side at most SIDE, and where in it the part is."""
    top, bottom, left, right = _crop(part.mask)
    light, inside = photo.linear[top:bottom, left:right], part.mask[top:bottom, left:right].astype(np.float32)
    scale = SIDE / max(light.shape[:2])
    if scale < 1:
        size = (max(1, round(light.shape[1] * scale)), max(1, round(light.shape[0] * scale)))
        light = np.asarray(cv2.resize(light, size, interpolation=cv2.INTER_AREA), np.float32)
        inside = np.asarray(cv2.resize(inside, size, interpolation=cv2.INTER_AREA), np.float32)
    return light, np.asarray(inside > 0.5)


def at_size(mask: Mask, part: Mask, shape: tuple[int, ...]) -> Mask:
    """A mask of the whole photo as it lies in the piece that is looked at."""
    top, bottom, left, right = _crop(part)
    piece = mask[top:bottom, left:right].astype(np.float32)
    return np.asarray(cv2.resize(piece, (shape[1], shape[0]), interpolation=cv2.INTER_AREA) > 0.5)


def regions(image: Image, inside: Mask, white: White) -> Iterator[Region]:
    """Every candidate: maximally stable regions (Matas, Chum, Urban and Pajdla 2002) of colour and of lightness."""
    for candidate in _candidates(image, inside, white):
        yield from list(_narrowing(candidate))[-1:]


def _likeliest(candidates: Iterable[Candidate]) -> Region | None:
    """The likeliest region, None where none has a chance of LEAST; exact, though few are measured to the end.

    The next measure is always taken of that which could still be the likeliest: the first that is whole is it. Of two
    alike it is the later.
    """
    waiting: list[tuple[float, int, Region, Iterator[Region]]] = []
    for number, steps in enumerate(map(_narrowing, candidates)):
        for region in islice(steps, 1):
            heappush(waiting, (-chance(region.traits), -number, region, steps))
    while waiting and -waiting[0][0] >= LEAST:
        _, order, region, steps = waiting[0]
        further = next(steps, None)
        if further is None:
            return region
        heapreplace(waiting, (-chance(further.traits), order, further, steps))
    return None


def _narrowing(candidate: Candidate) -> Iterator[Region]:
    """A candidate as it is measured further, see traits.narrowing."""
    told = narrowing(candidate.planes, candidate.mask, candidate.inside, candidate.rest, candidate.total)
    return (Region(candidate.piece, candidate.place, traits) for traits in told)


def _candidates(image: Image, inside: Mask, white: White) -> Iterator[Candidate]:
    planes = _planes(image, white)
    clear = cv2.erode(inside.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=0) > 0
    total = int(inside.sum())
    low, high = max(FEWEST, int(SMALLEST * total)), int(LARGEST * total)
    if high <= low:
        return
    rest = planes[:, ::3, ::3][:, clear[::3, ::3]]
    for x, y, piece in _stable(planes, inside, low, high):
        size = int(np.count_nonzero(piece))
        window = _window(x, y, piece.shape, reach_of(size))
        around = clear[window]
        mask = _placed(piece, x - window[1].start, y - window[0].start, around.shape) & around
        if np.count_nonzero(mask) > 0.8 * size:
            yield Candidate(piece, (x, y), mask, planes[:, *window], around, rest, total)


def _window(x: int, y: int, shape: tuple[int, ...], reach: int) -> tuple[slice, slice]:
    """Rows and columns of a region's surroundings, as far as any trait looks."""
    return slice(max(0, y - reach), y + shape[0] + reach), slice(max(0, x - reach), x + shape[1] + reach)


def _placed(piece: Mask, x: int, y: int, shape: tuple[int, ...]) -> Mask:
    mask = np.zeros(shape, bool)
    mask[y : y + piece.shape[0], x : x + piece.shape[1]] = piece
    return mask


def _planes(image: Image, white: White) -> Image:
    """ln luminance, ln(R/G) and ln(B/G) against white, 3 x rows x columns, of lightly smoothed linear light."""
    smooth = np.asarray(cv2.medianBlur(image, 3), np.float32)
    logs = np.log(smooth + np.float32(FLOOR))
    light = np.log(luminance(smooth) + np.float32(FLOOR))
    red, green, blue = logs[..., 0], logs[..., 1], logs[..., 2]
    return np.asarray(np.stack([light, red - green - white.red_green, blue - green - white.blue_green]), np.float32)


def _stable(planes: Image, inside: Mask, low: int, high: int) -> Iterator[tuple[int, int, Mask]]:
    """Regions that hardly grow over 8 levels of a plane, each about once: a piece and its left and top."""
    finder = cv2.MSER.create(4, low, high, 1.0, 0.1)
    seen: set[tuple[int, ...]] = set()
    for plane in _as_bytes(planes, inside):
        found, boxes = finder.detectRegions(plane)
        for points, (x, y, width, height) in zip(found, np.asarray(boxes).tolist(), strict=True):
            key = (round(6 * math.log(len(points))), x // 2, y // 2, (x + width) // 2, (y + height) // 2)
            if key not in seen:
                seen.add(key)
                piece = _filled(np.asarray(points) - (x, y), width, height)
                yield x, y, piece & inside[y : y + height, x : x + width]


def _as_bytes(planes: Image, inside: Mask) -> Iterator[Bytes]:
    """The planes as the region finder takes them, 8 bit: by the median 60 levels a ln unit of light, 140 of colour."""
    colours = planes[:, inside]
    light, red, blue = colours - median(colours)[:, None]
    for plane, gain in ((light, 60), (red, 200), (blue, 140), (red - blue, 140), (red + 0.5 * blue, 200)):
        level = 128 + 120 * np.tanh(gain / 120 * plane)
        levels = np.full(inside.shape, median(level[None])[0].astype(np.uint8))
        levels[inside] = level.astype(np.uint8)
        yield levels


def _filled(points: NDArray[np.int32], width: int, height: int) -> Mask:
    """A mask, height x width, of pixels, n x 2, each x and y, and of the holes among them."""
    rimmed = np.zeros((height + 2, width + 2), np.uint8)  # by a pixel, from which all that is no hole is flooded
    rimmed[points[:, 1] + 1, points[:, 0] + 1] = 1
    cv2.floodFill(rimmed, None, (0, 0), 2)
    return np.asarray(rimmed[1:-1, 1:-1] != 2)


def _named(region: Region, shape: tuple[int, ...], photo: Photo, part: Part) -> Scratch:
    """The region as a mask of Photo.linear and a box in the photo's own pixels."""
    top, bottom, left, right = _crop(part.mask)
    mask_there = region.mask(shape).astype(np.float32)
    piece = cv2.resize(mask_there, (right - left, bottom - top), interpolation=cv2.INTER_LINEAR)
    mask = np.zeros(part.mask.shape, bool)
    mask[top:bottom, left:right] = piece > 0.5
    mask &= part.mask
    certainty = FILED * chance(region.traits) * (AS_LIKELY_A_HOLE if _like_ground(photo, part, mask) else 1)
    of_part = 100 * float(mask.sum() / part.mask.sum())
    how = f"a sharp-edged spot unlike what is around it, {of_part:.1f} % of the part; judged from rendered parts"
    return Scratch(mask, _box(mask, photo), certainty, how)


def _like_ground(photo: Photo, part: Part, mask: Mask) -> bool:
    """Whether the spot has the colour of the ground, no lighter and not in deep shade: then it may be a hole."""
    ground, spot = (some(photo.linear, each, MOST) for each in (ground_of(part), mask))
    if len(ground) < FEWEST or not mask.any():
        return False
    of_ground, of_spot = (np.median(each, axis=0).astype(np.float64)[None] for each in (ground, spot))
    apart = float(np.linalg.norm(ratios(of_ground) - ratios(of_spot)))
    shade = float(np.log((luminance(of_spot)[0] + FLOOR) / (luminance(of_ground)[0] + FLOOR)))
    return apart < 0.12 and -1.2 < shade < 0.1


def _crop(mask: Mask) -> tuple[int, int, int, int]:
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return int(rows[0]), int(rows[-1]) + 1, int(columns[0]), int(columns[-1]) + 1


def _box(mask: Mask, photo: Photo) -> tuple[int, int, int, int]:
    top, bottom, left, right = _crop(mask)
    down, across = photo.encoded.shape[0] / mask.shape[0], photo.encoded.shape[1] / mask.shape[1]
    x, y = int(left * across), int(top * down)
    return x, y, round(right * across) - x, round(bottom * down) - y
