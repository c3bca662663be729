"""A find sold whole, stripped in part or in full: what each brings, and for how much work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from idkit.vocabulary import Money, PriceList, Yard
from idkit.yard.finds import NOTHING, Component, Find, Way
from idkit.yard.worths import fetched_either

WHOLE = "whole"


@dataclass(frozen=True)
class Outcome:
    """What a way brings, on piles that are sold anyway: no fee and no least weight is counted.

    `by_part` is by part, None where it has no price, which counts as nothing; `net` is the middle of `money` less what
    the minutes are worth; `more` is `money` less that of the whole, and `an_hour` the middle of it for an hour's work.
    """

    way: str
    minutes: Decimal
    money: Money
    by_part: tuple[Money | None, ...]
    net: Decimal
    more: Money
    an_hour: Decimal | None


def outcomes(find: Find, prices: PriceList, at: Yard, worth: Decimal | None) -> tuple[Outcome, ...]:
    """What the find brings at a yard whole, and by each of its ways; `worth` is an hour's, None where nobody said."""
    plain = on_a_pile(prices)
    itself = Component(find.name, find.category, find.state, find.weighed)
    whole, *apart = [
        _outcome(way, plain, at, worth) for way in (Way(WHOLE, (itself,), NOTHING, NOTHING, NOTHING, False), *find.ways)
    ]
    return tuple(_against(whole, each) for each in (whole, *apart))


def best(found: Sequence[Outcome]) -> Outcome:
    """The way that brings most after its minutes; of two alike the less work, so that whole comes first."""
    return max(found, key=lambda each: (each.net, -each.minutes))


def left_open(find: Find, found: Sequence[Outcome]) -> tuple[str, ...]:
    """The categories without a price that leave it open which way brings most: of the find whole; else of parts, where
    what has a price does not bring more than the whole by itself."""
    whole, *apart = found
    if whole.by_part[0] is None:
        return (find.category,)
    if best(found) is not whole:
        return ()
    parts = [part for way in find.ways for part in way.parts]
    money = [each for outcome in apart for each in outcome.by_part]
    return tuple(dict.fromkeys(part.category for part, each in zip(parts, money, strict=True) if each is None))


def on_a_pile(prices: PriceList) -> PriceList:
    """The prices for a part that goes onto a pile: the pile bears fee and least weight, not the part."""
    return replace(prices, prices=tuple(replace(each, fee=NOTHING, minimum_kg=NOTHING) for each in prices.prices))


def _outcome(way: Way, prices: PriceList, at: Yard, worth: Decimal | None) -> Outcome:
    by_part = tuple(
        fetched_either(prices, at, part.category, part.state, part.weighed.kg, 1).money for part in way.parts
    )
    low = sum((each.low for each in by_part if each), NOTHING)
    high = sum((each.high for each in by_part if each), NOTHING)
    money = Money(low, high, prices.currency)
    net = (low + high) / 2 - (worth or NOTHING) * way.minutes / 60
    return Outcome(way.way, way.minutes, money, by_part, net, money, None)


def _against(whole: Outcome, one: Outcome) -> Outcome:
    """The same with what it brings more than the whole; the ends are as far apart as both ranges of prices allow."""
    if one.way == WHOLE:
        return replace(one, more=Money(NOTHING, NOTHING, one.money.currency))
    more = Money(one.money.low - whole.money.high, one.money.high - whole.money.low, one.money.currency)
    told = one.minutes and whole.by_part[0] is not None
    an_hour = (more.low + more.high) / 2 * 60 / one.minutes if told else None
    return replace(one, more=more, an_hour=an_hour)
