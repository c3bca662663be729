"""What looking at some pieces of a pile shows of all of them. Exact: a pile is finite and a piece is looked at once."""

from __future__ import annotations

import random
from math import comb

ONE_IN = 20
"""How seldom a pile with more wrong pieces than is said would have shown so few: 1 time in 20."""


def drawn(there: int, count: int, seed: int) -> tuple[int, ...]:
    """So many of the pieces 1 to `there`, every choice as likely as any other; the same seed draws the same ones.

    >>> drawn(5, 9, 1)
    (1, 2, 3, 4, 5)
    """
    return tuple(sorted(random.Random(seed).sample(range(1, there + 1), min(count, there))))


def most_wrong(there: int, looked_at: int, wrong: int) -> int:
    """The most pieces that may be wrong among all, where so many of those looked at were.

    The upper end of the exact one-sided 95 % interval (hypergeometric): with more than that, so few or fewer would have
    been found less than 1 time in 20.

    >>> most_wrong(100, 20, 0), most_wrong(20, 20, 0)
    (12, 0)
    """
    low, high = wrong, there - (looked_at - wrong)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if _may_be(there, middle, looked_at, wrong) else (low, middle - 1)
    return low


def _may_be(there: int, bad: int, looked_at: int, wrong: int) -> bool:
    """Whether so few or fewer wrong ones are found at least 1 time in 20 where `bad` of all are wrong."""
    ways = sum(comb(bad, found) * comb(there - bad, looked_at - found) for found in range(wrong + 1))
    return ONE_IN * ways >= comb(there, looked_at)
