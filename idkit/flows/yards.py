"""Yards begun, used and shown, their price lists read and kept: what holds at the yard in use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date as Date
from typing import Any

from idkit import ask, facts, keep, yard
from idkit.errors import CallError, FaultyTable
from idkit.vocabulary import KINDS, Category, Price, PriceList, Written, Yard

USUAL = Yard("")
UNPAID = ("ask-the-yard", "keep-or-resell")  # piles that are no kind of scrap
FREE = ("bin", "recycling point")  # who takes things for nothing
Cells = tuple[int, Mapping[str, str]]


@dataclass(frozen=True)
class InUse:
    """The yard and price list that hold now. `prices` is None where none is in use; `doubts` are of its prices."""

    yard: Yard = USUAL
    prices: PriceList | None = None
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Ways:
    """What may be said of a yard, as typed: each `call` and `merge` is ID=WORDS and ID=ID, each `ton` WORD=UNIT."""

    kind: str = ""
    call: Sequence[str] = ()
    merge: Sequence[str] = ()
    thick_from: str = ""
    ton: Sequence[str] = ()
    stale: Sequence[str] = ()


def new_yard(name: str, ways: Ways) -> tuple[Yard, bool]:
    """Begin a yard, or say something anew of one that is there; the yard, and whether it is new.

    The first one is in use from then on. CallError for an unknown category, kind or unit.
    """
    plain, body = _named(name), _body(ways)

    def compose(lines: Sequence[Any]) -> list[keep.Act]:
        there = yard.yards_in(lines)
        known = yard.known_name(plain, there.known)
        if known and not body:
            raise CallError("yard", f"{known} is there already", "what to change: --call, --merge, --thick-from ...")
        _refuse_same_names(body.get("names", {}), there.known[known].names if known else {})
        return [("yard", known or plain, "new", body)]

    before = yard.yards_in(keep.acts("yard")).known
    (line,) = keep.write_acts(compose)
    return yard.yards_in(keep.acts("yard")).known[line.name], line.name not in before


def _named(name: str) -> str:
    plain = " ".join(name.split())
    if not plain or len(plain) > 60 or not plain.isprintable():
        raise CallError("name", f"got {name[:70]!r}", "1 to 60 letters")
    return plain


def _body(ways: Ways) -> dict[str, Any]:
    body: dict[str, Any] = {}
    if ways.kind:
        if ways.kind not in KINDS:
            raise CallError("--kind", f"got {ways.kind!r}", ", ".join(KINDS))
        body["kind"] = ways.kind
    if ways.call:
        body["names"] = dict(_pair(each, "--call", "yellow-brass=taps and valves") for each in ways.call)
    if ways.merge:
        pairs = [_pair(each, "--merge", "copper-clad=light-iron") for each in ways.merge]
        body["merged"] = {one: yard.category_named(other, "--merge", USUAL) for one, other in pairs}
    if ways.thick_from:
        body["thick_from"] = repr(ask.parse_length(ways.thick_from, "--thick-from").value)
    if ways.ton:
        body["tons"] = dict(_ton(each) for each in ways.ton)
    if ways.stale:
        body["stale_days"] = dict(_days(each) for each in ways.stale)
    return body


def _pair(typed: str, option: str, such_as: str) -> tuple[str, str]:
    one, mark, other = (part.strip() for part in typed.partition("="))
    if not mark or not other:
        raise CallError(option, f"got {typed!r}", f"ID=WORDS, such as {such_as!r}")
    return yard.category_named(one, option, USUAL), other


def _refuse_same_names(said: Mapping[str, str], before: Mapping[str, str]) -> None:
    """CallError where a yard's own name would be that of two categories, or the usual one of another."""
    names = {**before, **said}
    for category, name in said.items():
        others = {other: each for other, each in names.items() if other != category}
        same = yard.known_name(name, others.values())
        usual = facts.named(name, facts.categories().values(), {})
        other = next((id_ for id_, each in others.items() if each == same), "") if same else usual
        if other and other != category and (same or other not in names):
            got = f"got {name!r}, which is what {facts.categories()[other].name} is called there"
            raise CallError("--call", got, "a name of its own for each category")


def _ton(typed: str) -> tuple[str, str]:
    word, _, unit = (part.strip().lower() for part in typed.partition("="))
    if word not in yard.TON_OR_CWT or unit not in yard.TON_OR_CWT[word]:
        right = "; ".join(f"{word}={' or '.join(units)}" for word, units in yard.TON_OR_CWT.items())
        raise CallError("--ton", f"got {typed!r}", right)
    return word, unit


def _days(typed: str) -> tuple[str, int]:
    kind, _, days = (part.strip().lower() for part in typed.partition("="))
    if kind not in yard.STALE or not days.isdecimal() or not 0 < int(days) < 10_000:
        raise CallError("--stale", f"got {typed!r}", "iron=DAYS or other=DAYS, such as other=14")
    return kind, int(days)


def use_yard(name: str) -> Yard:
    """Let that yard's ways and prices hold from now on; CallError for an unknown one."""

    def compose(lines: Sequence[Any]) -> list[keep.Act]:
        return [("yard", yard.called(name, yard.yards_in(lines).known, "yard").name, "use", {})]

    (line,) = keep.write_acts(compose)
    return yard.yards_in(keep.acts("yard")).known[line.name]


