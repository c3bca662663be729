"""What sets a filed or scratched spot apart from its surroundings, and how likely that makes it bare metal."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.srgb import Real
from idkit.vocabulary import Image, Mask

FEWEST = 24  # pixels of a region, at the size that it is looked at
MANY = 300  # pixels of a region, or of what is around it, whose colours are looked at, or up to twice as many
FAINTEST = 0.07  # difference from the skin, in ln units, under which nothing is judged
GLARE = -0.22  # ln luminance, 0.8 of full, over which it is a light that is mirrored
NO_METAL = 0.35  # distance from the colours of bare metals, in ln units, past which it is none; from memory
RIM = 2  # pixels either side of an edge that belong to neither
SHARPEST, NOWHERE_ELSE = 1.5, 0.1  # ends of what is measured
CROSS = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))


def narrowing(planes: Image, mask: Mask, inside: Mask, rest: Image, total: int) -> Iterator[dict[str, float]]:
    """What sets a filed spot apart, by name, told again after each costly measure; nothing where the skin around it
    can't be seen or is just like it, where too few pixels are left, or where its colour is no metal's.

    What is not measured yet stands at what speaks most for bare metal: the chance never rises from one telling to the
    next. The ring around it, past its rim, stands for the skin. `planes` are 3 x rows x columns, the masks rows x
    columns; `rest` are one in nine of the part's pixels, 3 x n, `total` is how many it has. Distances are in ln units.
    """
    size = int(np.count_nonzero(mask))
    at, around = _colours(planes, *_inner_and_ring(mask, inside, size))
    if at.shape[1] < FEWEST / 2 or around.shape[1] < FEWEST:
        return
    middle, skin = median(at), median(around)
    apart = middle - skin
    lighter, colour = float(apart[0]), math.hypot(apart[1], apart[2])
    difference, from_metal = colour + 0.5 * abs(lighter), _from_metal(middle)
    if difference < FAINTEST or from_metal > NO_METAL:
        return
    traits = {
        "colour": math.log(colour + 0.03),
        "lighter": max(-1.0, min(lighter, 1.0)),
        "light": min(abs(lighter), 1.0),
        "glare": int(np.count_nonzero(at[0] > GLARE)) / at.shape[1],
        "share": math.log(size / total),
        "metal": from_metal,
        "elsewhere": _elsewhere(rest, size, middle, skin),
        "ring": _against(_spread(around[1:], skin[1:]), colour),
    }
    costly: dict[str, tuple[float, Callable[[], float]]] = {  # what speaks most for bare metal, and what it is
        "shape": (1.0, lambda: _compactness(mask, size)),
        "touching": (0.0, lambda: _touching(mask, inside)),
        "evenness": (_against(0, colour), lambda: _against(_spread(at[1:], middle[1:]), colour)),
        "texture": (_against(0, difference), lambda: _against(_spread(at[:1], middle[:1]), difference)),
        "sharpness": (SHARPEST, lambda: _sharpness(planes, mask, inside, apart)),
    }
    del around  # many regions wait at a time
    traits |= {name: best for name, (best, _) in costly.items()}
    yield traits
    for name, (_, measure) in costly.items():
        traits = traits | {name: measure()}
        yield traits


def reach_of(size: int) -> int:
    """How far the ring around a region of so many pixels goes, in pixels."""
    return RIM + max(3, round(0.35 * math.sqrt(size)))


def _inner_and_ring(mask: Mask, inside: Mask, size: int) -> tuple[Mask, Mask]:
    """The region of `size` pixels without its outermost ones, where that leaves enough of it, and the ring around."""
    solid = mask.view(np.uint8)
    inner = cv2.erode(solid, CROSS, borderValue=0)
    away = cv2.distanceTransform(1 - solid, cv2.DIST_L2, cv2.DIST_MASK_5)
    kept = inner.view(bool) if cv2.countNonZero(inner) > 0.3 * size else mask
    return kept, np.asarray((away > RIM) & (away <= reach_of(size)) & inside)


def _colours(planes: Image, *masks: Mask) -> list[Image]:
    """Colours in each of some masks, 3 x n, evenly spaced where there are many; NumPy's own indexing takes twice as
    long."""
    flat, places = planes.reshape(3, -1), map(np.flatnonzero, masks)
    return [flat.take(place[:: max(1, len(place) // MANY)], axis=1) for place in places]


def median(colours: NDArray[Real]) -> NDArray[Real]:
    """Median of each row of k x n; NumPy's own takes several times as long on so few."""
    lower, upper = (colours.shape[1] - 1) // 2, colours.shape[1] // 2
    ordered = np.partition(colours, (lower, upper), axis=1)
    return np.asarray((ordered[:, lower] + ordered[:, upper]) / 2, colours.dtype)


