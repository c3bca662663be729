"""Where bare metal shows: a filed or scratched spot on a part whose skin is something else.

A file leaves one small region of even colour with sharp edges, unlike everything around it and found nowhere else on
the part. Relief, tarnish and highlights make regions too, but soft ones, or many alike, or of the skin's own colour.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.light import luminance, ratios
from idkit.see.part import ground_of
from idkit.vocabulary import Floats, Image, Mask, Part, Photo, Scratch, White

SIDE = 224  # longer side of the part, in pixels, at which it is looked at
SMALLEST, LARGEST = 0.007, 0.3  # share of the part
FEWEST = 24  # pixels of a region, at that size
FLOOR = (
    0.012  # added to linear light before the logarithm: what noise and JPEG leave of colour in the dark; from memory
)
FAINTEST = 0.07  # difference from the skin, in ln units, under which nothing is judged
GLARE = -0.22  # ln luminance, 0.8 of full, over which it is a light that is mirrored
NO_METAL = 0.35  # distance from the colours of bare metals, in ln units, past which it is none; from memory
AS_LIKELY_A_HOLE = 0.5  # share of spots of the ground's own colour that are no hole; from memory
RIM = 2  # pixels either side of an edge that belong to neither

Bytes = NDArray[np.uint8]


@dataclass(frozen=True)
class Region:
    """One candidate: its pixels at the looked-at size, and what is measured of it, by name."""

    mask: Mask
    traits: dict[str, float]


def find_scratch(photo: Photo, part: Part, white: White) -> Scratch | None:
    """The likeliest spot of bare metal, or None where no region stands out at all.

    `certainty`, 0 to 1, is the chance that it is filed or scratched metal (see WEIGHTS). A photo without colour has
    none, nor has a part smaller than 48 pixels across.
    """
    if not photo.coloured:
        return None
    image, inside = looked_at(photo, part)
    if min(image.shape[:2]) < 24 or max(image.shape[:2]) < 48:
        return None
    found = list(regions(image, inside, white))
    if not found:
        return None
    best = max(found, key=lambda region: chance(region.traits))
    return _named(best, photo, part)


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
    planes = _planes(image, white)
    clear = cv2.erode(inside.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=0) > 0
    total = int(inside.sum())
    low, high = max(FEWEST, int(SMALLEST * total)), int(LARGEST * total)
    if high <= low:
        return
    rest = planes[::3, ::3][clear[::3, ::3]]
    for mask in _stable(planes, inside, low, high):
        if (mask & clear).sum() > 0.8 * mask.sum():
            window = _window(mask)
            traits = measured(planes[window], (mask & clear)[window], clear[window], rest, total)
            if traits is not None:
                yield Region(mask, traits)


def _window(mask: Mask) -> tuple[slice, slice]:
    """The mask's surroundings, as far as any trait looks."""
    top, bottom, left, right = _crop(mask)
    reach = _reach(mask) + RIM + 2
    return slice(max(0, top - reach), bottom + reach), slice(max(0, left - reach), right + reach)


def _reach(mask: Mask) -> int:
    """How far the ring around a region goes, in pixels."""
    return RIM + max(3, round(0.35 * float(np.sqrt(mask.sum()))))


def _planes(image: Image, white: White) -> Floats:
    """ln luminance, ln(R/G) and ln(B/G) against white, rows x columns x 3, of lightly smoothed linear light."""
    smooth = cv2.medianBlur(image, 3).astype(np.float64)
    logs = np.log(smooth + FLOOR)
    light = np.log(luminance(smooth) + FLOOR)
    return np.stack(
        [light, logs[..., 0] - logs[..., 1] - white.red_green, logs[..., 2] - logs[..., 1] - white.blue_green], axis=-1
    )