def yard_called(name: str = "") -> Yard:
    """The yard of that name, the one in use where none is named; CallError where there is none."""
    there = yard.yards_in(keep.acts("yard"))
    if name:
        return yard.called(name, there.known, "yard")
    if not there.in_use:
        raise CallError("yard", "there is none yet", "a yard to sell to", "idkit yard new NAME begins one")
    return there.known[there.in_use]


def yards() -> tuple[tuple[Yard, ...], str]:
    """Every yard, and the name of the one in use."""
    there = yard.yards_in(keep.acts("yard"))
    return tuple(there.known.values()), there.in_use


def read_prices(file: str, header: Sequence[str], rows: Sequence[Cells], name: str = "") -> yard.Listed:
    """A price list read for a yard, by its own names; its faults are in it, none is raised."""
    there = yard.yards_in(keep.acts("yard"))
    of = yard.called(name, there.known, "yard") if name else there.known.get(there.in_use, USUAL)
    return yard.read_prices(file, header, rows, of, _today())


def use_prices(file: str, header: Sequence[str], rows: Sequence[Cells], name: str = "") -> yard.Listed:
    """Keep a price list as what a yard pays from now on. FaultyTable, with nothing kept, where a cell can't be read."""
    of = yard_called(name)
    found = yard.read_prices(file, header, rows, of, _today())
    if found.faults:
        raise FaultyTable(file, [*map(str, found.faults)], "cell", "no price is used")
    if not found.prices.prices:
        raise CallError(file, "has no price in it", "a row for each price", "the list before it still holds")
    body = yard.table_as_body(yard.Table(file, _today().isoformat(), tuple(header), tuple(rows)))
    keep.write_acts(lambda _: [("prices", of.name, "list", body)])
    return found


def in_use(name: str = "", by: Written | None = None) -> InUse:
    """The yard of that name, or the one in use, and its newest price list; the usual ways where there is none.

    With `by`, a line of the daybook, it is what held then: the yard's ways as they were, and the newest list of those
    read before it, or the first one where none was.
    """
    lines = keep.acts("yard", "prices")
    there = yard.yards_in(lines)
    of = yard.called(name, there.known, "yard") if name else there.known.get(there.in_use)
    if of is None:
        return InUse()
    if by is not None:
        of = _then(lines, of, by.number)
    tables = there.tables.get(of.name, ())
    if not tables:
        return InUse(of)
    held = [table for table in tables if by is None or table.line < by.number]
    read = _read(lines, held[-1] if held else tables[0], of, by)
    return InUse(of, read.prices, read.doubts)


def _then(lines: Sequence[Written], of: Yard, number: int) -> Yard:
    """A yard as it was before that line of the daybook; as it is now where it was not there yet."""
    return yard.yards_in(line for line in lines if line.number < number).known.get(of.name, of)


def with_prices(file: str, header: Sequence[str], rows: Sequence[Cells], name: str = "") -> InUse:
    """The yard of that name, or the one in use, with the prices of this table instead of its own; FaultyTable."""
    of = in_use(name).yard
    found = yard.read_prices(file, header, rows, of, _today())
    if found.faults:
        raise FaultyTable(file, [*map(str, found.faults)], "cell", "no price is used")
    return InUse(of, found.prices, found.doubts)


@dataclass(frozen=True)
class Priced:
    """What one list paid for a category: the day of the price, or the day the list was read."""

    date: str
    price: Price
    currency: str


def history(category: str, name: str = "") -> tuple[Category, tuple[Priced, ...]]:
    """What a yard paid for a category by each of its lists, the oldest first. What was paid, never what will be."""
    of = yard_called(name)
    id_ = yard.category_named(category, "category", of)
    lines = keep.acts("yard", "prices")
    found: dict[tuple[Any, ...], Priced] = {}
    for table in yard.yards_in(lines).tables.get(of.name, ()):
        read = _read(lines, table, of).prices
        for price in (each for each in read.prices if each.category == id_):
            date = price.date or table.read_on
            found[date, price.state, price.from_kg] = Priced(date, price, read.currency)
    return facts.categories()[id_], tuple(sorted(found.values(), key=lambda each: (each.date, each.price.state)))


def unpriced(prices: PriceList, name: str = "") -> tuple[Category, ...]:
    """Categories that such a buyer pays for and a list has no price for, but those that it puts with another."""
    of, priced = in_use(name).yard, {price.category for price in prices.prices}
    asked = (row for row in facts.categories().values() if row.buyer == of.kind and is_paid(row.id))
    return tuple(row for row in asked if row.id not in priced and yard.goes_with(of, row.id) == row.id)


def is_paid(category: str) -> bool:
    """Whether any buyer pays for such a thing by a list."""
    return category not in UNPAID and facts.categories()[category].buyer not in FREE


def named_at(category: str, at: Yard) -> str:
    """What a yard calls a category."""
    return yard.own_name(at, category, facts.categories()[category].name)


def _read(lines: Sequence[Written], table: yard.Table, of: Yard, by: Written | None = None) -> yard.Listed:
    """A kept list, its categories by the names that the yard had when the list was handed in."""
    day = Date.fromisoformat(by.at[:10]) if by else _today()
    named = replace(of, names=_then(lines, of, table.line).names)
    return yard.read_prices(table.file, table.header, table.rows, named, day)


def _today() -> Date:
    return Date.fromisoformat(keep.now()[:10])
