"""What sets a filed or scratched spot apart from its surroundings, and how likely that makes it bare metal."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np

from idkit.vocabulary import Floats, Mask

FEWEST = 24  # pixels of a region, at the size that it is looked at
FAINTEST = 0.07  # difference from the skin, in ln units, under which nothing is judged
GLARE = -0.22  # ln luminance, 0.8 of full, over which it is a light that is mirrored
NO_METAL = 0.35  # distance from the colours of bare metals, in ln units, past which it is none; from memory
RIM = 2  # pixels either side of an edge that belong to neither
SHARPEST, NOWHERE_ELSE = 1.5, 0.1  # ends of what is measured


def measured(
    planes: Floats, mask: Mask, inside: Mask, rest: Floats, total: int, least: float = 0.0
) -> dict[str, float] | None:
    """What sets a filed spot apart, by name; None where the skin around it can't be seen, or is just like it.

    The ring around it, past its rim, stands for the skin; `rest` are one in nine of the part's pixels, `total` is how
    many it has. Distances are in ln units. None, too, as soon as it is plain that its chance can't reach `least`.
    """
    inner, ring = _inner_and_ring(mask, inside)
    size = int(np.count_nonzero(mask))
    if np.count_nonzero(inner) < FEWEST / 2 or np.count_nonzero(ring) < FEWEST:
        return None
    at, around = planes[inner], planes[ring]
    middle, skin = median(at), median(around)
    apart = middle - skin
    colour = float(np.hypot(apart[1], apart[2]))
    difference = colour + 0.5 * abs(float(apart[0]))
    if difference < FAINTEST or _from_metal(middle) > NO_METAL:
        return None
    traits = {
        "colour": float(np.log(colour + 0.03)),
        "lighter": float(np.clip(apart[0], -1, 1)),
        "light": float(min(abs(apart[0]), 1)),
        "glare": float(np.count_nonzero(at[:, 0] > GLARE) / len(at)),
        "share": float(np.log(size / total)),
        "metal": _from_metal(middle),
    }
    costly: dict[str, tuple[float, Callable[[], float]]] = {  # what speaks most for bare metal, and what it is
        "touching": (0.0, lambda: _touching(mask, inside)),
        "shape": (1.0, lambda: _compactness(mask, size)),
        "ring": (_against(0, colour), lambda: _against(_spread(around[:, 1:], skin[1:]), colour)),
        "elsewhere": (float(np.log(NOWHERE_ELSE)), lambda: _elsewhere(rest, size, middle, skin)),
        "evenness": (_against(0, colour), lambda: _against(_spread(at[:, 1:], middle[1:]), colour)),
        "texture": (_against(0, difference), lambda: _against(_spread(at[:, :1], middle[:1]), difference)),
        "sharpness": (SHARPEST, lambda: _sharpness(planes, mask, inside, apart)),
    }
    traits |= {name: best for name, (best, _) in costly.items()}
    for name, (_, measure) in costly.items():
        if chance(traits) < least:
            return None
        traits[name] = measure()
    return traits


def reach_of(size: int) -> int:
    """How far the ring around a region of so many pixels goes, in pixels."""
    return RIM + max(3, round(0.35 * float(np.sqrt(size))))


def _inner_and_ring(mask: Mask, inside: Mask) -> tuple[Mask, Mask]:
    solid = mask.astype(np.uint8)
    size = cv2.countNonZero(solid)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))
    inner = cv2.erode(solid, kernel, borderValue=0)
    near = cv2.dilate(solid, kernel, iterations=RIM) > 0
    away = cv2.distanceTransform(1 - solid, cv2.DIST_L2, cv2.DIST_MASK_5)
    kept = np.asarray(inner > 0) if cv2.countNonZero(inner) > 0.3 * size else mask
    return kept, np.asarray((away <= reach_of(size)) & ~near & inside)


def median(colours: Floats) -> Floats:
    """Median of each column of n x k; NumPy's own takes several times as long on so few."""
    columns = np.ascontiguousarray(colours.T)
    lower, upper = (columns.shape[1] - 1) // 2, columns.shape[1] // 2
    ordered = np.partition(columns, (lower, upper), axis=1)
    return np.asarray((ordered[:, lower] + ordered[:, upper]) / 2)


def _spread(colours: Floats, middle: Floats) -> float:
    """Robust spread of n x k colours: 1.4826 times the median distance from their median."""
    return float(1.4826 * np.sqrt(median(((colours - middle) ** 2).sum(axis=1)[:, None])[0]))


def _against(spread: float, apart: float) -> float:
    """A spread against how far spot and skin lie apart; ln."""
    return float(np.log((spread + 0.02) / (apart + 0.05)))


def _sharpness(planes: Floats, mask: Mask, inside: Mask, apart: Floats) -> float:
    """How much of the step from skin to spot is made within two pixels of the outline; about 1 for a filed edge."""
    solid = mask.astype(np.uint8)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))
    within = mask & (cv2.erode(solid, kernel, borderValue=0) > 0) & (cv2.erode(solid, kernel, iterations=3) == 0)
    beyond = (cv2.dilate(solid, kernel, iterations=3) > 0) & (cv2.dilate(solid, kernel) == 0) & inside
    if np.count_nonzero(within) < 6 or np.count_nonzero(beyond) < 6:
        return 0.0
    scale = np.array([0.5, 1.0, 1.0])
    step = (median(planes[within]) - median(planes[beyond])) * scale
    whole = apart * scale
    return float(np.clip(step @ whole / (whole @ whole + 1e-4), 0, SHARPEST))


def _elsewhere(rest: Floats, size: int, middle: Floats, skin: Floats) -> float:
    """How much of the part is nearer to the spot's colour than to the skin's, against the spot's own size; ln."""
    weigh = np.array([0.5, 1, 1]) ** 2
    line = (middle - skin) * weigh  # nearer: beyond the middle of the line from skin to spot
    alike = 9 * np.count_nonzero(rest @ line > line @ (middle + skin) / 2)
    return float(np.log(max(0.0, alike / size - 1) + NOWHERE_ELSE))


def _compactness(mask: Mask, size: int) -> float:
    """Area over that of the smallest turned rectangle around it: 1 for a filed flat, less for what winds."""
    outlines, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    _, sides, _ = cv2.minAreaRect(np.concatenate(outlines))
    return float(min(1.0, size / float(np.prod(np.array(sides) + 1))))


def _touching(mask: Mask, inside: Mask) -> float:
    """Share of its rim that lies at the part's outline."""
    kernel = np.ones((3, 3), np.uint8)
    rim = (cv2.dilate(mask.astype(np.uint8), kernel, iterations=2) > 0) & ~mask
    return int(np.count_nonzero(rim & ~inside)) / max(1, int(np.count_nonzero(rim)))


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
