"""No part, a small one, a blurred one: measured in pixels of the photo."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.see.light import luminance
from idkit.see.srgb import light_in
from idkit.vocabulary import Fault, Image, Part, Photo, Scene

SIDE = 256  # longer side, in pixels, at which the part's edges are measured
STEP = 2  # pixels from the middle of one window, along an edge or across it, to that of the next
SHARPEST_PHOTO = 4.0  # pixels of the photo that a sharp edge takes at most, demosaicing and sharpening included
SHARPEST_PART = 0.036  # share of the part's longer side over which an edge may spread
SLANT = 0.5**0.5  # cosine of 45 degrees
SMALLEST = 48.0  # pixels of the photo along the part's longer side; from memory


def no_part(scene: Scene) -> float:
    """1 where no part was found."""
    return float(scene.part is None)


def smallness(scene: Scene) -> float:
    """How many times smaller than 48 pixels of the photo the part's longer side is."""
    return SMALLEST / (scene.photo.shrunk * max(scene.part.box[2:])) if scene.part is not None else float("nan")


def blur(scene: Scene) -> float:
    """How wide the sharpest edges of the part and its outline are, as a multiple of what a sharp photo shows.

    Width is contrast over steepest slope, 2.5 sigma for a step under a Gaussian blur, in windows of a fifth of the
    part along four directions; the sharpest twentieth of the windows that hold half the strongest contrast counts, in
    the worst direction: a moving camera blurs only one. Smooth parts have no such windows inside and do not count.
    """
    if scene.part is None:
        return float("nan")
    light, scale = _around(scene.photo, scene.part)
    side = max(scene.part.box[2:])
    reach = max(4, round(side / scale / 10))
    width = max(_edge_width(light, reach, along) for along in range(4)) * scale
    return width / max(SHARPEST_PHOTO / scene.photo.shrunk, SHARPEST_PART * side)


def _around(photo: Photo, part: Part) -> tuple[Image, float]:
    """Square root of luminance of the part and a margin, its longer side at most 256 pixels, and photo pixels each."""
    x, y, across, down = part.box
    margin = round(0.15 * max(across, down))
    height, width = photo.encoded.shape[:2]
    left, top = max(0, x - margin), max(0, y - margin)
    cut = left, top, min(width, x + across + margin) - left, min(height, y + down + margin) - top
    small = light_in(photo, cut, round(SIDE * max(cut[2:]) / max(across, down)))
    return np.asarray(np.sqrt(luminance(small)), np.float32), max(cut[2:]) / max(small.shape[:2])


def _edge_width(light: Image, reach: int, along: int) -> float:
    """Width in pixels of the sharpest edges across one direction: 0 horizontal, 1 vertical, 2 and 3 diagonal."""
    line = np.ones((1, 2 * reach + 1), np.uint8), np.ones((2 * reach + 1, 1), np.uint8)
    slant = np.eye(2 * reach + 1, dtype=np.uint8)
    window = (*line, slant, np.ascontiguousarray(slant[::-1]))[along]
    right, down = (cv2.Scharr(light, cv2.CV_32F, 1 - axis, axis) / 32 for axis in (0, 1))
    slope = (right, down, (right + down) * SLANT, (right - down) * SLANT)[along]
    contrast = (cv2.dilate(light, window) - cv2.erode(light, window))[::STEP, ::STEP]
    strong = contrast > 0.5 * np.percentile(contrast, 99)
    if not strong.any():
        return 0.0
    steepest = cv2.dilate(np.abs(slope), window)[::STEP, ::STEP]
    return float(np.percentile(contrast[strong] / np.maximum(steepest[strong], 1e-6), 5))


MEMORY = "from memory"

FAULTS = (
    Fault(
        "no-part",
        "no part found: lay one part on white paper, fill half the frame and take it again",
        no_part,
        limit=0.5,
        worst=1.0,
        doubt=1.0,
        colour=True,
        source=MEMORY,
    ),
    Fault(
        "small",
        "the part is small in the picture: go closer",
        smallness,
        limit=1.0,
        worst=4.0,
        doubt=0.4,
        colour=False,
        source=MEMORY,
    ),
    Fault(
        "blurred",
        "blurred: hold still, tap the part to focus, wipe the lens or go a little further away",
        blur,
        limit=1.0,
        worst=3.0,
        doubt=0.4,
        colour=False,
        source="edge width, after Marziliano and others 2002",
    ),
)