def _stable(planes: Floats, inside: Mask, low: int, high: int) -> Iterator[Mask]:
    """Regions that hardly grow over 8 and over 16 levels of a plane, each about once."""
    finders = [cv2.MSER.create(delta, low, high, 1.0, 0.1) for delta in (4, 8)]
    seen: set[tuple[int, ...]] = set()
    for plane in _as_bytes(planes, inside):
        for found in (region for finder in finders for region in finder.detectRegions(plane)[0]):
            points = np.asarray(found)
            corners = np.concatenate([points.min(axis=0), points.max(axis=0)])
            key = (round(6 * float(np.log(len(points)))), *(corners // 2).tolist())
            if key not in seen:
                seen.add(key)
                mask = np.zeros(inside.shape, bool)
                mask[points[:, 1], points[:, 0]] = True
                yield _filled(mask) & inside


def _as_bytes(planes: Floats, inside: Mask) -> Iterator[Bytes]:
    """The planes as the region finder takes them, 8 bit: by the median 60 levels a ln unit of light, 140 of colour."""
    middle = np.median(planes[inside], axis=0)
    light, red, blue = (planes[..., i] - middle[i] for i in range(3))
    for plane, gain in ((light, 60), (red, 200), (blue, 140), (red - blue, 140), (red + 0.5 * blue, 200)):
        level = 128 + 120 * np.tanh(gain / 120 * plane)
        yield np.asarray(np.where(inside, level, np.median(level[inside])), np.uint8)


def _filled(mask: Mask) -> Mask:
    outlines, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return cv2.drawContours(np.zeros(mask.shape, np.uint8), outlines, -1, 1, cv2.FILLED) > 0


# What is measured of a region -----------------------------------------------------------------------------------------


def measured(planes: Floats, mask: Mask, inside: Mask, rest: Floats, total: int) -> dict[str, float] | None:
    """What sets a filed spot apart, by name; None where the skin around it can't be seen, or is just like it.

    The ring around it, past its rim, stands for the skin; `rest` are one in nine of the part's pixels, `total` is how
    many it has. Distances are in ln units.
    """
    inner, ring = _inner_and_ring(mask, inside)
    if inner.sum() < FEWEST / 2 or ring.sum() < FEWEST:
        return None
    at, around = planes[inner], planes[ring]
    middle, skin = np.median(at, axis=0), np.median(around, axis=0)
    apart = middle - skin
    colour = float(np.hypot(apart[1], apart[2]))
    if colour + 0.5 * abs(apart[0]) < FAINTEST or _from_metal(middle) > NO_METAL:
        return None
    spread, of_skin = _spread(at[:, 1:]), _spread(around[:, 1:])
    return {
        "colour": float(np.log(colour + 0.03)),
        "lighter": float(np.clip(apart[0], -1, 1)),
        "light": float(min(abs(apart[0]), 1)),
        "evenness": float(np.log((spread + 0.02) / (colour + 0.05))),
        "ring": float(np.log((of_skin + 0.02) / (colour + 0.05))),
        "texture": float(np.log((_spread(at[:, :1]) + 0.02) / (colour + 0.5 * abs(apart[0]) + 0.05))),
        "glare": float(np.mean(at[:, 0] > GLARE)),
        "sharpness": _sharpness(planes, mask, inside, apart),
        "elsewhere": _elsewhere(rest, mask, middle, skin),
        "shape": _compactness(mask),
        "touching": _touching(mask, inside),
        "share": float(np.log(mask.sum() / total)),
        "metal": _from_metal(middle),
    }


def _inner_and_ring(mask: Mask, inside: Mask) -> tuple[Mask, Mask]:
    solid = mask.astype(np.uint8)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))
    inner = cv2.erode(solid, kernel, borderValue=0) > 0
    reach = _reach(mask)
    near = cv2.dilate(solid, kernel, iterations=RIM) > 0
    far = cv2.dilate(solid, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))) > 0
    return inner if inner.sum() > 0.3 * mask.sum() else mask, far & ~near & inside


def _spread(colours: Floats) -> float:
    """Robust spread of n x k colours: 1.4826 times the median distance from the median."""
    return float(1.4826 * np.median(np.linalg.norm(colours - np.median(colours, axis=0), axis=1)))


def _sharpness(planes: Floats, mask: Mask, inside: Mask, apart: Floats) -> float:
    """How much of the step from skin to spot is made within two pixels of the outline; about 1 for a filed edge."""
    solid = mask.astype(np.uint8)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))
    within = mask & (cv2.erode(solid, kernel, borderValue=0) > 0) & (cv2.erode(solid, kernel, iterations=3) == 0)
    beyond = (cv2.dilate(solid, kernel, iterations=3) > 0) & (cv2.dilate(solid, kernel) == 0) & inside
    if within.sum() < 6 or beyond.sum() < 6:
        return 0.0
    scale = np.array([0.5, 1.0, 1.0])
    step = (np.median(planes[within], axis=0) - np.median(planes[beyond], axis=0)) * scale
    whole = apart * scale
    return float(np.clip(step @ whole / (whole @ whole + 1e-4), 0, 1.5))


