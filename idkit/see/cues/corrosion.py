"""What has grown on the metal: area that looks like rust, green patina or white bloom.

Limits of hue, chroma and lightness are from memory of what such growth looks like; tarnished copper looks like rust.
"""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np

from idkit.see.cielab import cielab
from idkit.see.cues.colour import against_white
from idkit.vocabulary import Cue, Floats, Mask, Patch, Reading

NO_WHITE = "no white in view"


def rust_area(patch: Patch) -> Reading:
    """Share of the part, 0 to 1, that is brown to orange (hue 30 to 75 degrees, chroma over 12) and L* under 60."""
    return _area(patch, "rust_area", lambda light, chroma, hue: (hue > 30) & (hue < 75) & (chroma > 12) & (light < 60))


def patina_area(patch: Patch) -> Reading:
    """Share of the part, 0 to 1, that is green to blue-green: hue 130 to 230 degrees, chroma over 8."""
    return _area(
        patch, "patina_area", lambda light, chroma, hue: (hue > 130) & (hue < 230) & (chroma > 8) & (light > 15)
    )


def bloom_area(patch: Patch) -> Reading:
    """Share of the part, 0 to 1, in blotches much lighter than its middle and without colour (chroma under 8)."""
    return _area(
        patch, "bloom_area", lambda light, chroma, _: (light > np.median(light) + 15) & (chroma < 8) & (light < 95)
    )


def _area(patch: Patch, name: str, looks_so: Callable[[Floats, Floats, Floats], Mask]) -> Reading:
    seen = _light_chroma_hue(patch)
    if seen is None:
        return Reading(name, float("nan"), "share", NO_WHITE)
    where = np.zeros(seen[3].shape, np.uint8)
    where[seen[3]] = looks_so(*seen[:3])
    blotches = cv2.morphologyEx(where, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    return Reading(name, float(blotches[seen[3]].mean()), "share", "of the part's pixels, against white in view")


def _light_chroma_hue(patch: Patch) -> tuple[Floats, Floats, Floats, Mask] | None:
    inside: Mask = np.asarray(np.isfinite(patch.tile_colours).all(axis=2))
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
