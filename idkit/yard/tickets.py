"""A yard's ticket against the load list: what differs line by line, and how much of it is weight, deduction, grade,
price and fee.

The parts are taken in that order, each at what the ones before it left: first the yard's weight at the list's
deduction and price, then its deduction, then the list's price of what the yard called it, then the price that was
paid, then the fee. What is left is the ticket's own arithmetic and rounding. They add up to the difference exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from idkit.vocabulary import PriceList, Unit, Yard
from idkit.yard.loads import Group, Load, Valued
from idkit.yard.money import rounded
from idkit.yard.prices import price_of
from idkit.yard.units import UNITS
from idkit.yard.yards import goes_with

NOTHING = Decimal(0)
PARTS = ("weight", "deduction", "grade", "price", "fee", "rounding")
COLUMNS = (
    "category", "state", "called", "called-state", "gross", "tare", "deducted", "reason", "net", "unit", "price",
    "paid", "fee", "step",
)  # fmt: skip


@dataclass(frozen=True)
class Ticketed:
    """One line of a ticket. Masses in kg; `net` is after the deduction; `price` per `unit`; `paid` what was paid.

    `category` and `state` are what was claimed, `called` and `called_state` what the yard took it for, `step` is of its
    scale.
    """

    category: str
    state: str
    called: str
    called_state: str
    gross: Decimal
    tare: Decimal
    deducted: Decimal
    reason: str
    net: Decimal
    unit: Unit
    price: Decimal
    paid: Decimal
    fee: Decimal
    step: Decimal

    @property
    def weighed(self) -> Decimal:
        """Gross less tare, before anything was deducted."""
        return self.gross - self.tare

    @property
    def downgraded(self) -> bool:
        """Whether the yard took it for something else than was claimed."""
        return (self.called, self.called_state) != (self.category, self.state)


@dataclass(frozen=True)
class Difference:
    """What one line of a ticket came to against the load list.

    `expected` is what the list had it for, `paid` what was paid; `parts` by PARTS sum to their difference. The weights
    are `apart` where they differ by more than both scales' steps. `group` is None where the list has no such line,
    `expected` None where it has no price.
    """

    ticketed: Ticketed
    group: Group | None
    expected: Decimal | None
    parts: Mapping[str, Decimal]
    kilos: Decimal | None
    apart: bool

    @property
    def total(self) -> Decimal | None:
        """Paid less expected."""
        return None if self.expected is None else self.ticketed.paid - self.expected


@dataclass(frozen=True)
class Reconciled:
    """All lines of a load's tickets, groups of the list that no ticket names, and the sums."""

    load: Load
    differences: tuple[Difference, ...]
    missing: tuple[Group, ...]
    expected: Decimal
    paid: Decimal

    @property
    def parts(self) -> dict[str, Decimal]:
        """The parts of all differences, by PARTS."""
        return {name: sum((each.parts.get(name, NOTHING) for each in self.differences), NOTHING) for name in PARTS}


def reconciled(valued: Valued, ticketed: Sequence[Ticketed], prices: PriceList | None, at: Yard) -> Reconciled:
    """A load as it was listed against what the yard weighed, called and paid."""
    groups = {(group.category, group.state): group for group in valued.groups}
    claimed = [_claimed(groups, each, at) for each in ticketed]
    found = [
        _difference(each, group, _share(each, group, ticketed, claimed), prices, at)
        for each, group in zip(ticketed, claimed, strict=True)
    ]
    missing = tuple(group for group in groups.values() if group not in claimed)
    expected = [each.expected for each in found if each.expected is not None]
    return Reconciled(
        valued.load, tuple(found), missing, sum(expected, NOTHING), sum((each.paid for each in ticketed), NOTHING)
    )


def _claimed(groups: Mapping[tuple[str, str], Group], each: Ticketed, at: Yard) -> Group | None:
    """The group that a line of the ticket is of: its state too, or the only one where that was left open."""
    category = goes_with(at, each.category)
    if (category, each.state) in groups:
        return groups[category, each.state]
    same = [group for (name, _), group in groups.items() if name == category]
    return same[0] if len(same) == 1 else None


def _share(
    each: Ticketed, group: Group | None, ticketed: Sequence[Ticketed], claimed: Sequence[Group | None]
) -> Decimal:
    """How much of a group a line of the ticket is: all of it, or by weight where the yard made several lines of it."""
    of_it = [other.weighed for other, its in zip(ticketed, claimed, strict=True) if its is group]
    total = sum(of_it, NOTHING)
    return each.weighed / total if total else Decimal(1) / len(of_it)


def _difference(each: Ticketed, group: Group | None, share: Decimal, prices: PriceList | None, at: Yard) -> Difference:
    none = Difference(each, group, None, {}, None, apart=False)
    if group is None or group.kg is None or group.money is None or prices is None:
        return none
    claimed = price_of(prices, group.category, group.state or "clean", group.kg) or group.fetched.price
    if claimed is None or claimed.unit.kg is None or each.unit.kg is None:
        return none
    per_kg = (claimed.low + claimed.high) / 2 / claimed.unit.kg
    keeps, listed = 1 - claimed.deducted, group.kg * share
    expected = listed * keeps * per_kg - claimed.fee * share
    called = price_of(prices, goes_with(at, each.called), each.called_state or "clean", each.net)
    paid_kg = each.price / each.unit.kg
    known = called is not None and called.unit.kg is not None
    called_kg = (called.low + called.high) / 2 / called.unit.kg if called and called.unit.kg else paid_kg
    if not each.downgraded:
        called_kg = per_kg
    elif not known:
        called_kg = paid_kg  # the list has no price for what it was called: all of it is grade
    parts = {
        "weight": (each.weighed - listed) * keeps * per_kg,
        "deduction": (each.net - each.weighed * keeps) * per_kg,
        "grade": each.net * (called_kg - per_kg),
        "price": each.net * (paid_kg - called_kg),
        "fee": claimed.fee * share - each.fee,
        "rounding": each.paid - (each.net * paid_kg - each.fee),
    }
    kilos = each.weighed - listed
    return Difference(each, group, expected, parts, kilos, apart=abs(kilos) > group.doubt * share + each.step)


def to_the_coin(parts: Mapping[str, Decimal], currency: str) -> dict[str, Decimal]:
    """The parts rounded so that they add up to their rounded sum: what is left over goes to the largest.

    >>> to_the_coin({"weight": Decimal("-0.015"), "price": Decimal("1.009")}, "EUR")
    {'weight': Decimal('-0.02'), 'price': Decimal('1.01')}
    """
    found = {name: rounded(amount, currency) for name, amount in parts.items()}
    if found:
        largest = max(parts, key=lambda name: abs(parts[name]))
        found[largest] += rounded(sum(parts.values(), NOTHING), currency) - sum(found.values(), NOTHING)
    return found


def ticketed_as_body(each: Ticketed) -> dict[str, Any]:
    """A line of a ticket as the daybook keeps it."""
    masses = {name: str(getattr(each, name)) for name in _NUMBERS}
    return {name: getattr(each, name) for name in _TEXTS} | masses | {"unit": each.unit.id}


def ticketed_of(body: Mapping[str, Any]) -> Ticketed:
    """The same back."""
    said: dict[str, Any] = {name: Decimal(body[name]) for name in _NUMBERS} | {name: body[name] for name in _TEXTS}
    return Ticketed(**said, unit=UNITS[body["unit"]])


_NUMBERS = ("gross", "tare", "deducted", "net", "price", "paid", "fee", "step")
_TEXTS = ("category", "state", "called", "called_state", "reason")
