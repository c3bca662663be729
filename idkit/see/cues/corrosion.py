"""What has grown on the metal: area that looks like rust, green patina or white bloom.

Limits of hue, chroma and lightness are from memory of what such growth looks like; tarnished copper looks like rust.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import cv2
import numpy as np

from idkit.see.cielab import cielab
from idkit.see.cues.colour import against_white
from idkit.vocabulary import Cue, Floats, Mask, Patch, Reading

NO_WHITE = "no white in view"


def rust_area(patch: Patch) -> Reading:
    """Share of the part, 0 to 1, that is brown to orange (hue 30 to 75 degrees, chroma over 12) and L* under 60."""
    return _area(patch, "rust_area", rusty)


def patina_area(patch: Patch) -> Reading:
    """Share of the part, 0 to 1, that is green to blue-green: hue 130 to 230 degrees, chroma over 8."""
    return _area(patch, "patina_area", green)


def bloom_area(patch: Patch) -> Reading:
    """Share of the part, 0 to 1, in blotches much lighter than its middle and without colour (chroma under 8)."""
    return _area(patch, "bloom_area", pale)


def rusty(light: Floats, chroma: Floats, hue: Floats) -> Mask:
    """Which of n colours look like rust: L*, chroma and hue in degrees."""
    return np.asarray((hue > 30) & (hue < 75) & (chroma > 12) & (light < 60))


def green(light: Floats, chroma: Floats, hue: Floats) -> Mask:
    """Which of n colours look like patina."""
    return np.asarray((hue > 130) & (hue < 230) & (chroma > 8) & (light > 15))


def pale(light: Floats, chroma: Floats, hue: Floats) -> Mask:
    """Which of n colours look like bloom beside the others."""
    del hue
    return np.asarray((light > np.median(light) + 15) & (chroma < 8) & (light < 95))


def blotches(patch: Patch, looks_so: Callable[[Floats, Floats, Floats], Mask]) -> tuple[Mask, Mask] | None:
    """Where the part looks so over more than single pixels, and where it is; None where white is not known."""
    seen = _light_chroma_hue(patch)
    if seen is None:
        return None
    where = np.zeros(seen[3].shape, np.uint8)
    where[seen[3]] = looks_so(*seen[:3])
    return np.asarray(cv2.morphologyEx(where, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8)) > 0), seen[3]


def _area(patch: Patch, name: str, looks_so: Callable[[Floats, Floats, Floats], Mask]) -> Reading:
    found = blotches(patch, looks_so)
    if found is None:
        return Reading(name, float("nan"), "share", NO_WHITE)
    where, inside = found
    return Reading(name, float(where[inside].mean()), "share", "of the part's pixels, against white in view")


@lru_cache(maxsize=1)  # three cues ask one after the other
def _light_chroma_hue(patch: Patch) -> tuple[Floats, Floats, Floats, Mask] | None:
    inside: Mask = np.asarray(np.isfinite(patch.tile_colours[..., 0]))
    if not np.isfinite(patch.white.luminance) or not inside.any():
        return None
    lab = cielab(against_white(patch.tile_colours[inside].astype(float), patch.white))
    hue = np.degrees(np.arctan2(lab[:, 2], lab[:, 1])) % 360
    return np.asarray(lab[:, 0]), np.asarray(np.hypot(lab[:, 1], lab[:, 2])), np.asarray(hue), inside


MEMORY = "from memory"

CUES = (
    Cue("rust_area", "share", 0, 1, "how much of it is rust brown", MEMORY, rust_area, by_white=True),
    Cue("patina_area", "share", 0, 1, "how much of it is green", MEMORY, patina_area, by_white=True),
    Cue("bloom_area", "share", 0, 1, "how much of it is white bloom", MEMORY, bloom_area, by_white=True),
)
