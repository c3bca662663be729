"""How far a share or a mean that was measured on some parts may be off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, lgamma, log, log1p, nan, sqrt

import numpy as np

from idkit.vocabulary import Floats

NORMAL_95 = 1.959963984540054  # two-sided
DRAWS = 2000


@dataclass(frozen=True)
class Share:
    """`right` of `count`, with both ends of the 95 % interval of the share."""

    right: int
    count: int
    low: float
    high: float

    @property
    def value(self) -> float:
        """The share itself; NaN of nothing."""
        return self.right / self.count if self.count else nan


@dataclass(frozen=True)
class Mean:
    """A mean with both ends of its 95 % interval."""

    value: float
    low: float
    high: float


def wilson(right: int, count: int) -> tuple[float, float]:
    """Both ends of the 95 % interval of a share, `right` of `count`; NaN of nothing (Wilson 1927).

    >>> [round(end, 3) for end in wilson(9, 10)]
    [0.596, 0.982]
    """
    if not count:
        return nan, nan
    share, room = right / count, NORMAL_95**2 / count
    middle = (share + room / 2) / (1 + room)
    half = NORMAL_95 * sqrt(share * (1 - share) / count + room / (4 * count)) / (1 + room)
    return max(middle - half, 0.0), min(middle + half, 1.0)


def share_of(right: int, count: int) -> Share:
    """A share with its Wilson interval, for parts that have nothing to do with each other."""
    return Share(right, count, *wilson(right, count))


def at_most(wrong: int, count: int) -> float:
    """Upper end of the one-sided 95 % interval of a share (Clopper and Pearson 1934); NaN of nothing.

    The share at which so few or fewer would be seen 1 time in 20.

    >>> round(at_most(0, 59), 3)
    0.05
    """
    if not count:
        return nan
    if wrong >= count:
        return 1.0
    low, high = wrong / count, 1.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if _so_few(wrong, count, middle) > 0.05 else (low, middle)
    return high


def _so_few(wrong: int, count: int, share: float) -> float:
    """Chance of at most `wrong` of `count` where each goes wrong with that share."""
    ways = (lgamma(count + 1) - lgamma(k + 1) - lgamma(count - k + 1) for k in range(wrong + 1))
    return sum(exp(way + k * log(share) + (count - k) * log1p(-share)) for k, way in enumerate(ways))


def bootstrap(values: Floats, groups: Sequence[str], seed: int = 1) -> tuple[float, float]:
    """Both ends of the 95 % interval of a mean, whole groups drawn again and again (Efron 1979; percentiles).

    Parts of one group (one session, one bucket, one light) are alike: which groups were met is the chance. NaN where
    there are fewer than two groups.
    """
    numbers, of_part = np.unique(np.asarray(groups), return_inverse=True)
    count = len(numbers)
    if count < 2:
        return nan, nan
    sums, sizes = np.bincount(of_part, values, count), np.bincount(of_part, minlength=count)
    drawn = np.random.default_rng(seed).multinomial(count, np.full(count, 1 / count), DRAWS)
    low, high = np.quantile((drawn @ sums) / (drawn @ sizes), (0.025, 0.975))
    return float(low), float(high)
