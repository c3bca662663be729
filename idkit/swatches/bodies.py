"""Shapes that parts come in, as fields of surface directions seen from above: quick to shade, no rays are traced.

Coordinates run from -1 to 1 across the frame, x to the right, y down, z towards the camera.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from idkit.swatches.fields import SIDE, axes, fractal, noise, nothing, slopes_of, turned
from idkit.swatches.surfaces import Random
from idkit.vocabulary import Image, Mask

LEAST = 0.2  # of the frame that a part larger than it shows


@dataclass(frozen=True)
class Body:
    """`slopes` side x side x 2: dz/dx and dz/dy of the surface; `mask` where it is; `hollow` 0 open to 1 deep in."""

    slopes: Image
    mask: Mask
    hollow: Image


def body(made: str, random: Random) -> Body:
    """One of the shapes that this making gives (a key of MAKINGS), turned any way, with its relief."""
    shapes, reliefs = MAKINGS[made]
    plain = shapes[int(random.integers(len(shapes)))](*axes(random), random)
    texture = sum((reliefs[int(i)](random) for i in random.integers(len(reliefs), size=3)), nothing())
    cavity = np.clip(cv2.Laplacian(cv2.GaussianBlur(texture, (0, 0), 1.5), cv2.CV_32F) * 12, 0, 0.6)
    slopes = plain.slopes + slopes_of(texture)
    return Body(slopes, plain.mask, np.clip(plain.hollow + cavity, 0, 1).astype(np.float32))


def spot(random: Random) -> Mask:
    """A filed spot: a rectangle a fifth to three fifths of the frame wide and high, near the middle."""
    mask = np.zeros((SIDE, SIDE), bool)
    wide, high = (int(side) for side in random.uniform(0.2, 0.6, 2) * SIDE)
    left, top = (SIDE - wide) // 2 + int(random.integers(-9, 10)), (SIDE - high) // 2 + int(random.integers(-9, 10))
    mask[top : top + high, left : left + wide] = True
    return mask


def normals(slopes: Image) -> Image:
    """Unit surface directions, side x side x 3, of dz/dx and dz/dy."""
    upright = np.concatenate([-slopes, np.ones_like(slopes[..., :1])], axis=2)
    return np.asarray(upright / np.linalg.norm(upright, axis=2, keepdims=True), np.float32)


def _disc(x: Image, y: Image, random: Random) -> Body:
    """Coin, lid, washer: flat, with a raised rim, a relief of blots and rings."""
    radius = np.hypot(x, y * random.uniform(1, 1.25)) / 0.92
    raised = 0.5 + 0.5 * np.tanh(3 * (fractal(random.uniform(0.08, 0.3), random) - 0.6))
    rings = np.cos(random.uniform(10, 60) * radius) * random.choice([0.0, 0.0, 1.0])
    rim = 1 / (1 + np.exp((radius - random.uniform(0.85, 0.96)) * 60))
    height = random.uniform(0, 0.02) * raised + random.uniform(0.003, 0.015) * rings - random.uniform(0, 0.06) * rim
    edge = -3 * np.exp((radius - 1) * 25)
    out = np.stack([x, y], axis=2) / np.maximum(np.hypot(x, y), 1e-3)[..., None]
    inner = radius < 1
    if random.random() < 0.25:
        inner &= radius > random.uniform(0.2, 0.6)
    slopes = slopes_of(cv2.GaussianBlur(height.astype(np.float32), (0, 0), 1)) + turned(
        x, y, out[..., 0] * edge, out[..., 1] * edge
    )
    return Body(slopes, inner, nothing())


def _cylinder(x: Image, y: Image, random: Random) -> Body:
    """Can, tube, bar, tap: round one way, sometimes ribbed or stepped along the other."""
    half, length = random.uniform(0.3, 0.7), random.uniform(0.6, 0.92)
    across = np.clip(x / half, -0.995, 0.995)
    slope = -across / np.sqrt(1 - across**2) * random.choice([1.0, 1.0, 0.5])
    ribs = random.choice([0.0, 0.0, 1.0]) * random.uniform(0.1, 0.7) * np.sin(random.uniform(15, 60) * y)
    return Body(turned(x, y, slope, ribs), (np.abs(x) < half) & (np.abs(y) < length), nothing())


def _round(x: Image, y: Image, random: Random) -> Body:
    """Knob, ball, boss."""
    a, b = random.uniform(0.6, 0.92, 2)
    away = (x / a) ** 2 + (y / b) ** 2
    up = np.sqrt(np.clip(1 - away, 0.02, None))
    depth = random.uniform(0.3, 1)
    return Body(turned(x, y, -depth * x / a**2 / up, -depth * y / b**2 / up), away < 1, nothing())


def _block(x: Image, y: Image, random: Random) -> Body:
    """Two or three flat faces that meet in soft edges: box, bracket, housing."""
    slopes = np.stack([nothing(), nothing()], axis=2)
    for _ in range(int(random.integers(1, 4))):
        turn, place = random.uniform(0, 2 * np.pi), random.uniform(-0.4, 0.5)
        side = (np.cos(turn) * x + np.sin(turn) * y - place) / random.uniform(0.01, 0.06)
        share = 1 / (1 + np.exp(-np.clip(side, -30, 30)))
        tilt = random.uniform(0.2, 1.6)
        slopes = slopes * (1 - share[..., None]) - share[..., None] * tilt * np.array([np.cos(turn), np.sin(turn)])
    mask = (np.abs(x) < random.uniform(0.6, 0.92)) & (np.abs(y) < random.uniform(0.6, 0.92))
    return Body(turned(x, y, slopes[..., 0], slopes[..., 1]), mask, nothing())


def _sheet(x: Image, y: Image, random: Random) -> Body:
    """Flat sheet or plate, a little bent and dented."""
    height = random.uniform(0.005, 0.05) * fractal(random.uniform(0.3, 1), random, 2)
    mask = (np.abs(x) < random.uniform(0.5, 0.92)) & (np.abs(y) < random.uniform(0.6, 0.92))
    bend = np.full((SIDE, SIDE, 2), random.normal(0, 0.15, 2))
    return Body(np.asarray(slopes_of(height) + bend, np.float32), mask, nothing())


def _crumpled(x: Image, y: Image, random: Random) -> Body:
    """Foil, crushed can, torn sheet: facets at all angles."""
    count = int(random.integers(12, 160))
    seeds = random.uniform(-1, 1, (count, 2)).astype(np.float32)
    away = (x[..., None] - seeds[:, 0]) ** 2 + (y[..., None] - seeds[:, 1]) ** 2
    tilts = random.normal(0, random.uniform(0.15, 0.7), (count, 2)).astype(np.float32)
    slopes = cv2.GaussianBlur(tilts[away.argmin(axis=2)], (0, 0), float(random.uniform(0.6, 3)))
    outline = np.hypot(x, y * random.uniform(1, 1.6)) + 0.08 * noise(0.25, random)
    return Body(np.asarray(slopes, np.float32), outline < 0.85, nothing())


def _lump(x: Image, y: Image, random: Random) -> Body:
    """Casting, forging: soft hills and hollows."""
    height = random.uniform(0.08, 0.25) * fractal(random.uniform(0.25, 0.7), random, 2)
    outline = np.hypot(x, y * random.uniform(1, 1.5)) + 0.1 * noise(0.4, random)
    hollow = np.clip(-height / 0.3, 0, 0.6)
    return Body(slopes_of(height.astype(np.float32)), outline < 0.85, np.asarray(hollow, np.float32))


def _cup(x: Image, y: Image, random: Random) -> Body:
    """Looking into a can, bowl, pipe end: walls that mirror each other round a flat bottom."""
    radius = np.hypot(x, y) / 0.92
    bottom = random.uniform(0.3, 0.8)
    wall = radius > bottom
    steep = np.where(wall, random.uniform(1.5, 6), 0.0)
    out = np.stack([x, y], axis=2) / np.maximum(np.hypot(x, y), 1e-3)[..., None]
    hollow = np.where(wall, random.uniform(0.3, 0.9), random.uniform(0.1, 0.5))
    along, across = (np.asarray(out[..., i] * steep, np.float32) for i in (0, 1))
    slopes = np.asarray(cv2.GaussianBlur(turned(x, y, along, across), (0, 0), 1), np.float32)
    return Body(slopes, radius < 1, np.asarray(hollow, np.float32))


def _tin(x: Image, y: Image, random: Random) -> Body:
    """The end of a can or a stamped lid, a tray with fluted walls: deep rings about a flat or sunken middle."""
    stretch = random.uniform(1, 1.5)
    radius, angle = np.hypot(x, y * stretch) / 0.92, np.arctan2(y, x)
    rings = sum(
        random.uniform(-1, 1) * np.exp(-(((radius - random.uniform(0.1, 1)) / random.uniform(0.02, 0.06)) ** 2))
        for _ in range(int(random.integers(1, 7)))
    )
    wall = 1 / (1 + np.exp(-(radius - random.uniform(0.6, 0.95)) * 60))
    flutes = random.choice([0.0, 0.0, 1.0]) * np.sin(int(random.integers(30, 90)) * angle) * wall
    height = (
        random.uniform(0.01, 0.06) * rings + random.uniform(-0.25, 0.25) * wall + random.uniform(0.003, 0.015) * flutes
    )
    hollow = np.where(wall > 0.5, random.uniform(0, 0.5), 0.0)
    return Body(slopes_of(height.astype(np.float32)), radius < 1, np.asarray(hollow, np.float32))


def _folded(x: Image, y: Image, random: Random) -> Body:
    """Paper, board, an opened box: flat faces that meet in sharp straight folds, dark where they gape."""
    plain = _sheet(x, y, random)
    slopes, hollow = np.zeros_like(plain.slopes), nothing()
    for _ in range(int(random.integers(0, 5))):
        turn = random.choice([0.0, np.pi / 2]) + random.normal(0, 0.1)
        away = np.cos(turn) * x + np.sin(turn) * y - random.uniform(-0.8, 0.8)
        tilt = random.normal(0, 0.35) * np.array([np.cos(turn), np.sin(turn)])
        slopes = slopes + tilt / (1 + np.exp(-np.clip(away / 0.008, -30, 30)))[..., None]
        hollow = hollow + random.uniform(0, 0.9) * np.exp(-((away / random.uniform(0.008, 0.04)) ** 2))
    faces = turned(x, y, slopes[..., 0], slopes[..., 1])
    mask = plain.mask if random.random() < 0.5 else _filling(random)
    return Body(plain.slopes + faces, mask, np.clip(hollow, 0, 1).astype(np.float32))


def _filling(random: Random) -> Mask:
    """What is larger than the frame, as far as a finder takes it: all of it, or cut once or twice."""
    mask = np.ones((SIDE, SIDE), bool)
    for _ in range(int(random.integers(0, 3))):
        x, _y = axes(random)
        ragged = 0.1 * noise(random.uniform(0.2, 0.6), random) * random.choice([0, 1])
        cut = mask & (x + ragged < random.uniform(-0.2, 0.9))
        mask = cut if cut.mean() > LEAST else mask
    return mask


def _profile(x: Image, y: Image, random: Random) -> Body:
    """Extrusion, rail, finned or fluted part: the same along one way."""
    heights = np.cumsum(random.normal(0, random.uniform(0.02, 0.12), 24))
    at = np.interp(np.linspace(-1, 1, 400), np.linspace(-1, 1, 24), heights)
    smooth = cv2.GaussianBlur(at[None].astype(np.float32), (0, 0), float(random.uniform(1, 6)))[0]
    slope = np.interp(x, np.linspace(-1, 1, 400), np.gradient(smooth) * 200)
    mask = (np.abs(x) < random.uniform(0.4, 0.92)) & (np.abs(y) < random.uniform(0.7, 0.92))
    return Body(turned(x, y, np.asarray(slope, np.float32), nothing()), mask, nothing())


def _smooth(random: Random) -> Image:
    """Polished, plated, painted over."""
    del random
    return nothing()


def _grain(random: Random) -> Image:
    """Sand-cast or corroded: pits and grains."""
    scale = random.uniform(0.015, 0.06)
    return np.asarray(np.exp(random.uniform(np.log(1.5e-3), np.log(2e-2))) * fractal(scale, random, 2), np.float32)


def _mottle(random: Random) -> Image:
    """Die-cast flow marks, orange peel, hammered blotches."""
    scale = random.uniform(0.05, 0.15)
    return np.asarray(np.exp(random.uniform(np.log(3e-3), np.log(2.6e-2))) * fractal(scale, random, 3), np.float32)


def _lines(random: Random) -> Image:
    """Rolled, brushed, filed: fine lines one way."""
    profile = cv2.GaussianBlur(random.normal(size=(1, 3 * SIDE)).astype(np.float32), (0, 0), random.uniform(0.6, 1.6))
    x, y = axes(random)
    at = np.clip((x + 1.5) * SIDE + 0.02 * SIDE * y**2, 0, 3 * SIDE - 1).astype(np.float32)
    drawn = cv2.remap(profile, at, np.zeros_like(at), cv2.INTER_LINEAR)
    return np.asarray(np.exp(random.uniform(np.log(1e-3), np.log(8e-3))) * drawn / drawn.std(), np.float32)


def _turning(random: Random) -> Image:
    """Turned on a lathe: fine rings."""
    x, y = axes(random)
    centre = random.normal(0, 0.2, 2)
    rings = np.sin(random.uniform(60, 250) * np.hypot(x - centre[0], y - centre[1]))
    return np.asarray(random.uniform(3e-4, 2.5e-3) * rings, np.float32)


def _embossed(random: Random) -> Image:
    """Letters, marks, ribs and seams pressed or cast in."""
    field = fractal(random.uniform(0.06, 0.25), random, 3)
    raised = np.tanh(random.uniform(2, 8) * (field - random.uniform(-0.5, 1)))
    return np.asarray(random.uniform(0.006, 0.04) * cv2.GaussianBlur(raised, (0, 0), 0.8), np.float32)


def _creases(random: Random) -> Image:
    """Folds, dents and wrinkles."""
    ridges = sum(np.abs(noise(random.uniform(0.1, 0.5), random)) for _ in range(3))
    return np.asarray(-np.exp(random.uniform(np.log(8e-3), np.log(7e-2))) * ridges, np.float32)


_Shape = Callable[[Image, Image, Random], Body]
_Relief = Callable[[Random], Image]

# Shapes and reliefs by how a part is made; a name twice is twice as common. From memory.
MAKINGS: dict[str, tuple[tuple[_Shape, ...], tuple[_Relief, ...]]] = {
    "cast": (
        (_disc, _cylinder, _round, _block, _lump, _lump, _cup),
        (_smooth, _grain, _grain, _mottle, _embossed, _embossed, _turning),
    ),
    "sheet": (
        (_disc, _tin, _tin, _cylinder, _block, _sheet, _crumpled, _crumpled, _cup, _profile),
        (_smooth, _grain, _lines, _embossed, _embossed, _creases, _mottle),
    ),
    "drawn": (
        (_disc, _cylinder, _cylinder, _round, _block, _sheet, _crumpled, _cup, _profile),
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
