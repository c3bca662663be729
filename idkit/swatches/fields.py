"""Numbers over the frame of a simulated photograph: noise, axes turned by chance, slopes of heights."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.swatches.surfaces import Random
from idkit.vocabulary import Image

SIDE = 150  # pixels of the frame


def noise(scale: float, random: Random, side: int = SIDE) -> Image:
    """Smooth noise of unit variance whose blotches are about `scale` of the frame wide, side x side."""
    cells = max(2, round(1 / scale))
    small = random.normal(size=(cells + 3, cells + 3)).astype(np.float32)
    step = side / cells
    shift = random.uniform(0, 1, 2)
    x = (np.arange(side, dtype=np.float32) / step + 0.5 + shift[0]).astype(np.float32)
    y = (np.arange(side, dtype=np.float32) / step + 0.5 + shift[1]).astype(np.float32)
    large = cv2.remap(small, np.tile(x, (side, 1)), np.tile(y[:, None], (1, side)), cv2.INTER_CUBIC)
    return np.asarray(large / max(float(large.std()), 1e-6), np.float32)


def fractal(scale: float, random: Random, octaves: int = 4) -> Image:
    """Noise of several scales, each half as wide and 0.6 as strong as the one before; unit variance."""
    total = sum(0.6**i * noise(scale / 2**i, random) for i in range(octaves))
    return np.asarray(total / np.std(total), np.float32)


def axes(random: Random) -> tuple[Image, Image]:
    """x and y of every pixel, turned by a random angle."""
    axis = np.linspace(-1, 1, SIDE, dtype=np.float32)
    x, y = np.meshgrid(axis, axis)
    turn = random.uniform(0, 2 * np.pi)
    return (
        np.asarray(np.cos(turn) * x + np.sin(turn) * y, np.float32),
        np.asarray(-np.sin(turn) * x + np.cos(turn) * y, np.float32),
    )


def turned(x: Image, y: Image, along: Image, across: Image) -> Image:
    """Slopes along the turned axes to slopes in the frame."""
    cos, sin = float(x[0, -1] - x[0, 0]) / 2, float(y[0, 0] - y[0, -1]) / 2
    return np.stack([cos * along - sin * across, sin * along + cos * across], axis=2).astype(np.float32)


def slopes_of(height: Image) -> Image:
    """Slopes of a height in half frames."""
    step = 2 / SIDE
    return np.stack([np.gradient(height, axis=1), np.gradient(height, axis=0)], axis=2).astype(np.float32) / step


def nothing() -> Image:
    """No relief anywhere."""
    return np.zeros((SIDE, SIDE), np.float32)
