"""What lies over the frame: blotches, print, the straight edges of labels and caps; and the grain of metal."""

from __future__ import annotations

from collections.abc import Callable

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


# Grains: how much more or less of the light each point of a metal throws towards the eye, about 1. All from memory.


def _spangle(random: Random) -> Image:
    """Hot-dip zinc: crystals as frost on a window, each with a sheen of its own."""
    seeds = np.full((SIDE, SIDE), 255, np.uint8)
    count = int(np.exp(random.uniform(np.log(25), np.log(600))))
    seeds[random.integers(0, SIDE, count), random.integers(0, SIDE, count)] = 0
    _, crystal = cv2.distanceTransformWithLabels(seeds, cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL)
    sheen = random.normal(0, random.uniform(0.08, 0.35), count + 1)[crystal]
    return np.asarray(np.exp(sheen + 0.04 * noise(0.02, random)), np.float32)


def _mottle(random: Random) -> Image:
    """Die-cast zinc: cloudy patches and flow marks, drawn out the way the metal ran."""
    x, y = axes(random)
    field = fractal(random.uniform(0.06, 0.25), random, 3)
    way = random.uniform(0, 0.15) * fractal(0.3, random, 2)
    at = [np.clip((axis + way + 1) * SIDE / 2, 0, SIDE - 1) for axis in (x * random.uniform(0.2, 1), y)]
    drawn = cv2.remap(field, at[0].astype(np.float32), at[1].astype(np.float32), cv2.INTER_LINEAR)
    return np.asarray(np.exp(random.uniform(0.08, 0.3) * np.tanh(random.uniform(1, 3) * drawn)), np.float32)


def _brushed(random: Random) -> Image:
    """Brushed or rolled: streaks one way, finer or coarser."""
    x, y = axes(random)
    walk = cv2.GaussianBlur(np.cumsum(random.normal(size=(1, 1024)), axis=1), (0, 0), 3)
    streaks = (walk - cv2.GaussianBlur(walk, (0, 0), float(random.uniform(5, 30))))[0]
    at = np.clip((x + 1.5 + 0.01 * y) / 3 * 1023, 0, 1023)
    lines = np.interp(at, np.arange(1024), streaks / streaks.std())
    return np.asarray(np.exp(random.uniform(0.03, 0.2) * lines), np.float32)


def _sand(random: Random) -> Image:
    """Sand-cast: a skin of fine pits, darker in them."""
    pits = np.clip(noise(random.uniform(0.012, 0.03), random), 0, None) + 0.5 * np.abs(fractal(0.08, random, 2))
    return np.asarray(np.exp(-random.uniform(0.05, 0.35) * pits), np.float32)


GRAINS: dict[str, Callable[[Random], Image]] = {
    "spangle": _spangle, "mottle": _mottle, "brushed": _brushed, "sand": _sand
}  # fmt: skip
