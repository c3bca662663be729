"""Cable: how much of it is metal, from a sample weighed whole and bare, and whether stripping it pays."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from idkit.errors import CallError
from idkit.vocabulary import Money, PriceList, Weighed, Yard
from idkit.yard.finds import remaining
from idkit.yard.stripping import on_a_pile
from idkit.yard.worths import fetched_either

NEAR = Decimal("0.02")
"""How near recovery must be known where no prices decide: two points of a hundred. Common practice, no source."""

TIMES = (1, 2, 3, 5, 10, 20, 50)
"""How many times a sample may be stripped to be surer; beyond that it is the whole coil."""

Sold = tuple[str, str]
"""What something is sold as: category and state, '' where nobody said which."""


@dataclass(frozen=True)
class Sample:
    """A piece of cable weighed whole and then bare; `covering` is what came off, where it was weighed too."""

    whole: Weighed
    bare: Weighed
    covering: Weighed | None = None


@dataclass(frozen=True)
class Recovery:
    """The share of a cable that is metal, and both ends of what it may be by the steps of the scale."""

    share: Decimal
    low: Decimal
    high: Decimal


@dataclass(frozen=True)
class Work:
    """How long a kg of cable takes to strip, None where nobody said, and what an hour is worth."""

    minutes_a_kg: Decimal | None = None
    worth: Decimal = Decimal(0)


@dataclass(frozen=True)
class Stripping:
    """So much cable sold as it is, or stripped, before the minutes and without what a yard takes for the line.

    `stripped` goes from the least to the most that recovery and price allow; `even` is the recovery at which both are
    worth the same after the minutes; `more` is the middle of one less the middle of the other, `an_hour` that for an
    hour's work, None where nobody said how long it takes. `worth` is what an hour is worth.
    The prices leave it `open` where the ends of their ranges decide which is better.
    """

    kg: Decimal
    as_is: Money
    stripped: Money
    even: Decimal
    more: Decimal
    minutes: Decimal | None
    an_hour: Decimal | None
    worth: Decimal
    open: bool


def recovery(sample: Sample) -> Recovery:
    """How much of a cable is metal; every weighing may be off by a step of its scale.

    CallError where it weighs nothing, more bare than whole, or covering and metal do not add up to the whole.

    >>> gram = Decimal("0.001")
    >>> found = recovery(Sample(Weighed(Decimal("0.2"), gram, "200 g"), Weighed(Decimal("0.12"), gram, "120 g")))
    >>> [str(round(each, 4)) for each in (found.low, found.share, found.high)]
    ['0.5920', '0.6000', '0.6080']
    """
    whole, bare = sample.whole, sample.bare
    if not whole.kg or not bare.kg:
        thing = "--bare" if whole.kg else "--whole"
        raise CallError(thing, "got nothing", "what the scale shows", "take a longer piece")
    if bare.kg > whole.kg:
        raise CallError("--bare", f"got {bare.typed}", f"less than --whole, {whole.typed}")
    if sample.covering:
        remaining(whole, [bare, sample.covering], None, "--covering")
    low = max(bare.kg - bare.step, Decimal(0)) / (whole.kg + whole.step)
    high = (bare.kg + bare.step) / max(whole.kg - whole.step, bare.kg)
    return Recovery(bare.kg / whole.kg, low, min(high, Decimal(1)))


def tells(found: Recovery, even: Decimal | None) -> bool:
    """Whether recovery is surely above `even`, or surely below; without one, whether it is known to NEAR."""
    if even is None:
        return max(found.high - found.share, found.share - found.low) <= NEAR
    return not found.low <= even <= found.high


def times_as_much(sample: Sample, even: Decimal | None) -> int | None:
    """How many times the sample, in all, would tell on the same scale: 1 where it does; None where no more does."""
    for times in TIMES:
        more = Sample(_times(sample.whole, times), _times(sample.bare, times))
        if tells(recovery(more), even):
            return times
    return None


def _times(weighed: Weighed, times: int) -> Weighed:
    return replace(weighed, kg=weighed.kg * times)


def stripping(
    found: Recovery, kg: Decimal, cable: Sold, bare: Sold, prices: PriceList, at: Yard, work: Work
) -> tuple[Stripping | None, str]:
    """So much cable as it is against stripped; None, with the reason, where one of them has no price."""
    plain = on_a_pile(prices)
    whole = fetched_either(plain, at, *cable, kg, None)
    metal = fetched_either(plain, at, *bare, kg * found.share, None)
    if whole.money is None or metal.money is None or not metal.money.high:
        return None, whole.why or metal.why or f"{prices.name} pays nothing for {bare[0]}"
    ends = metal.money.low * found.low / found.share, metal.money.high * found.high / found.share
    stripped = Money(*ends, prices.currency)
    minutes = work.minutes_a_kg * kg if work.minutes_a_kg is not None else None
    cost = work.worth * (minutes or 0) / 60
    even = (_middle(whole.money) + cost) / _middle(metal.money) * found.share
    more = _middle(metal.money) - _middle(whole.money)
    an_hour = more * 60 / minutes if minutes else None
    least, most = metal.money.low - whole.money.high - cost, metal.money.high - whole.money.low - cost
    return Stripping(kg, whole.money, stripped, even, more, minutes, an_hour, work.worth, least < 0 < most), ""


def _middle(money: Money) -> Decimal:
    return (money.low + money.high) / 2
