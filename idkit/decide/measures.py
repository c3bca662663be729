"""How right and how sure chances were, where the truth is known: plain arrays, no scikit-learn at run time.

Everywhere `chances` is n x k, each row summing to 1, and `truth` the number of the true column in each row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from idkit.vocabulary import Floats

Numbers = NDArray[np.intp]
Truths = NDArray[np.bool_]

BINS = 15
LEAST = (0.5, 0.7, 0.9, 0.95)  # chances of the first answer from which it may be acted on
NEVER = 1e-9  # a true name that was given no chance at all counts as this


@dataclass(frozen=True)
class Bin:
    """Parts whose first answers had nearly the same chance: how many, the mean chance said, the share right."""

    count: int
    said: float
    happened: float


@dataclass(frozen=True)
class Answered:
    """First answers with a chance of `least` or more: how many there are, and how many of them are right."""

    least: float
    count: int
    right: int


def first_answers(chances: Floats) -> tuple[Numbers, Floats]:
    """The likeliest column of each row, and its chance."""
    return chances.argmax(axis=1), chances.max(axis=1)


def log_losses(chances: Floats, truth: Numbers) -> Floats:
    """-ln of the chance given to the truth, of each part; the log loss is their mean (Good 1952).

    >>> log_losses(np.array([[0.5, 0.5], [0.0, 1.0]]), np.array([0, 1])).round(3).tolist()
    [0.693, 0.0]
    """
    picked = chances[np.arange(len(truth)), truth]
    return np.asarray(np.abs(np.log(np.clip(picked, NEVER, 1.0))))


def brier_scores(chances: Floats, truth: Numbers) -> Floats:
    """Sum over all names of (chance - what happened)², of each part, 0 to 2; their mean is the Brier score (1950).

    >>> brier_scores(np.array([[0.5, 0.5], [0.0, 1.0]]), np.array([0, 1])).tolist()
    [0.5, 0.0]
    """
    happened = np.zeros_like(chances)
    happened[np.arange(len(truth)), truth] = 1.0
    return np.asarray(((chances - happened) ** 2).sum(axis=1))


def confusion_matrix(truth: Numbers, said: Numbers, count: int) -> Numbers:
    """How often each true name (rows) was called each name (columns), count x count.

    >>> confusion_matrix(np.array([0, 0, 1]), np.array([0, 1, 1]), 2).tolist()
    [[1, 1], [0, 1]]
    """
    matrix = np.zeros((count, count), np.intp)
    np.add.at(matrix, (truth, said), 1)
    return matrix


def reliability(said: Floats, right: Truths, bins: int = BINS) -> tuple[Bin, ...]:
    """Parts in bins of equal count by the chance said of the first answer, the least sure first; no bin is empty.

    What the reliability diagram draws (Murphy and Winkler 1977; bins of equal count: Nguyen and O'Connor 2015).
    """
    order = np.argsort(said, kind="stable")
    some = [part for part in np.array_split(order, bins) if len(part)]
    return tuple(Bin(len(part), float(said[part].mean()), float(right[part].mean())) for part in some)


def calibration_error(bins: Sequence[Bin]) -> float:
    """Expected calibration error: mean over the parts of |said - happened| of their bin (Naeini and others 2015).

    >>> calibration_error([Bin(3, 0.6, 0.7), Bin(1, 0.9, 0.8)])
    0.1
    """
    total = sum(each.count for each in bins)
    return round(sum(each.count * abs(each.said - each.happened) for each in bins) / total, 12) if total else np.nan


def selective(said: Floats, right: Truths, least: Sequence[float] = LEAST) -> tuple[Answered, ...]:
    """How many first answers reach each chance, and how many of those are right (El-Yaniv and Wiener 2010)."""
    return tuple(Answered(limit, int((said >= limit).sum()), int(right[said >= limit].sum())) for limit in least)
