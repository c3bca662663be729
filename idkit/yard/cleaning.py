"""Clean or sell as is: what a dirty part fetches, and cleaned, with what comes off, and for how much work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from idkit.errors import CallError
from idkit.vocabulary import STATES, Money, PriceList, Yard
from idkit.yard.stripping import on_a_pile
from idkit.yard.worths import fetched_either

NOTHING = Decimal(0)
CLEAN, DIRTY = STATES


@dataclass(frozen=True)
class Off:
    """What comes off: its mass in kg, and what it is sold as ('' for the bin)."""

    what: str
    kg: Decimal
    category: str


@dataclass(frozen=True)
class Soiled:
    """A dirty part or pile: its mass in kg, the chances of what it is sold as (1 for one pile), and what comes off.

    `minutes` is how long cleaning takes, None where nobody said; `pieces` how many it is, None where nobody counted.
    """

    name: str
    kg: Decimal
    piles: Mapping[str, Decimal]
    off: tuple[Off, ...]
    minutes: Decimal | None
    pieces: int | None = 1


@dataclass(frozen=True)
class Cleaning:
    """What a part brings dirty, and cleaned with what came off, on piles that are sold anyway.

    Money runs over the piles it may be on and their prices; `more` is the middle of one less the middle of the other by
    their chances, `an_hour` that for an hour's work, `even` the minutes under which it pays at what an hour is worth,
    None where nobody said that or it never pays.
    """

    soiled: Soiled
    dirty: Money
    clean: Money
    came_off: Money
    more: Decimal
    an_hour: Decimal | None
    even: Decimal | None
    worth: Decimal | None

    @property
    def pays(self) -> bool | None:
        """Whether cleaning pays: None where that hangs on minutes that nobody said."""
        if self.more <= 0:
            return False
        if self.an_hour is None or self.worth is None:
            return None
        return self.an_hour >= self.worth


def cleaned(soiled: Soiled, prices: PriceList, at: Yard, worth: Decimal | None) -> Cleaning:
    """Sold as it is against cleaned; CallError where as much comes off as there is, or a pile has no such price."""
    off = sum((each.kg for each in soiled.off), NOTHING)
    if not 0 < off < soiled.kg:
        raise CallError("--off", f"got {off:f} kg of {soiled.kg:f} kg", "less than the whole, and more than nothing")
    plain = on_a_pile(prices)
    dirty = _over(soiled, plain, at, DIRTY, soiled.kg)
    clean = _over(soiled, plain, at, CLEAN, soiled.kg - off)
    came_off = _came_off(soiled.off, plain, at)
    more = clean[1] + (came_off.low + came_off.high) / 2 - dirty[1]
    minutes = soiled.minutes
    an_hour = more * 60 / minutes if minutes else None
    even = more / worth * 60 if worth and more > 0 else None
    return Cleaning(soiled, dirty[0], clean[0], came_off, more, an_hour, even, worth)


def _over(soiled: Soiled, prices: PriceList, at: Yard, state: str, kg: Decimal) -> tuple[Money, Decimal]:
    """What so much fetches on each of the piles, from the least to the most, and its middle by their chances."""
    found = []
    for pile, chance in soiled.piles.items():
        each = fetched_either(prices, at, pile, state, kg, soiled.pieces)
        if each.money is None:
            told = each.why if each.price else f"{prices.name} has no price for {pile}, {state}"
            raise CallError(
                "prices", told, "" if each.price else "one", "" if each.price else "add a row, or ask the yard"
            )
        found.append((chance, each.money))
    middle = sum((chance * (money.low + money.high) / 2 for chance, money in found), NOTHING)
    low, high = min(money.low for _, money in found), max(money.high for _, money in found)
    return Money(low, high, prices.currency), middle


def _came_off(off: Sequence[Off], prices: PriceList, at: Yard) -> Money:
    """What came off fetches; what goes into the bin or has no price fetches nothing."""
    low = high = NOTHING
    for each in off:
        money = fetched_either(prices, at, each.category, "", each.kg, 1).money if each.category else None
        if money:
            low, high = low + money.low, high + money.high
    return Money(low, high, prices.currency)


def in_order(found: Sequence[Cleaning]) -> list[Cleaning]:
    """A bench of parts by what an hour of cleaning brings, the most first; then by money what nobody timed."""

    def place(each: Cleaning) -> tuple[bool, Decimal, str]:
        return each.an_hour is None, -(each.more if each.an_hour is None else each.an_hour), each.soiled.name

    return sorted(found, key=place)
