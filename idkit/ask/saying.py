"""From what is true of a part to what a person says of it: slips, gradual thresholds, and answers by yes or no."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from math import exp, isfinite, log
from types import MappingProxyType

from idkit.ask.choices import choose
from idkit.vocabulary import Answer

Chances = Mapping[str, float]
YES_NO = ("yes", "no")
STEPS = 5  # points at which a range of a material is taken


def row(options: Iterable[str], *chances: float) -> Chances:
    """Chances by option, in their order.

    >>> row(YES_NO, 0.9, 0.1)["yes"]
    0.9
    """
    return MappingProxyType(dict(zip(options, chances, strict=True)))


def with_slips(true: Chances, slip: float) -> Chances:
    """What a person says where `true` is what a perfect one would: a share `slip` says one of the other answers.

    Where the truth is plain (a chance of 1) its answer has a chance of exactly 1 - slip.

    >>> said = with_slips(row(YES_NO, 1.0, 0.0), 0.05)
    >>> round(said["yes"], 3), round(said["no"], 3)
    (0.95, 0.05)
    """
    others = len(true) - 1
    return MappingProxyType(
        {name: (1.0 - slip) * chance + slip * (1.0 - chance) / others for name, chance in true.items()}
    )


def even(options: Iterable[str]) -> Chances:
    """Every answer as likely as another: it says nothing."""
    names = tuple(options)
    return MappingProxyType(dict.fromkeys(names, 1.0 / len(names)))


def mixed(parts: Iterable[tuple[float, Chances]]) -> Chances:
    """Chances of several kinds of parts, each with its share; the shares sum to 1.

    >>> mixed([(0.5, row(YES_NO, 1.0, 0.0)), (0.5, row(YES_NO, 0.5, 0.5))])["yes"]
    0.75
    """
    shares = [(share, chances) for share, chances in parts if share > 0.0]
    return MappingProxyType({name: sum(share * each[name] for share, each in shares) for name in shares[0][1]})


def above(value: float, middle: float, spread: float) -> float:
    """Chance that a value counts as above a threshold that differs from hand to hand: 0.5 at the middle.

    Logistic in the logarithm; `spread` is its scale in natural logarithms. Nothing is above where the value is 0.

    >>> above(40.0, 40.0, 0.3), round(above(80.0, 40.0, 0.3), 2), above(0.0, 40.0, 0.3)
    (0.5, 0.91, 0.0)
    """
    return 1.0 / (1.0 + exp(-(log(value) - log(middle)) / spread)) if value > 0.0 else 0.0


@lru_cache(maxsize=1024)
def share_above(low: float, high: float, middle: float, spread: float) -> float:
    """The same for a material that lies anywhere from low to high, evenly; NaN where it has no range.

    >>> share_above(40.0, 40.0, 40.0, 0.3)
    0.5
    """
    if not (isfinite(low) and isfinite(high)):
        return float("nan")
    points = (low + (high - low) * (step + 0.5) / STEPS for step in range(STEPS))
    return sum(above(point, middle, spread) for point in points) / STEPS


def choose_for(check: str, typed: str, options: Iterable[str]) -> Answer:
    """The option typed with --answer CHECK=."""
    return choose(check, typed, options, f"--answer {check}=")


def yes_or_no(check: str, typed: str) -> Answer:
    """yes or no, y or n.

    >>> yes_or_no("floats", " Y ").value
    'yes'
    """
    return choose_for(check, {"y": "yes", "n": "no"}.get(typed.strip().lower(), typed), YES_NO)
