"""Load lists as the daybook tells them, and what a load fetches: by category, with its range from doubt and prices.

A yard weighs and pays a category as one, so price steps, least weights and fees count once for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from idkit.errors import CallError
from idkit.vocabulary import STATES, Money, PriceList, Weighed, Written, Yard
from idkit.yard import heaps
from idkit.yard.money import rounded
from idkit.yard.names import called
from idkit.yard.numbers import weight
from idkit.yard.prices import Fetched, fetched
from idkit.yard.stripping import on_a_pile
from idkit.yard.worths import fetched_either
from idkit.yard.yards import goes_with

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Line:
    """One line of a load list: what is sold as what, its net mass in kg (None where nobody weighed it) and doubt.

    `gross` and `tare` are as typed. `may_be` holds the chances of the piles of the records behind it, which sum to 1;
    empty where it was named by a person. `pile` is the user's pile that it came off.
    """

    number: int
    what: str
    category: str
    state: str
    kg: Decimal | None
    doubt: Decimal
    pieces: int | None
    gross: str = ""
    tare: str = ""
    records: tuple[int, ...] = ()
    may_be: Mapping[str, Decimal] = field(default_factory=dict)
    pile: str = ""
    note: str = ""


@dataclass(frozen=True)
class Load:
    """One trip to a yard: its lines, what the vehicle may carry, what closed it, and the tickets it got."""

    name: str
    yard: str = ""
    payload: Weighed | None = None
    note: str = ""
    begun: str = ""
    closed: Written | None = None
    last: int = 0
    lines: tuple[Line, ...] = ()
    tickets: tuple[Mapping[str, Any], ...] = ()
    confirmed: bool = False


@dataclass(frozen=True)
class Group:
    """All lines of one category and state: net mass, None where a line was not weighed, and what it fetches.

    `money` runs over the price's own range and, where records are in doubt, from all of them being the cheapest they
    may be; `expected` is the middle by their chances. `right` is the share of the mass that is what it is sold as.
    """

    category: str
    state: str
    lines: tuple[Line, ...]
    kg: Decimal | None
    doubt: Decimal
    pieces: int | None
    money: Money | None
    expected: Decimal | None
    right: Decimal
    fetched: Fetched


@dataclass(frozen=True)
class Valued:
    """A load by category, the dearest first; its sums count what has a price and what was weighed."""

    load: Load
    groups: tuple[Group, ...]
    kg: Decimal
    doubt: Decimal
    unweighed: int
    money: Money | None
    expected: Decimal | None

    @property
    def over(self) -> Decimal | None:
        """How much it is over what the vehicle may carry, in kg; below zero where there is room, None if not said.

        Buckets ride along: a line that was weighed with its own counts gross.
        """
        if self.load.payload is None:
            return None
        return sum((_on_board(line) for line in self.load.lines), NOTHING) - self.load.payload.kg


def _on_board(line: Line) -> Decimal:
    """What a line weighs on the vehicle, in kg: gross where that is known; nothing where nobody weighed it."""
    net = line.kg or NOTHING
    try:
        return max(net, weight(line.gross, "gross").kg) if line.gross else net
    except CallError:  # in a ton or in two units: the net is what is known
        return net


def to_pay(valued: Valued) -> tuple[Money, Money] | None:
    """What a load fetches as it is paid, each category to the coin, so that they add up to it: its range and what is
    expected; None without a price.
    """
    if valued.money is None:
        return None
    currency = valued.money.currency
    priced = [(group.money, group.expected) for group in valued.groups if group.money and group.expected is not None]
    low = sum((rounded(money.low, currency) for money, _ in priced), NOTHING)
    high = sum((rounded(money.high, currency) for money, _ in priced), NOTHING)
    expected = sum((rounded(middle, currency) for _, middle in priced), NOTHING)
    return Money(low, high, currency), Money(expected, expected, currency)


def loads_in(lines: Iterable[Written]) -> Mapping[str, Load]:
    """Every load by name, after all lines of the daybook."""
    found: dict[str, Load] = {}
    for line in lines:
        if line.kind == "load":
            found[line.name] = _ACTS[line.act](found.get(line.name, Load(line.name, begun=line.at)), line)
    return found


def load_called(typed: str, known: Mapping[str, Load]) -> Load:
    """The load of that name; CallError, with the nearest, where there is none."""
    return called(typed, known, "load")


def _new(load: Load, line: Written) -> Load:
    body = line.body
    return replace(
        load,
        yard=body.get("yard", load.yard),
        payload=heaps.of_body(body["payload"]) if "payload" in body else load.payload,
        note=body.get("note", load.note),
    )


def _line(load: Load, line: Written) -> Load:
    one = line_of(line.body)
    return replace(load, lines=(*load.lines, one), last=max(load.last, one.number))


def _off(load: Load, line: Written) -> Load:
    return replace(load, lines=tuple(each for each in load.lines if each.number != line.body["line"]))


def _close(load: Load, line: Written) -> Load:
    return replace(load, closed=line if line.act == "close" else None)


def _ticket(load: Load, line: Written) -> Load:
    """A ticket takes the place of the one before, unless it is one more."""
    before = load.tickets if line.body.get("more") else ()
    return replace(load, tickets=(*before, line.body), closed=load.closed or line)


def _confirm(load: Load, line: Written) -> Load:  # noqa: ARG001
    return replace(load, confirmed=True)


_ACTS: Mapping[str, Callable[[Load, Written], Load]] = {
    "new": _new,
    "line": _line,
    "take-off": _off,
    "close": _close,
    "open": _close,
    "ticket": _ticket,
    "confirm": _confirm,
}


def line_as_body(line: Line) -> dict[str, Any]:
    """A line as the daybook keeps it."""
    return {
        "line": line.number,
        "what": line.what,
        "category": line.category,
        "state": line.state,
        "kg": None if line.kg is None else str(line.kg),
        "doubt": str(line.doubt),
        "pieces": line.pieces,
        "gross": line.gross,
        "tare": line.tare,
        "records": list(line.records),
        "may_be": {pile: str(chance) for pile, chance in line.may_be.items()},
        "pile": line.pile,
        "note": line.note,
    }


def line_of(body: Mapping[str, Any]) -> Line:
    """The same back."""
    return Line(
        number=body["line"],
        what=body["what"],
        category=body["category"],
        state=body["state"],
        kg=None if body["kg"] is None else Decimal(body["kg"]),
        doubt=Decimal(body["doubt"]),
        pieces=body["pieces"],
        gross=body["gross"],
        tare=body["tare"],
        records=tuple(body["records"]),
        may_be={pile: Decimal(chance) for pile, chance in body["may_be"].items()},
        pile=body["pile"],
        note=body["note"],
    )


def valued(load: Load, prices: PriceList | None, at: Yard) -> Valued:
    """A load by category at a yard; what it fetches where prices are in use.

    Clean and dirty are apart where that yard pays them apart: it weighs and pays as one what has one price.
    """
    by: dict[tuple[str, str], list[Line]] = {}
    for line in load.lines:
        category = goes_with(at, line.category)
        state = line.state if prices is None or _paid_by_state(prices, category) else ""
        by.setdefault((category, state), []).append(line)
    groups = [_group(category, state, lines, prices, at) for (category, state), lines in by.items()]
    groups.sort(key=lambda group: (-(group.expected or NOTHING), group.category, group.state))
    money = [group.money for group in groups if group.money is not None]
    currency = prices.currency if prices else ""
    total = Money(sum((m.low for m in money), NOTHING), sum((m.high for m in money), NOTHING), currency)
    return Valued(
        load,
        tuple(groups),
        sum((line.kg for line in load.lines if line.kg is not None), NOTHING),
        sum((line.doubt for line in load.lines if line.kg is not None), NOTHING),
        sum(line.kg is None for line in load.lines),
        total if money else None,
        sum((group.expected for group in groups if group.expected is not None), NOTHING) if money else None,
    )


def _paid_by_state(prices: PriceList, category: str) -> bool:
    """Whether clean and dirty have prices of their own, or there is no price at all."""
    rows = [row for row in prices.prices if row.category == category]
    return not rows or any(row.state for row in rows)


def _group(category: str, state: str, lines: Sequence[Line], prices: PriceList | None, at: Yard) -> Group:
    weighed = [line.kg for line in lines if line.kg is not None]
    kg = sum(weighed, NOTHING) if len(weighed) == len(lines) else None
    counted = [line.pieces for line in lines if line.pieces is not None]
    pieces = sum(counted) if len(counted) == len(lines) else None
    doubt = sum((line.doubt for line in lines if line.kg is not None), NOTHING)
    right = _right(lines, category, at)
    if prices is None:
        return Group(category, state, tuple(lines), kg, doubt, pieces, None, None, right, Fetched(None, None))
    found = _fetched(prices, category, state, kg, pieces)
    if found.money is None:
        return Group(category, state, tuple(lines), kg, doubt, pieces, None, None, right, found)
    middle = (found.money.low + found.money.high) / 2
    low, expected = found.money.low, middle
    if right < 1 and kg:
        worst, mean = _otherwise(lines, category, state, prices, at, kg)
        low, expected = min(low, low * right + worst), middle * right + mean
    money = Money(low, max(found.money.high, expected), prices.currency)
    return Group(category, state, tuple(lines), kg, doubt, pieces, money, expected, right, found)


def _fetched(prices: PriceList, category: str, state: str, kg: Decimal | None, pieces: int | None) -> Fetched:
    """What all of it fetches, from dirty to clean where nobody said which."""
    if state:
        return fetched(prices, category, state, kg, pieces)
    found = [fetched(prices, category, each, kg, pieces) for each in STATES]
    money = [each.money for each in found if each.money is not None]
    if not money:
        return next((each for each in found if each.price is not None), found[0])
    paid = next(each for each in found if each.money is not None)
    return replace(paid, money=Money(min(m.low for m in money), max(m.high for m in money), prices.currency))


def _right(lines: Sequence[Line], category: str, at: Yard) -> Decimal:
    """Share of the mass that is what it is sold as, by the chances of its records; of all where none are in doubt."""
    weights = [line.kg if line.kg else Decimal(1) for line in lines]
    total = sum(weights, NOTHING)
    sure = [_sold_as(line, category, at) for line in lines]
    return sum((weight * each for weight, each in zip(weights, sure, strict=True)), NOTHING) / total


def _sold_as(line: Line, category: str, at: Yard) -> Decimal:
    if not line.may_be:
        return Decimal(1)
    return sum((chance for pile, chance in line.may_be.items() if goes_with(at, pile) == category), NOTHING)


def _otherwise(
    lines: Sequence[Line], category: str, state: str, prices: PriceList, at: Yard, kg: Decimal
) -> tuple[Decimal, Decimal]:
    """What the doubtful share fetches as the cheapest it may be, and by its chances; nothing without a price."""
    plain, worst, mean = on_a_pile(prices), NOTHING, NOTHING
    for line in lines:
        others = {pile: chance for pile, chance in line.may_be.items() if goes_with(at, pile) != category}
        mass = line.kg or kg / len(lines)
        found = [
            (chance, fetched_either(plain, at, pile, state, mass, line.pieces).money) for pile, chance in others.items()
        ]
        least = min((money.low if money else NOTHING for _, money in found), default=NOTHING)
        worst += least * sum(others.values(), NOTHING)
        mean += sum((chance * (money.low + money.high) / 2 for chance, money in found if money), NOTHING)
    return worst, mean