def _elsewhere(rest: Floats, mask: Mask, middle: Floats, skin: Floats) -> float:
    """How much of the part is nearer to the spot's colour than to the skin's, against the spot's own size; ln."""
    weigh = np.array([0.5, 1, 1])
    to_spot, to_skin = (((rest - colour) * weigh) ** 2 @ np.ones(3) for colour in (middle, skin))
    alike = 9 * np.count_nonzero(to_spot < to_skin)
    return float(np.log(max(0.0, alike / mask.sum() - 1) + 0.1))


def _compactness(mask: Mask) -> float:
    """Area over that of the smallest turned rectangle around it: 1 for a filed flat, less for what winds."""
    outlines, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    (_, (width, height), _) = cv2.minAreaRect(np.concatenate(outlines))
    return float(min(1.0, mask.sum() / ((width + 1) * (height + 1))))


def _touching(mask: Mask, inside: Mask) -> float:
    """Share of its rim that lies at the part's outline."""
    kernel = np.ones((3, 3), np.uint8)
    rim = (cv2.dilate(mask.astype(np.uint8), kernel, iterations=2) > 0) & ~mask
    return float((rim & ~inside).sum() / max(1, rim.sum()))


def _from_metal(middle: Floats) -> float:
    """How far the colour lies from what bare metals have, in ln units: 0 on or between grey, brass and copper."""
    red, blue = float(middle[1]), float(middle[2])
    return float(
        min(
            1.0,
            max(0.0, -red - 0.1)
            + max(0.0, blue - 0.12)
            + max(0.0, red - 0.75)
            + max(0.0, -1.4 - blue)
            + max(0.0, red + blue - 0.35),
        )
    )


# From traits to a chance ----------------------------------------------------------------------------------------------

# Fitted on rendered parts alone, no photograph among them: python tests/bench/fit_scratches.py FOLDER.
# Fitted on rendered parts alone, no photograph among them: python tests/bench/fit_scratches.py FOLDER
WEIGHTS: dict[str, float] = {
    "colour": 1.022,
    "lighter": 2.184,
    "light": -2.436,
    "evenness": -0.356,
    "ring": -1.627,
    "texture": -0.207,
    "glare": -1.476,
    "sharpness": 1.242,
    "elsewhere": -0.494,
    "shape": 4.351,
    "touching": -2.724,
    "share": -0.948,
    "metal": -1.500,
}
BIAS = -10.940


def chance(traits: dict[str, float]) -> float:
    """Chance that a region is filed or scratched metal: logistic in its traits."""
    score = BIAS + sum(weight * traits[name] for name, weight in WEIGHTS.items())
    return float(1 / (1 + np.exp(-score)))


def _named(region: Region, photo: Photo, part: Part) -> Scratch:
    """The region as a mask of Photo.linear and a box in the photo's own pixels."""
    top, bottom, left, right = _crop(part.mask)
    piece = cv2.resize(region.mask.astype(np.float32), (right - left, bottom - top), interpolation=cv2.INTER_LINEAR)
    mask = np.zeros(part.mask.shape, bool)
    mask[top:bottom, left:right] = piece > 0.5
    mask &= part.mask
    certainty = chance(region.traits) * (AS_LIKELY_A_HOLE if _like_ground(photo, part, mask) else 1)
    of_part = 100 * float(mask.sum() / part.mask.sum())
    how = f"a sharp-edged spot unlike what is around it, {of_part:.1f} % of the part; judged from rendered parts"
    return Scratch(mask, _box(mask, photo), certainty, how)


def _like_ground(photo: Photo, part: Part, mask: Mask) -> bool:
    """Whether the spot has the colour of the ground, no lighter and not in deep shade: then it may be a hole."""
    ground = photo.linear[ground_of(part)]
    if len(ground) < FEWEST or not mask.any():
        return False
    of_ground, of_spot = (np.median(each, axis=0).astype(np.float64)[None] for each in (ground, photo.linear[mask]))
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
