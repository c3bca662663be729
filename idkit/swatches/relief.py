"""Random fields in space: the grain of castings, the lines of rolling, blotches, wood and stone.

A Field here gives a number of about -1 to 1 for points n x 3 in mm; the same seed gives the same field.
"""

from __future__ import annotations

import numpy as np

from idkit.swatches.shapes import Field, Points, single

SIDE = 32  # of the lattice that repeats


def lattice(seed: int, size: float | tuple[float, float, float]) -> Field:
    """Value noise: random numbers on a lattice of that size in mm, joined smoothly."""
    table = np.random.default_rng(seed).uniform(-1, 1, (SIDE,) * 3).astype(np.float32)
    scale = single(1) / single(np.broadcast_to(size, 3))

    def value(p: Points) -> Points:
        q = p * scale + single(7.31)
        cell = np.floor(q).astype(np.int64)
        t = q - cell
        t = t * t * (3 - 2 * t)
        near, far = cell % SIDE, (cell + 1) % SIDE
        total = np.zeros(q.shape[:-1], np.float32)
        for corner in np.ndindex(2, 2, 2):
            pick = [far[..., i] if bit else near[..., i] for i, bit in enumerate(corner)]
            share = np.prod([t[..., i] if bit else 1 - t[..., i] for i, bit in enumerate(corner)], axis=0)
            total += share.astype(np.float32) * table[pick[0], pick[1], pick[2]]
        return total

    return value


def fractal(seed: int, size: float | tuple[float, float, float], octaves: int = 4, gain: float = 0.55) -> Field:
    """Noise of several sizes, each half the one before and weaker by `gain`; standard deviation about 0.4."""
    sizes = np.broadcast_to(np.asarray(size, float), 3)
    layers = [lattice(seed + i, tuple(sizes / 2**i)) for i in range(octaves)]
    weights = single(gain ** np.arange(octaves))
    total = single(np.sqrt((weights**2).sum()))
    return lambda p: np.sum([w * layer(p) for w, layer in zip(weights, layers, strict=True)], axis=0) / total


def step(values: Points, low: float, high: float) -> Points:
    """A smooth rise from 0 at `low` to 1 at `high`; falls where `low` is the larger.

    >>> step(np.array([0, 1, 2], np.float32), 0, 2).tolist()
    [0.0, 0.5, 1.0]
    """
    t = np.clip((values - single(low)) / single(high - low), 0, 1)
    return single(t * t * (3 - 2 * t))
