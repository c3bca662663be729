"""Texture of the part, measured with its longer side at 256 pixels so that photographs of any size compare."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.vocabulary import Cue, Image, Patch, Reading

LEVELS = 32
LEAST_DETAIL = 0.9  # photograph pixels behind a tile pixel; under this the photo has no such detail
TOO_SMALL = "the part is too small in the photo for its texture (it needs 230 pixels)"
OCTAVES = (2.0, 4.0, 8.0, 16.0)  # tile pixels


def co_occurrence_contrast(patch: Patch) -> Reading:
    """Contrast of the co-occurrence matrix: mean squared difference of neighbours in 32 grey levels, 0 to 961."""
    return _co_occurrence(patch, "co_occurrence_contrast", "contrast")


def co_occurrence_correlation(patch: Patch) -> Reading:
    """Correlation of neighbours' grey levels, -1 to 1: near 1 for broad blotches, near 0 for grain."""
    return _co_occurrence(patch, "co_occurrence_correlation", "correlation")


def co_occurrence_homogeneity(patch: Patch) -> Reading:
    """Homogeneity (inverse difference moment) of the co-occurrence matrix, 0 to 1: 1 for an even surface."""
    return _co_occurrence(patch, "co_occurrence_homogeneity", "homogeneity")


def rough_patterns(patch: Patch) -> Reading:
    """Share of pixels whose local binary pattern (8 neighbours, radius 1) is not uniform, 0 to 1: grain and noise."""
    reason = _why_not(patch)
    if reason:
        return Reading("rough_patterns", float("nan"), "share", reason)
    from skimage.feature import local_binary_pattern

    grey = np.clip(_filled(patch.tile) * 64, 0, 255).astype(np.uint8)
    codes = local_binary_pattern(grey, 8, 1, "uniform")
    return Reading(
        "rough_patterns", float((codes[_inner(patch.tile, 2)] == 9).mean()), "share", "radius 1 pixel of the tile"
    )


def mottle_contrast(patch: Patch) -> Reading:
    """How strong blotches are: the largest standard deviation of luminance in a band of one octave, against its level.

    Bands lie between 2 and 32 tile pixels (differences of Gaussians, Marr and Hildreth 1980). Zinc castings go blotchy.
    """
    bands = _bands(patch)
    if bands is None:
        return Reading("mottle_contrast", float("nan"), "share", _why_not(patch))
    return Reading("mottle_contrast", float(max(bands)), "share", "strongest octave")


def mottle_scale(patch: Patch) -> Reading:
    """How large blotches are: the octave with the strongest contrast, as a share of the part's longer side."""
    bands = _bands(patch)
    if bands is None:
        return Reading("mottle_scale", float("nan"), "share", _why_not(patch))
    return Reading("mottle_scale", OCTAVES[int(np.argmax(bands))] / max(patch.tile.shape), "share", "strongest octave")


def line_direction(patch: Patch) -> Reading:
    """How much fine lines run one way, 0 to 1 (coherence of the mean structure tensor, Bigun and Granlund 1987).

    Rolled, extruded and brushed surfaces lie high, cast ones low; an outline or a shadow edge raises it too.
    """
    reason = _why_not(patch)
    if reason:
        return Reading("line_direction", float("nan"), "share", reason)
    fine = _filled(patch.tile) - cv2.GaussianBlur(_filled(patch.tile), (0, 0), 3)
    inside = _inner(patch.tile, 6)
    across = cv2.Sobel(fine, cv2.CV_32F, 1, 0)[inside]
    down = cv2.Sobel(fine, cv2.CV_32F, 0, 1)[inside]
    xx, yy, xy = float((across**2).mean()), float((down**2).mean()), float((across * down).mean())
    value = float(np.hypot(xx - yy, 2 * xy) / max(xx + yy, 1e-12))
    return Reading("line_direction", value, "share", "structure tensor of detail under 3 pixels of the tile")


def _co_occurrence(patch: Patch, name: str, what: str) -> Reading:
    unit = "levels squared" if what == "contrast" else "share"
    reason = _why_not(patch)
    if reason:
        return Reading(name, float("nan"), unit, reason)
    from skimage.feature import graycoprops

    found = float(graycoprops(_neighbours(patch), what).mean())
    return Reading(name, found, unit, "neighbours 1 pixel of the tile apart, 4 directions")


@lru_cache(maxsize=1)  # three cues ask one after the other
def _neighbours(patch: Patch) -> NDArray[Any]:
    """The co-occurrence matrix, levels x levels x 1 x directions."""
    from skimage.feature import graycomatrix

    inside = _inner(patch.tile, 1)
    grey = 1 + np.clip(_filled(patch.tile) * (LEVELS / 4), 0, LEVELS - 1).astype(np.uint8)
    grey[~inside] = 0  # level 0 stands for outside and is left out
    ways = [0, np.pi / 4, np.pi / 2, 3 * np.pi / 4]
    return np.asarray(graycomatrix(grey, [1], ways, levels=LEVELS + 1, symmetric=True)[1:, 1:])


@lru_cache(maxsize=1)  # two cues ask one after the other
def _bands(patch: Patch) -> list[float] | None:
    if _why_not(patch):
        return None
    tile, inside = _filled(patch.tile), _inner(patch.tile, 6)
    smooth = [cv2.GaussianBlur(tile, (0, 0), sigma / 2) for sigma in (*OCTAVES, 2 * OCTAVES[-1])]
    return [float(np.std((fine - coarse)[inside])) for fine, coarse in zip(smooth[:-1], smooth[1:], strict=True)]


def _filled(tile: Image) -> Image:
    return np.nan_to_num(tile, nan=1.0)


def _inner(tile: Image, margin: int) -> np.ndarray:
    inside = np.isfinite(tile).astype(np.uint8)
    kernel = np.ones((2 * margin + 1, 2 * margin + 1), np.uint8)
    return np.asarray(cv2.erode(inside, kernel, borderValue=0) > 0)


def _why_not(patch: Patch) -> str:
    if patch.detail < LEAST_DETAIL:
        return TOO_SMALL
    return "" if _inner(patch.tile, 6).sum() > 500 else "too little of the part is away from its outline"


HARALICK = "Haralick, Shanmugam and Dinstein 1973"

CUES = (
    Cue(
        "co_occurrence_contrast",
        "levels squared",
        0,
        961,
        "how different neighbours are",
        HARALICK,
        co_occurrence_contrast,
    ),
    Cue("co_occurrence_correlation", "share", -1, 1, "how alike neighbours are", HARALICK, co_occurrence_correlation),
    Cue("co_occurrence_homogeneity", "share", 0, 1, "how even the surface is", HARALICK, co_occurrence_homogeneity),
    Cue("rough_patterns", "share", 0, 1, "how grainy it is", "Ojala, Pietikainen and Maenpaa 2002", rough_patterns),
    Cue("mottle_contrast", "share", 0, 10, "how blotchy it is", "Marr and Hildreth 1980", mottle_contrast),
    Cue("mottle_scale", "share", 0, 1, "how large the blotches are", "Marr and Hildreth 1980", mottle_scale),
    Cue("line_direction", "share", 0, 1, "how much lines run one way", "Bigun and Granlund 1987", line_direction),
)
