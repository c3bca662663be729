"""A yard's ticket against the load list: what differs line by line, and how much of it is doubt, weight, deduction,
grade, price and fee.

The parts are taken in that order, each at what the ones before it left: first what the list had taken off because
records were in doubt, then the yard's weight at the list's deduction and price, then its deduction, then the list's
price of what the yard called it, then the price that was paid, then the fee. What is left is the ticket's own
arithmetic and rounding. They add up to the difference exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from idkit.vocabulary import Price, PriceList, Unit, Yard
from idkit.yard.loads import Group, Load, Valued
from idkit.yard.money import rounded
from idkit.yard.prices import price_of
from idkit.yard.units import UNITS
from idkit.yard.worths import prices_for
from idkit.yard.yards import goes_with

NOTHING = Decimal(0)
PARTS = ("doubt", "weight", "deduction", "grade", "price", "fee", "rounding")
COLUMNS = (
    "category", "state", "called", "called-state", "gross", "tare", "deducted", "reason", "net", "pieces", "unit",
    "price", "paid", "fee", "step",
)  # fmt: skip


@dataclass(frozen=True)
class Ticketed:
    """One line of a ticket. Masses in kg; `net` is after the deduction; `price` per `unit`; `paid` what was paid.

    What is paid by the piece has `pieces`, and needs no mass. `category` and `state` are what was claimed, `called` and
    `called_state` what the yard took it for, `step` is of its scale.
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
    pieces: int = 0

    @property
    def by_piece(self) -> bool:
        """Whether the price is for a piece."""
        return self.unit.kg is None

    @property
    def amount(self) -> Decimal:
        """What the yard found to be there: pieces, or kg before anything was deducted."""
        return Decimal(self.pieces) if self.by_piece else self.weighed

    @property
    def paid_for(self) -> Decimal:
        """Pieces, or kg after what was deducted."""
        return Decimal(self.pieces) if self.by_piece else self.net

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

    `expected` is what the list had it for, `paid` what was paid; `parts` by PARTS sum to their difference. `off` is how
    many kg or pieces the yard found more; they are `apart` where that is more than both scales' steps. `group` is None
    where the list has no such line, `expected` None where it has no price.
    """

    ticketed: Ticketed
    group: Group | None
    expected: Decimal | None
    parts: Mapping[str, Decimal]
    off: Decimal | None
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

    @property
    def paid(self) -> Decimal:
        """All that was paid."""
        return sum((each.ticketed.paid for each in self.differences), NOTHING)

    @property
    def expected(self) -> Decimal:
        """All that the list had a price for, on a ticket or not."""
        return self.unpaid + sum((each.expected for each in self.differences if each.expected is not None), NOTHING)

    @property
    def unlisted(self) -> Decimal:
        """What was paid for what the list does not have, or has no price for."""
        return sum((each.ticketed.paid for each in self.differences if each.expected is None), NOTHING)

    @property
    def unpaid(self) -> Decimal:
        """What the list expected for what no ticket names."""
        return sum((group.expected for group in self.missing if group.expected is not None), NOTHING)

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
    return Reconciled(valued.load, tuple(found), missing)


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
    """How much of a group a line of the ticket is: all of it, or by amount where the yard made several lines of it."""
    of_it = [other.amount for other, its in zip(ticketed, claimed, strict=True) if its is group]
    total = sum(of_it, NOTHING)
    return each.amount / total if total else Decimal(1) / len(of_it)


@dataclass(frozen=True)
class _Rate:
    """What the list pays for a kg or a piece, the share of it that it pays for, and the fee that it keeps back."""

    each: Decimal
    keeps: Decimal
    fee: Decimal


def _difference(each: Ticketed, group: Group | None, share: Decimal, prices: PriceList | None, at: Yard) -> Difference:
    none = Difference(each, group, None, {}, None, apart=False)
    if group is None or group.money is None or prices is None:
        return none
    whole = group.kg if not each.by_piece else None if group.pieces is None else Decimal(group.pieces)
    claimed = _rate(prices_for(prices, at, group.category, group.state, group.kg), by_piece=each.by_piece)
    if whole is None or claimed is None:
        return none
    listed = whole * share
    paid_each = each.price / (each.unit.kg or 1)
    called_each = _called_each(each, paid_each, prices, at) if each.downgraded else claimed.each
    brings = listed * claimed.keeps * claimed.each
    kept_back = min(claimed.fee * share, brings)  # a yard takes nothing for a line that costs more than it brings
    as_sold = brings - kept_back
    expected = as_sold if group.expected is None or group.right == 1 else group.expected * share
    parts = {
        "doubt": as_sold - expected,
        "weight": (each.amount - listed) * claimed.keeps * claimed.each,
        "deduction": (each.paid_for - each.amount * claimed.keeps) * claimed.each,
        "grade": each.paid_for * (called_each - claimed.each),
        "price": each.paid_for * (paid_each - called_each),
        "fee": kept_back - each.fee,
        "rounding": each.paid - (each.paid_for * paid_each - each.fee),
    }
    off, steps = each.amount - listed, NOTHING if each.by_piece else group.doubt * share + each.step
    return Difference(each, group, expected, parts, off, apart=abs(off) > steps)


def _rate(rows: Sequence[Price], *, by_piece: bool) -> _Rate | None:
    """The middle of the rows that an amount is reckoned by, of dirty and clean where nobody said which, as the list
    has it; None where they pay for something else than pieces, or than weight."""
    if not rows or any((row.unit.kg is None) is not by_piece for row in rows):
        return None
    keeps = [Decimal(1) if by_piece else 1 - row.deducted for row in rows]
    brings = [
        (row.low * share / (row.unit.kg or 1), row.high * share / (row.unit.kg or 1))
        for row, share in zip(rows, keeps, strict=True)
    ]
    middle = (min(low for low, _ in brings) + max(high for _, high in brings)) / 2
    return _Rate(middle / keeps[0], keeps[0], sum((row.fee for row in rows), NOTHING) / len(rows))


def _called_each(each: Ticketed, paid_each: Decimal, prices: PriceList, at: Yard) -> Decimal:
    """What the list pays for a kg or a piece of what the yard called it; what was paid, where it has no price for that:
    all of it is grade then."""
    called = price_of(prices, goes_with(at, each.called), each.called_state or "clean", each.net)
    found = _rate([called] if called else [], by_piece=each.by_piece)
    return found.each if found else paid_each


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
    return {name: getattr(each, name) for name in _TEXTS} | masses | {"unit": each.unit.id, "pieces": each.pieces}


def ticketed_of(body: Mapping[str, Any]) -> Ticketed:
    """The same back."""
    said: dict[str, Any] = {name: Decimal(body[name]) for name in _NUMBERS} | {name: body[name] for name in _TEXTS}
    return Ticketed(**said, unit=UNITS[body["unit"]], pieces=int(body.get("pieces", 0)))


_NUMBERS = ("gross", "tare", "deducted", "net", "price", "paid", "fee", "step")
_TEXTS = ("category", "state", "called", "called_state", "reason")
