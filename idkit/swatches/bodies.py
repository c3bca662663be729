"""Shapes that parts come in, as heights over the ground: whatever is seen from above.

Coordinates run from -1 to 1 across the frame, x to the right, y up, z towards the sky; the ground is at 0.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from idkit.swatches.fields import axes, fractal, noise
from idkit.swatches.surfaces import Random
from idkit.vocabulary import Image, Mask

GRID = 300  # points along each side of a body
RELIEFS = 3  # fewer than so many lie over each other on one part
FINEST = 0.9  # spread, in points of the grid, that edges are broken by


@dataclass(frozen=True)
class Body:
    """`height` GRID x GRID over the ground; `mask` where the part is; `hollow` 0 open to 1 in a pit or a groove.

    `whole` is False for what is larger than the frame.
    """

    height: Image
    mask: Mask
    hollow: Image
    whole: bool = True


def body(made: str, random: Random) -> Body:
    """One of the shapes that this making gives (a key of MAKINGS), turned any way, with its relief."""
    shapes, reliefs = MAKINGS[made]
    x, y = axes(random, GRID)
    height, mask = shapes[int(random.integers(len(shapes)))](x, y, random)
    whole = not (made in LARGE and random.random() < 0.5)
    mask = mask if whole else np.ones_like(mask)
    drawn = random.integers(len(reliefs), size=int(random.integers(RELIEFS)))
    texture = sum((reliefs[int(i)](random) for i in drawn), _nothing())
    pits = np.clip(cv2.Laplacian(cv2.GaussianBlur(texture, (0, 0), 3), cv2.CV_32F) * 40, 0, 0.6)
    surface = cv2.GaussianBlur(np.asarray(height, np.float32), (0, 0), FINEST) + texture
    lifted = surface - float(surface[mask].min()) + random.uniform(0.01, 0.1)
    return Body(np.asarray(lifted, np.float32), mask, np.clip(pits, 0, 1).astype(np.float32), whole)


# Shapes: height and outline -------------------------------------------------------------------------------------------


def _disc(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Coin, lid, washer: flat, with a raised rim, a relief of blots and rings, its edge broken."""
    radius = np.hypot(x, y * random.uniform(1, 1.25)) / random.uniform(0.75, 0.92)
    raised = 0.5 + 0.5 * np.tanh(3 * (fractal(random.uniform(0.08, 0.3), random, side=GRID) - 0.6))
    rings = np.cos(random.uniform(10, 60) * radius) * random.choice([0.0, 0.0, 1.0])
    rim = 1 / (1 + np.exp(np.clip((random.uniform(0.85, 0.96) - radius) * 60, -30, 30)))
    height = random.uniform(0, 0.02) * raised + random.uniform(0.003, 0.015) * rings + random.uniform(0, 0.04) * rim
    inner = radius < 1
    if random.random() < 0.25:
        inner &= radius > random.uniform(0.2, 0.6)
    return height - 0.06 * np.exp(np.clip((radius - 1) * 25, -30, 0)), inner


