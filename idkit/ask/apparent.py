"""What density parts of a material show in water: their metal, closed voids, and what is attached to them.

Distributions live on one grid, even in the natural logarithm of density, as chances of its points; voids and
attachments move a part along it by an amount that hardly depends on where in its narrow range the metal lies, so each
is a convolution.
"""

from __future__ import annotations

from functools import lru_cache
from math import pi, sqrt
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from idkit.ask.bins import normal_below
from idkit.vocabulary import Floats

Transform = NDArray[np.complex128]

POINTS = 8192
LOG_DENSITY: Floats = np.linspace(np.log(100.0), np.log(40000.0), POINTS)
DENSITY: Floats = np.exp(LOG_DENSITY)  # kg/m³
SPACING = float(LOG_DENSITY[1] - LOG_DENSITY[0])

NARROWEST = 0.004
"""Relative standard deviation: no table holds every alloy, no bench is free of bubbles. From memory."""

VOID = MappingProxyType({"no": 0.02, "yes": 0.60, None: 0.10})
"""Chance of a closed void by the answer to hollow, None where not answered. From memory."""

VOID_SHARE = (0.02, 0.80)
"""Share of a void part's volume that is void: from the first to the second, falling evenly to nothing (a Beta(1, 2)
stretched to that range), for small voids are commoner. From memory."""

STEEL, PLASTIC = 7850.0, 1050.0  # kg/m³
SHARES = MappingProxyType({STEEL: 0.30, PLASTIC: 0.15})
"""The largest share of a part's mass that an attachment of steel or plastic makes up; evenly from nothing to it."""

ATTACHED = MappingProxyType(
    {
        "none": (0.006, 0.004),
        "steel": (0.97, 0.03),
        "plastic": (0.03, 0.97),
        "other": (0.5, 0.5),
        None: (0.03, 0.02),
    }
)
"""Chances of steel and of plastic on the part by what was said to be attached: 1 in 100 is missed where none was said,
5 in 100 where nothing was said. From memory."""

SLIP, SLIP_RANGE = 0.002, (500.0, 23000.0)
"""Share of weighings gone wrong altogether, and the densities in kg/m³ they give, even in the logarithm.

From memory."""


@lru_cache(maxsize=1024)
def apparent(low: float, typical: float, high: float, hollow: str | None, attached: str | None) -> Floats:
    """Chance of each point of LOG_DENSITY for parts of a metal of that range in kg/m³; sums to 1.

    Where no density is known (NaN) any is as likely as another, evenly in the logarithm.

    >>> chances = apparent(8400.0, 8470.0, 8560.0, "no", "none")
    >>> round(float(DENSITY[chances.argmax()]), -2)
    8500.0
    """
    inside = np.digitize(DENSITY, SLIP_RANGE) == 1
    slips: Floats = inside / inside.sum()
    if not np.isfinite((low, typical, high)).all():
        return slips
    moved = np.fft.rfft(_metal(low, typical, high)) * _voids(VOID.get(hollow, VOID[None]))
    moved = moved * _attachments(typical, *ATTACHED.get(attached, ATTACHED[None]))
    chances = np.clip(np.fft.irfft(moved, POINTS), 0.0, None)
    mixed: Floats = (1.0 - SLIP) * chances / chances.sum() + SLIP * slips
    mixed.flags.writeable = False
    return mixed


def _metal(low: float, typical: float, high: float) -> Floats:
    """Split normal about the typical density, its low and high two standard deviations away."""
    below, above = (max(abs(np.log(end / typical)) / 2.0, NARROWEST) for end in (low, high))
    away = LOG_DENSITY - np.log(typical)
    heights = np.exp(-0.5 * (away / np.where(away < 0.0, below, above)) ** 2)
    chances: Floats = heights / heights.sum()
    return chances


@lru_cache(maxsize=8)
def _voids(chance: float) -> Transform:
    """Transform of the moves that voids make: always to the lighter side."""
    first, last = VOID_SHARE
    shares = np.linspace(first, last, 4001)
    return (1.0 - chance) + chance * _moves(np.log1p(-shares), last - shares)


def _attachments(body: float, steel: float, plastic: float) -> Transform:
    """Transform of the moves that attachments make to a body of that density."""
    total = np.full(POINTS // 2 + 1, 1.0 - steel - plastic, dtype=np.complex128)
    for chance, density in ((steel, STEEL), (plastic, PLASTIC)):
        shares = np.linspace(0.0, SHARES[density], 2001)
        total += chance * _moves(-np.log1p(shares * (body / density - 1.0)), np.ones_like(shares))
    return total


def _moves(moves: Floats, weights: Floats) -> Transform:
    """Transform of the distribution of moves along LOG_DENSITY."""
    steps = np.rint(moves / SPACING).astype(np.int64) % POINTS
    counted = np.bincount(steps, weights, minlength=POINTS)
    transform: Transform = np.fft.rfft(counted / weights.sum())
    return transform


_Z: Floats = np.linspace(-6.0, 6.0, 4801)
_BELOW: Floats = np.array([normal_below(float(z)) for z in _Z])


def seen_as(chances: Floats, density: float, relative: float) -> float:
    """Density per natural-log unit of reading `density` kg/m³ with that relative standard uncertainty.

    The error is the buoyancy's, and buoyancy goes as one over density: a light reading is read with more doubt above
    than below.
    """
    away = (1.0 - density / DENSITY) / relative
    return float(chances @ np.exp(-0.5 * away * away)) / (relative * sqrt(2.0 * pi))


@lru_cache(maxsize=128)
def read_below(edge: float, doubt: float) -> Floats:
    """Chance that a part of each density on the grid reads below the edge in kg/m³.

    `doubt` is the standard uncertainty of one over density, in m³/kg: that of the buoyancy over mass times water's.
    """
    below: Floats = np.interp((1.0 / edge - 1.0 / DENSITY) / -doubt, _Z, _BELOW)
    return below