def _spread(colours: Image, middle: Image) -> float:
    """Robust spread of k x n colours: 1.4826 times the median distance from their median."""
    return 1.4826 * math.sqrt(median(((colours - middle[:, None]) ** 2).sum(axis=0)[None])[0])


def _against(spread: float, apart: float) -> float:
    """A spread against how far spot and skin lie apart; ln."""
    return math.log((spread + 0.02) / (apart + 0.05))


def _sharpness(planes: Image, mask: Mask, inside: Mask, apart: Image) -> float:
    """How much of the step from skin to spot is made within two pixels of the outline; about 1 for a filed edge."""
    solid = mask.view(np.uint8)
    within = (cv2.erode(solid, CROSS, borderValue=0) > 0) & (cv2.erode(solid, CROSS, iterations=3) == 0)
    beyond = (cv2.dilate(solid, CROSS, iterations=3) > 0) & (cv2.dilate(solid, CROSS) == 0) & inside
    if np.count_nonzero(within) < 6 or np.count_nonzero(beyond) < 6:
        return 0.0
    scale = np.array([0.5, 1.0, 1.0])
    metal, skin = (median(each) for each in _colours(planes, within, beyond))
    step = (metal - skin) * scale
    whole = apart * scale
    return float(np.clip(step @ whole / (whole @ whole + 1e-4), 0, SHARPEST))


def _elsewhere(rest: Image, size: int, middle: Image, skin: Image) -> float:
    """How much of the part is nearer to the spot's colour than to the skin's, against the spot's own size; ln."""
    line = (middle - skin) * (0.25, 1, 1)  # nearer: beyond the middle of the line from skin to spot
    alike = 9 * int(np.count_nonzero(line @ rest > line @ (middle + skin) / 2))
    return math.log(max(0.0, alike / size - 1) + NOWHERE_ELSE)


def _compactness(mask: Mask, size: int) -> float:
    """Area over that of the smallest turned rectangle around it: 1 for a filed flat, less for what winds."""
    outlines, _ = cv2.findContours(mask.view(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    _, (across, along), _ = cv2.minAreaRect(np.concatenate(outlines))
    return min(1.0, size / ((across + 1) * (along + 1)))


def _touching(mask: Mask, inside: Mask) -> float:
    """Share of its rim that lies at the part's outline."""
    rim = (cv2.dilate(mask.view(np.uint8), np.ones((5, 5), np.uint8)) > 0) & ~mask
    return int(np.count_nonzero(rim & ~inside)) / max(1, int(np.count_nonzero(rim)))


def _from_metal(middle: Image) -> float:
    """How far the colour lies from what bare metals have, in ln units: 0 on or between grey, brass and copper.

    ln(B/G) of polished 70-30 brass is -0.61 (Querry 1985); a light that met it twice, or a phone's stronger colours,
    makes that -1.1 at the most. Stickers go to -1.7.
    """
    red, blue = float(middle[1]), float(middle[2])
    past = (-red - 0.1, blue - 0.12, red - 0.75, -1.1 - blue, red + blue - 0.35)
    return min(1.0, sum(max(0.0, each) for each in past))


# Fitted on rendered parts alone, no photograph among them: python tests/bench/fit_scratches.py FOLDER
WEIGHTS: dict[str, float] = {
    "colour": -0.155,
    "lighter": 1.288,
    "light": -1.907,
    "evenness": -1.148,
    "ring": -1.603,
    "texture": -0.042,
    "glare": -1.476,
    "sharpness": 0.845,
    "elsewhere": -0.668,
    "shape": 3.951,
    "touching": -2.912,
    "share": -0.720,
    "metal": -2.144,
}
BIAS = -11.598


def chance(traits: dict[str, float]) -> float:
    """Chance that a region is filed or scratched metal: logistic in its traits."""
    score = BIAS + sum([weight * traits[name] for name, weight in WEIGHTS.items()])
    return 1 / (1 + math.exp(-score))
