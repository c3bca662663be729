"""Numbers over the frame of a simulated photograph, or over a part: noise, axes turned by chance."""

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


def fractal(scale: float, random: Random, octaves: int = 4, side: int = SIDE) -> Image:
    """Noise of several scales, each half as wide and 0.6 as strong as the one before; unit variance."""
    total = sum(0.6**i * noise(scale / 2**i, random, side) for i in range(octaves))
    return np.asarray(total / np.std(total), np.float32)


def axes(random: Random, side: int = SIDE) -> tuple[Image, Image]:
    """x and y from -1 to 1 of every pixel, turned by a random angle, side x side each."""
    axis = np.linspace(-1, 1, side, dtype=np.float32)
    x, y = np.meshgrid(axis, axis)
    turn = random.uniform(0, 2 * np.pi)
    return (
        np.asarray(np.cos(turn) * x + np.sin(turn) * y, np.float32),
        np.asarray(-np.sin(turn) * x + np.cos(turn) * y, np.float32),
    )
