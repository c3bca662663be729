"""What covers lie in: blotches, print, and the straight edges of labels and caps, over the frame."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.swatches.fields import SIDE, axes, fractal, noise
from idkit.swatches.surfaces import Random
from idkit.vocabulary import Image


def band(random: Random) -> Image:
    """All to one side of a straight edge, or between two: a label, a cap, the body of a can against its ends."""
    x, y = axes(random)
    low, high = sorted(random.uniform(-1.2, 1.2, 2))
    inside = (x > low) & (x < high) if random.random() < 0.5 else x + 0.05 * y**2 < random.uniform(-0.5, 0.7)
    return np.asarray(cv2.GaussianBlur(inside.astype(np.float32), (0, 0), 0.7), np.float32)


def blotches(sheets: int, random: Random) -> np.ndarray:
    """Which of so many colours lies where, in blotches, side x side."""
    if sheets == 1:
        return np.zeros((SIDE, SIDE), int)
    field = fractal(random.uniform(0.05, 0.3), random)
    return np.digitize(field, np.linspace(-0.8, 0.8, sheets - 1))


def printed(sheets: int, random: Random) -> np.ndarray:
    """Which of so many inks lies where: blocks, lines of lettering and pictures, sharp at their edges."""
    which = np.zeros((SIDE, SIDE), int)
    for number in range(1, sheets):
        kind = int(random.integers(4)) % 3
        if kind == 1:  # a block
            left, top = random.integers(0, SIDE * 3 // 4, 2)
            wide, high = random.integers(SIDE // 8, SIDE * 2 // 3, 2)
            which[top : top + high, left : left + wide] = number
        elif kind == 0:  # lines of lettering
            letters = noise(random.uniform(0.012, 0.05), random) > random.uniform(0, 1)
            rows = (np.arange(SIDE) // max(3, int(random.integers(5, 24))))[:, None] % 2 == 0
            which[letters & rows] = number
        else:  # a picture
            which[fractal(random.uniform(0.1, 0.5), random) > random.uniform(-0.3, 1)] = number
    return which
