"""How numbers become colours on the part: for docs/drawing/paintings.py."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.vocabulary import Floats, Mask, Patch

Canvas = NDArray[np.uint8]
Colour = tuple[int, int, int]

PAPER: Colour = (250, 250, 247)
WARM, COOL, ALARM, MAGENTA = (255, 200, 0), (40, 110, 255), (230, 30, 30), (255, 0, 200)
RUST, GREEN, PALE = (255, 120, 0), (0, 190, 120), (0, 200, 255)


def inside_of(patch: Patch) -> Mask:
    """Where the tile shows the part."""
    return np.asarray(np.isfinite(patch.tile_colours).all(axis=2))


def laid(inside: Mask, shown: Canvas) -> Canvas:
    """Colours, n x 3, on the n pixels of the part, paper around them."""
    picture = np.empty((*inside.shape, 3), np.uint8)
    picture[:] = PAPER
    picture[inside] = shown
    return picture


def colourless(patch: Patch) -> Canvas:
    """The part without its colour."""
    inside = inside_of(patch)
    light = np.clip(165 * np.clip(patch.tile[inside], 0, 2) ** 0.45, 0, 235).astype(np.uint8)
    return laid(inside, np.repeat(light[:, None], 3, axis=1))


def over(shown: Canvas, paint: Colour) -> Canvas:
    """Paint through which a little still shows."""
    return np.asarray(0.25 * shown + 0.75 * np.array(paint), np.uint8)


def on_screen(lab: Floats) -> Canvas:
    """CIELAB as sRGB; n x 3."""
    from skimage.color import lab2rgb

    return np.asarray(np.clip(lab2rgb(lab) * 255, 0, 255), np.uint8)


def rising(values: Floats) -> Canvas:
    """0 to 1 from dark blue to yellow; n to n x 3."""
    codes = np.clip(values * 255, 0, 255).astype(np.uint8)
    return np.asarray(cv2.applyColorMap(codes.reshape(-1, 1), cv2.COLORMAP_VIRIDIS)[:, 0, ::-1])


def two_ways(values: Floats) -> Canvas:
    """-1 orange, 0 light grey, 1 blue; n to n x 3."""
    share = np.clip(values, -1, 1)[:, None]
    middle, low, high = np.array([225.0] * 3), np.array([215.0, 95, 0]), np.array([20.0, 80, 200])
    return np.asarray(middle + np.where(share < 0, -share * (low - middle), share * (high - middle)), np.uint8)


def arrow(picture: Canvas, angle: float, share: float) -> None:
    """Two heads, through the middle; the length is the share of what has room."""
    height, width = picture.shape[:2]
    reach = 0.45 * min(height, width) * max(share, 0.06)
    way = np.array([np.cos(angle), np.sin(angle)]) * reach
    ends = [tuple(int(v) for v in np.array([width / 2, height / 2]) + sign * way) for sign in (-1, 1)]
    for thick, paint in ((7, PAPER), (3, MAGENTA)):
        cv2.arrowedLine(picture, ends[0], ends[1], paint, thick, cv2.LINE_AA, tipLength=0.15)
        cv2.arrowedLine(picture, ends[1], ends[0], paint, thick, cv2.LINE_AA, tipLength=0.15)
