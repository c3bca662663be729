"""Solid shapes as distance fields in millimetres.

A Field gives, for points n x 3, the distance to the surface of a solid: negative inside. Fields join with fillets, as
castings do, and are cut with bores, so a part is written down the way it is made.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Points = NDArray[np.float32]
Field = Callable[[Points], Points]
Vector = tuple[float, float, float]


def single(values: ArrayLike) -> Points:
    """Numbers in single precision: half the memory of a grid of millions of points."""
    return np.asarray(values, dtype=np.float32)


# Solids ---------------------------------------------------------------------------------------------------------------


def ball(centre: Vector, radius: float) -> Field:
    """A sphere.

    >>> ball((0, 0, 0), 2.0)(np.array([[3, 0, 0]], np.float32)).tolist()
    [1.0]
    """
    return lambda p: single(np.linalg.norm(p - single(centre), axis=-1) - radius)


def slab(centre: Vector, half: Vector, rounding: float = 0.6) -> Field:
    """A box with rounded edges; `half` are half its sides."""

    def distance(p: Points) -> Points:
        q = np.abs(p - single(centre)) - single(half) + single(rounding)
        outside = np.linalg.norm(np.maximum(q, 0), axis=-1)
        return single(outside + np.minimum(q.max(axis=-1), 0) - rounding)

    return distance


def along(p: Points, start: Vector, end: Vector) -> tuple[Points, Points]:
    """Distance of points past the middle of an axis, along it, and from it."""
    a, b = single(start), single(end)
    direction = (b - a) / np.linalg.norm(b - a)
    q = p - (a + b) / 2
    axial = q @ direction
    return single(axial), single(np.sqrt(np.maximum((q * q).sum(-1) - axial * axial, 0)))


def capped(across: Points, axial: Points, length: float, rounding: float) -> Points:
    """A cross-section, given by its own distance, ended square at half of `length` either way, edges rounded."""
    u, v = across + single(rounding), np.abs(axial) - single(length / 2 - rounding)
    return single(np.minimum(np.maximum(u, v), 0) + np.hypot(np.maximum(u, 0), np.maximum(v, 0)) - rounding)


def rod(start: Vector, end: Vector, radius: float, rounding: float = 0.5) -> Field:
    """A round bar between two points."""
    length = float(np.linalg.norm(np.subtract(end, start)))

    def distance(p: Points) -> Points:
        axial, radial = along(p, start, end)
        return capped(radial - single(radius), axial, length, rounding)

    return distance


def taper(start: Vector, end: Vector, first: float, last: float) -> Field:
    """A round bar of changing radius with rounded ends; the distance is close to exact while the taper is slight."""
    length = float(np.linalg.norm(np.subtract(end, start)))

    def distance(p: Points) -> Points:
        axial, radial = along(p, start, end)
        share = np.clip(axial / single(length) + single(0.5), 0, 1)
        past = np.maximum(np.abs(axial) - single(length / 2), 0)
        return single(np.hypot(radial, past) - (first + share * (last - first)))

    return distance


def threaded(start: Vector, end: Vector, radius: float, pitch: float, depth: float) -> Field:
    """A round bar with a screw thread, drawn as rings."""
    length = float(np.linalg.norm(np.subtract(end, start)))

    def distance(p: Points) -> Points:
        axial, radial = along(p, start, end)
        wave = np.abs((axial / single(pitch)) % 1 - single(0.5)) * single(2 * depth)
        return capped((radial - single(radius) + wave) * single(0.8), axial, length, 0.6)

    return distance


def hexagon(start: Vector, end: Vector, flats: float, side: Vector, rounding: float = 0.8) -> Field:
    """A hexagonal bar, `flats` across; `side` points at the middle of one flat."""
    length = float(np.linalg.norm(np.subtract(end, start)))
    axis = np.subtract(end, start) / length
    other = np.cross(axis, side)
    normals = [single(np.cos(t) * np.array(side) + np.sin(t) * other) for t in np.pi / 3 * np.arange(3)]

    def distance(p: Points) -> Points:
        axial, radial = along(p, start, end)
        q = p - single(np.add(start, end) / 2)
        sides = np.max([np.abs(q @ normal) for normal in normals], axis=0) - single(flats / 2)
        turned = radial + single(0.6) * np.abs(axial) - single(flats * 0.56 + 0.6 * (length / 2 - 1))
        return single(np.maximum(capped(sides, axial, length, rounding), turned * 0.85))

    return distance


def ring(centre: Vector, axis: Vector, major: float, minor: float) -> Field:
    """A torus; `axis` is a unit vector through its hole."""

    def distance(p: Points) -> Points:
        q = p - single(centre)
        height = q @ single(axis)
        radial = np.sqrt(np.maximum((q * q).sum(-1) - height * height, 0))
        return single(np.hypot(radial - major, height) - minor)

    return distance


def turned(profile: Sequence[tuple[float, float]], rounding: float = 0.5) -> Field:
    """A solid turned about the z axis. `profile` is a closed polygon of (radius, height) from the axis and back to it.

    The distance to a polygon is the least one to its edges, its sign that of the crossing number.
    """
    corners = single(profile)

    def distance(p: Points) -> Points:
        q = np.stack([np.hypot(p[..., 0], p[..., 1]), p[..., 2]], axis=-1)
        nearest, inside = np.full(q.shape[:-1], single(1e9)), np.zeros(q.shape[:-1], bool)
        for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            edge, w = b - a, q - a
            share = np.clip((w @ edge) / single(max(edge @ edge, 1e-9)), 0, 1)
            if a[0] > 0 or b[0] > 0:
                nearest = np.minimum(nearest, np.linalg.norm(w - share[..., None] * edge, axis=-1))
            if a[1] != b[1]:
                crosses = (a[1] > q[..., 1]) != (b[1] > q[..., 1])
                inside ^= crosses & (q[..., 0] < edge[0] * (q[..., 1] - a[1]) / edge[1] + a[0])
        return np.where(inside, -nearest, nearest) - single(rounding)

    return distance


# Joining --------------------------------------------------------------------------------------------------------------


def joined(*fields: Field, fillet: float = 0.0) -> Field:
    """Solids made one, with a fillet of about that radius where they meet (polynomial smooth minimum)."""

    def distance(p: Points) -> Points:
        result = fields[0](p)
        for field in fields[1:]:
            other = field(p)
            overlap = np.maximum(single(fillet) - np.abs(result - other), 0)
            result = np.minimum(result, other) - overlap * overlap * single(0.25 / max(fillet, 1e-6))
        return result

    return distance


def cut(field: Field, *tools: Field) -> Field:
    """A solid less others: bores, slots, filed flats. The cut edge is broken a little, as by a file."""

    def distance(p: Points) -> Points:
        result = field(p)
        for tool in tools:
            other = -tool(p)
            overlap = np.maximum(single(0.5) - np.abs(result - other), 0)
            result = np.maximum(result, other) + overlap * overlap * single(0.5)
        return result

    return distance


def around(field: Field, count: int) -> Field:
    """A solid near the positive x axis, repeated evenly about z."""

    def distance(p: Points) -> Points:
        sector = single(2 * np.pi / count)
        angle = np.arctan2(p[..., 1], p[..., 0])
        angle -= np.round(angle / sector) * sector
        radius = np.hypot(p[..., 0], p[..., 1])
        return field(np.stack([radius * np.cos(angle), radius * np.sin(angle), p[..., 2]], axis=-1))

    return distance


def rotation(axis: str, degrees: float) -> Points:
    """The 3 x 3 matrix of a turn about x, y or z.

    >>> (rotation("z", 90) @ [1, 0, 0]).round(3).tolist()
    [0.0, 1.0, 0.0]
    """
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    i, j = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[axis]
    matrix = np.eye(3, dtype=np.float32)
    matrix[i, i], matrix[i, j], matrix[j, i], matrix[j, j] = c, -s, s, c
    return matrix


def placed(field: Field, turn: Points, offset: Vector = (0, 0, 0)) -> Field:
    """A solid turned, then moved."""
    return lambda p: field(single((p - single(offset)) @ turn))


def pitted(field: Field, relief: Field, depth: float) -> Field:
    """A solid whose skin rises and falls by `depth` times `relief`."""
    return lambda p: field(p) - single(depth) * relief(p)
