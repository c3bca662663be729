"""A measured number reckoned with before it is measured: which bin will it fall into?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import erf, log, nan, sqrt

from idkit.vocabulary import Answer, Outcome


@dataclass(frozen=True)
class Bin(Answer):
    """An answer that is only known to lie from `low` to `high`; `value` is their geometric mean.

    A likelihood of a Bin is its mean over ln(low) to ln(high), so that times the Outcome's width, ln(high / low), it is
    the chance of the bin, however narrow the peaks inside. `first` and `last` take in all that lies beyond.
    """

    low: float = nan
    high: float = nan
    first: bool = False
    last: bool = False

    @property
    def width(self) -> float:
        """In natural logarithms."""
        return log(self.high / self.low)


def bins(check: str, unit: str, edges: Sequence[float], uncertainty: Callable[[float], float]) -> tuple[Outcome, ...]:
    """The bins between rising edges, each with the standard uncertainty that its middle would be read with.

    >>> [round(outcome.answer.value, 1) for outcome in bins("thickness", "m", (1.0, 4.0, 9.0), lambda value: 0.0)]
    [2.0, 6.0]
    """
    last = len(edges) - 2
    outcomes = []
    for at, (low, high) in enumerate(pairwise(edges)):
        middle = sqrt(low * high)
        answer = Bin(check, middle, unit, uncertainty(middle), "", low, high, at == 0, at == last)
        outcomes.append(Outcome(answer, answer.width))
    return tuple(outcomes)


def normal_below(z: float) -> float:
    """Chance that a standard normal variable is below z.

    >>> round(normal_below(1.6449), 3)
    0.95
    """
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))