def _cylinder(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Can, tube, bar, tap: round one way, often stepped, sometimes ribbed or threaded along the other."""
    length, steps = random.uniform(0.6, 0.92), int(random.integers(1, 5))
    ends = np.sort(random.uniform(-length, length, steps - 1))
    halves = random.uniform(0.3, 0.7) * np.exp(random.normal(0, 0.25, steps))
    half = np.minimum(halves, 0.8)[np.searchsorted(ends, y)]
    if random.random() < 0.35:
        half = half * (1 + random.uniform(0.02, 0.12) * np.sin(random.uniform(15, 60) * y))
    up = np.sqrt(np.clip(half**2 - x**2, 0, None))
    flat = random.choice([1.0, 1.0, 0.5])
    return flat * up, (np.abs(x) < half * 0.99) & (np.abs(y) < length)


def _round(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Knob, ball, boss."""
    a, b = random.uniform(0.6, 0.92, 2)
    away = (x / a) ** 2 + (y / b) ** 2
    return random.uniform(0.2, 0.9) * np.sqrt(np.clip(1 - away, 0, None)), away < 0.98


def _block(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Flat faces that meet in edges, with bosses on them and bores through: box, bracket, housing, flange."""
    wide, high = random.uniform(0.6, 0.92, 2)
    height = np.full_like(x, random.uniform(0.15, 0.6))
    for _ in range(int(random.integers(1, 5))):
        turn, place = random.uniform(0, 2 * np.pi), random.uniform(-0.3, 0.6)
        away = np.cos(turn) * x + np.sin(turn) * y - place
        height = height - random.uniform(0.2, 1.6) * np.clip(away, 0, None)
    for _ in range(int(random.integers(0, 4))):
        at, size, rise = random.uniform(-0.5, 0.5, 2), random.uniform(0.06, 0.3), random.choice([-1, -1, 1])
        inside = (np.hypot(x - at[0], y - at[1]) < size).astype(np.float32)
        height = height + rise * random.uniform(0.05, 0.35) * inside
    return np.asarray(np.maximum(height, 0.0), np.float32), (np.abs(x) < wide) & (np.abs(y) < high)


def _sheet(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Flat sheet or plate, a little bent and dented, sometimes angled."""
    height = random.uniform(0.005, 0.05) * fractal(random.uniform(0.3, 1), random, 2, GRID)
    if random.random() < 0.3:
        height = height + random.uniform(0.2, 1.2) * np.clip(x - random.uniform(-0.3, 0.5), 0, None)
    mask = (np.abs(x) < random.uniform(0.5, 0.92)) & (np.abs(y) < random.uniform(0.6, 0.92))
    return height + random.normal(0, 0.12) * x + random.normal(0, 0.12) * y, mask


def _crumpled(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Foil, crushed can, torn sheet: facets at all angles, as the upper side of many planes and the lower of others."""
    height = _nothing()
    for _ in range(int(random.integers(6, 40))):
        turn = random.uniform(0, 2 * np.pi)
        away = np.cos(turn) * x + np.sin(turn) * y - random.uniform(-0.9, 0.9) + 0.05 * noise(0.3, random, GRID)
        height = height + random.normal() * np.abs(away)
    steep = random.uniform(0.2, 0.9) / max(float(np.hypot(*np.gradient(height)).mean()) * GRID / 2, 1e-6)
    outline = np.hypot(x, y * random.uniform(1, 1.6)) + 0.08 * noise(0.25, random, GRID)
    return np.asarray(height * steep, np.float32), outline < 0.85


def _lump(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Casting, forging: soft hills and hollows."""
    outline = np.hypot(x, y * random.uniform(1, 1.5)) + 0.1 * noise(0.4, random, GRID)
    dome = random.uniform(0, 0.6) * np.sqrt(np.clip(1 - (outline / 0.9) ** 2, 0, None))
    return dome + random.uniform(0.05, 0.2) * fractal(random.uniform(0.25, 0.7), random, 2, GRID), outline < 0.85


def _cup(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Looking into a can, bowl, pipe end: walls that mirror each other round a flat bottom."""
    radius = np.hypot(x, y) / 0.92
    bottom = random.uniform(0.3, 0.85)
    wall = np.clip((radius - bottom) / random.uniform(0.05, max(0.06, 0.95 - bottom)), 0, 1)
    return np.asarray(random.uniform(0.15, 0.9) * wall ** random.uniform(0.5, 2), np.float32), radius < 1


def _tin(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """The end of a can or a stamped lid, a tray with fluted walls: deep rings about a flat or sunken middle."""
    radius, angle = np.hypot(x, y * random.uniform(1, 1.5)) / 0.92, np.arctan2(y, x)
    rings = sum(
        random.uniform(-1, 1) * np.exp(-(((radius - random.uniform(0.1, 1)) / random.uniform(0.02, 0.06)) ** 2))
        for _ in range(int(random.integers(1, 7)))
    )
    wall = 1 / (1 + np.exp(np.clip(-(radius - random.uniform(0.6, 0.95)) * 60, -30, 30)))
    flutes = random.choice([0.0, 0.0, 1.0]) * np.sin(int(random.integers(30, 90)) * angle) * wall
    deep, fluted = random.uniform(-0.25, 0.25) * wall, random.uniform(0.003, 0.015) * flutes
    return random.uniform(0.01, 0.06) * rings + deep + fluted, radius < 1


def _folded(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Paper, board, an opened box: flat faces that meet in sharp straight folds."""
    height, mask = _sheet(x, y, random)
    for _ in range(int(random.integers(0, 5))):
        turn = random.choice([0.0, np.pi / 2]) + random.normal(0, 0.1)
        away = np.cos(turn) * x + np.sin(turn) * y - random.uniform(-0.8, 0.8)
        height = height + random.normal(0, 0.3) * np.clip(away, 0, None)
    return height, mask


def _profile(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Extrusion, rail, finned or fluted part: the same along one way."""
    places = np.linspace(-1.5, 1.5, 1200)
    stairs = np.repeat(random.uniform(0, random.uniform(0.05, 0.5), 24), 50)
    smooth = cv2.GaussianBlur(stairs[None].astype(np.float32), (0, 0), float(random.uniform(2, 16)))[0]
    mask = (np.abs(x) < random.uniform(0.4, 0.92)) & (np.abs(y) < random.uniform(0.7, 0.92))
    return np.asarray(np.interp(x, places, smooth), np.float32), mask


def _wires(x: Image, y: Image, random: Random) -> tuple[Image, Mask]:
    """Wire or thin tube in a bundle or a coil: round strands side by side, over and under."""
    height = _nothing()
    thick, coil = random.uniform(0.03, 0.14), random.random() < 0.4
    for _ in range(int(random.integers(3, 16))):
        turn, bend = random.normal(0, 0.25), random.normal(0, 0.25)
        line = np.cos(turn) * x + np.sin(turn) * y + bend * y**2 - random.uniform(-0.6, 0.6)
        away = np.hypot(x, y) - random.uniform(0.4, 0.85) + 0.05 * noise(0.8, random, GRID) if coil else line
        strand = np.sqrt(np.clip(1 - (away / thick) ** 2, 0, None)) + random.uniform(0, 1.5)
        height = np.maximum(height, np.where(np.abs(away) < thick, thick * strand, 0))
    return height, (height > 0) & (np.hypot(x, y) < 0.95)


# Reliefs: heights of what the making leaves on a surface --------------------------------------------------------------


def _smooth(random: Random) -> Image:
    """Polished, plated, painted over."""
    del random
    return _nothing()


def _grain(random: Random) -> Image:
    """Sand-cast or corroded: pits and grains."""
    scale = random.uniform(0.015, 0.06)
    deep = np.exp(random.uniform(np.log(1.5e-3), np.log(2e-2)))
    return np.asarray(deep * fractal(scale, random, 2, GRID), np.float32)


def _mottle(random: Random) -> Image:
    """Die-cast flow marks, orange peel, hammered blotches."""
    scale = random.uniform(0.05, 0.15)
    deep = np.exp(random.uniform(np.log(3e-3), np.log(2.6e-2)))
    return np.asarray(deep * fractal(scale, random, 3, GRID), np.float32)


def _lines(random: Random) -> Image:
    """Rolled, brushed, filed: fine lines one way."""
    profile = cv2.GaussianBlur(random.normal(size=(1, 3 * GRID)).astype(np.float32), (0, 0), random.uniform(1.2, 3.2))
    x, y = axes(random, GRID)
    at = np.clip((x + 1.5) * GRID + 0.02 * GRID * y**2, 0, 3 * GRID - 1).astype(np.float32)
    drawn = cv2.remap(profile, at, np.zeros_like(at), cv2.INTER_LINEAR)
    return np.asarray(np.exp(random.uniform(np.log(1e-3), np.log(8e-3))) * drawn / drawn.std(), np.float32)


def _turning(random: Random) -> Image:
    """Turned on a lathe: fine rings."""
    x, y = axes(random, GRID)
    centre = random.normal(0, 0.2, 2)
    rings = np.sin(random.uniform(60, 250) * np.hypot(x - centre[0], y - centre[1]))
    return np.asarray(random.uniform(3e-4, 2.5e-3) * rings, np.float32)


def _embossed(random: Random) -> Image:
    """Letters, marks, ribs and seams pressed or cast in."""
    field = fractal(random.uniform(0.06, 0.25), random, 3, GRID)
    raised = np.tanh(random.uniform(2, 8) * (field - random.uniform(-0.5, 1))).astype(np.float32)
    return np.asarray(random.uniform(0.006, 0.04) * cv2.GaussianBlur(raised, (0, 0), 1.6), np.float32)


def _creases(random: Random) -> Image:
    """Folds, dents and wrinkles."""
    ridges = sum(np.abs(noise(random.uniform(0.1, 0.5), random, GRID)) for _ in range(3))
    return np.asarray(-np.exp(random.uniform(np.log(8e-3), np.log(7e-2))) * ridges, np.float32)


def _nothing() -> Image:
    return np.zeros((GRID, GRID), np.float32)


_Shape = Callable[[Image, Image, Random], tuple[Image, Mask]]
_Relief = Callable[[Random], Image]

LARGE = ("board",)  # often larger than the frame

# Shapes and reliefs by how a part is made; a name twice is twice as common. From memory.
MAKINGS: dict[str, tuple[tuple[_Shape, ...], tuple[_Relief, ...]]] = {
    "cast": (
        (_disc, _cylinder, _round, _block, _block, _lump, _lump, _cup),
        (_smooth, _grain, _grain, _mottle, _embossed, _embossed, _turning),
    ),
    "sheet": (
        (_disc, _tin, _tin, _cylinder, _block, _sheet, _crumpled, _crumpled, _cup, _profile),
        (_smooth, _grain, _lines, _embossed, _embossed, _creases, _mottle),
    ),
    "drawn": (
        (_disc, _disc, _cylinder, _cylinder, _round, _block, _sheet, _crumpled, _cup, _profile, _wires),
        (_smooth, _grain, _lines, _turning, _embossed, _embossed, _creases),
    ),
    "moulded": (
        (_disc, _tin, _cylinder, _cylinder, _round, _block, _block, _sheet, _lump, _cup),
        (_smooth, _smooth, _smooth, _embossed, _embossed, _mottle, _lines),
    ),
    # a file leaves a flat, emery follows the shape; marks are finer than what is measured as often as not
    "filed": ((_sheet, _sheet, _sheet, _cylinder), (_lines, _smooth, _smooth)),
    "board": ((_folded, _folded, _folded, _sheet, _crumpled), (_smooth, _smooth, _smooth, _creases, _lines, _grain)),
    "film": (
        (_cylinder, _cylinder, _cup, _tin, _profile, _sheet, _crumpled, _block),
        (_smooth, _creases, _creases, _embossed),
    ),
}
