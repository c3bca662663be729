"""A yard's price list: a table's rows to prices, every wrong cell told at once, and what a weight fetches by it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date as Date
from decimal import Decimal
from typing import TypeVar

from idkit import facts
from idkit.errors import CallError, IdkitError
from idkit.vocabulary import STATES, Money, Price, PriceList, Unit, Yard
from idkit.yard.money import currency_of
from idkit.yard.names import known_name
from idkit.yard.numbers import low_to_high, number, weight
from idkit.yard.units import amount_in, unit_of

COLUMNS = (
    "category", "state", "price", "unit", "currency", "date", "yard", "said-by", "valid-until", "minimum", "from",
    "deducted", "fee",
)  # fmt: skip
NEEDED = ("category", "price", "unit", "currency")
_ALSO = {"pile": "category", "minimum-weight": "minimum", "from-weight": "from", "percent-deducted": "deducted"} | {
    "deducted-%": "deducted", "who": "said-by", "who-said-it": "said-by", "valid-till": "valid-until",
}  # fmt: skip

_STATED = re.compile(
    r"(?P<name>.+?)[\s,;:(-]+(?P<behind>clean|dirty)\)?|(?P<before>clean|dirty)[\s,;:-]+(?P<after>.+)", re.IGNORECASE
)
STALE = {"iron": 30, "other": 7}
"""Days after which a price is said to be old, for iron and steel and for all else. Common practice, no source."""

UNDATED = "has no date: nobody can say how old its price is"
IRON = ("light-iron", "heavy-steel", "cast-iron")
Cells = tuple[int, Mapping[str, str]]
T = TypeVar("T")


@dataclass(frozen=True)
class Listed:
    """A price list as it was read: the wrong cells, one error each; what is doubtful, a line each; columns not read."""

    prices: PriceList
    faults: tuple[IdkitError, ...]
    doubts: tuple[str, ...]
    not_read: tuple[str, ...]


@dataclass(frozen=True)
class Fetched:
    """What a weight or a number of pieces fetches, before rounding; None with the reason where it has no price."""

    money: Money | None
    price: Price | None
    why: str = ""


@dataclass
class _Row:
    """One row while it is read; what is wrong is gathered."""

    place: str
    cells: Mapping[str, str]
    faults: list[IdkitError] = field(default_factory=list)

    def read(self, column: str, reader: Callable[[str, str], T], otherwise: T) -> T:
        typed = self.cells.get(column, "")
        if not typed and column not in NEEDED:
            return otherwise
        try:
            return reader(typed, f"{self.place}, column {column}")
        except IdkitError as error:
            self.faults.append(error)
            return otherwise


def read_prices(name: str, header: Sequence[str], rows: Sequence[Cells], yard: Yard, today: Date) -> Listed:
    """The price list in a table of that name; `today` is what old and out of date are measured from."""
    meaning = meanings(name, header, _meaning)
    missing = [column for column in NEEDED if column not in meaning.values()]
    if missing:
        got = f"lacks {', '.join(missing)}"
        raise CallError(name, got, f"the columns {', '.join(NEEDED)}", "idkit facts categories lists the categories")
    read = [_Row(f"{name}, row {row}", {meaning[c]: t.strip() for c, t in cells.items()}) for row, cells in rows]
    currencies = [row.read("currency", currency_of, "") for row in read]
    prices = [_price(row, number, yard) for row, (number, _) in zip(read, rows, strict=True)]
    faults = [fault for row in read for fault in row.faults]
    clear = [price for row, price in zip(read, prices, strict=True) if not row.faults]
    faults += _mixed(read, currencies) + _twice(name, clear)
    prices = [replace(price, doubt=_doubt(price, yard, today)) for price in prices]
    undated = sum(price.doubt == UNDATED for price in prices)
    doubts = [
        f"{row.place}: {price.category} {price.doubt}"
        for row, price in zip(read, prices, strict=True)
        if price.doubt and (price.doubt != UNDATED or undated == 1)
    ]
    if undated > 1:
        doubts.append(f"{name}: {undated} prices have no date: nobody can say how old they are")
    listed = PriceList(name, next((c for c in currencies if c), ""), tuple(prices))
    return Listed(listed, tuple(faults), tuple(doubts), tuple(c for c in header if meaning[c] not in COLUMNS))


def meanings(name: str, header: Sequence[str], meaning: Callable[[str], str]) -> dict[str, str]:
    """What each column of a table is; CallError where two are the same."""
    found: dict[str, str] = {}
    for column in header:
        same = next((other for other, is_ in found.items() if is_ == meaning(column)), None)
        if same is not None:
            raise CallError(name, f"has {same!r} and {column!r}, which are one column", "each column once")
        found[column] = meaning(column)
    return found


def _of_yard(typed: str, thing: str, yard: Yard) -> str:
    """The yard that a row is of, which is the one that the list is read for."""
    if yard.name and known_name(typed, [yard.name]) is None:
        raise CallError(thing, f"got {typed!r}", f"{yard.name}, whose list it is", "or a list for each yard: --yard")
    return yard.name or typed


def _meaning(column: str) -> str:
    plain = re.sub(r"[\s_]+", "-", column.strip().lower())
    return _ALSO.get(plain, plain)


def _price(row: _Row, number_: int, yard: Yard) -> Price:
    low, high = row.read("price", low_to_high, (Decimal(0), Decimal(0)))
    none = Decimal(0)
    unit = row.read("unit", lambda typed, thing: unit_of(typed, thing, yard.tons), Unit("", None, ""))
    mass: Callable[[str, str], Decimal] = lambda typed, thing: weight(typed, thing, yard.tons).kg  # noqa: E731
    category, state = row.read("category", lambda typed, thing: category_and_state(typed, thing, yard), ("", ""))
    return Price(
        row=number_,
        category=category,
        state=row.read("state", lambda typed, thing: _state(typed, thing, state), state),
        low=low,
        high=high,
        unit=unit,
        date=row.read("date", _date, ""),
        yard=row.read("yard", lambda typed, thing: _of_yard(typed, thing, yard), yard.name),
        said_by=row.cells.get("said-by", ""),
        valid_until=row.read("valid-until", _date, ""),
        minimum_kg=row.read("minimum", mass, none),
        from_kg=row.read("from", mass, none),
        deducted=row.read("deducted", _share, none),
        fee=row.read("fee", number, none),
    )


def category_named(typed: str, thing: str, yard: Yard) -> str:
    """The id of the category of that id or name, or of that name at this yard.

    >>> category_named("Yellow Brass", "category", Yard("any"))
    'yellow-brass'
    """
    of_its_own = {name: id_ for id_, name in yard.names.items()}
    found = facts.named(typed, facts.categories().values(), of_its_own)
    if found:
        return found
    near = facts.near(typed, facts.categories().values(), of_its_own) if typed else ()
    got = f"got {typed!r}, which is no category here" if typed else "is empty"
    right = " or ".join(near) if near else "an id or a name that idkit facts categories lists"
    called = f"'{yard.name}'" if yard.name else "YARD"
    once = f"where it is the yard's own word: idkit yard new {called} --call {near[0] if near else 'ID'}='{typed}'"
    raise CallError(thing, got, right, once if typed else "")


def category_and_state(typed: str, thing: str, yard: Yard) -> tuple[str, str]:
    """The same with clean or dirty, where that stands before or behind the name; '' where neither does.

    >>> category_and_state("Brass, dirty", "category", Yard("any", names={"yellow-brass": "brass"}))
    ('yellow-brass', 'dirty')
    """
    try:
        return category_named(typed, thing, yard), ""
    except CallError:
        found = _STATED.fullmatch(typed.strip())
        if found is None:
            raise
        name, state = found["name"] or found["after"], found["behind"] or found["before"]
        return category_named(name, thing, yard), state.lower()


def _state(typed: str, thing: str, named: str) -> str:
    """Clean or dirty; not the other one of what the name says already."""
    right = (named,) if named else STATES
    if typed.lower() in right:
        return typed.lower()
    raise CallError(thing, f"got {typed!r}", " or ".join((*right, "nothing")))


def _date(typed: str, thing: str) -> str:
    try:
        return Date.fromisoformat(typed).isoformat()
    except ValueError:
        raise CallError(thing, f"got {typed!r}", "a date such as 2026-03-31") from None


def _share(typed: str, thing: str) -> Decimal:
    percent = number(typed.rstrip("% "), thing)
    if percent >= 100:
        raise CallError(thing, f"got {typed!r}", "per cent of the weight, under 100")
    return percent / 100


def _mixed(rows: Sequence[_Row], currencies: Sequence[str]) -> list[IdkitError]:
    first = next((each for each in currencies if each), "")
    return [
        CallError(f"{row.place}, column currency", f"got {each} beside {first}", "one currency", "keep a list for each")
        for row, each in zip(rows, currencies, strict=True)
        if each and each != first
    ]


def _twice(name: str, prices: Sequence[Price]) -> list[IdkitError]:
    """Rows that are the same price twice: nobody could say which one holds."""
    first: dict[tuple[str, str, Decimal], int] = {}
    found: list[IdkitError] = []
    for price in prices:
        key = (price.category, price.state, price.from_kg)
        if first.setdefault(key, price.row) != price.row:
            got = f"prices {price.category} again, after row {first[key]}"
            found.append(CallError(f"{name}, row {price.row}", got, "one row, or another state or from", ""))
    return found


def _doubt(price: Price, yard: Yard, today: Date) -> str:
    """Why a price may no longer hold: out of date, old, of the future or of no day; '' where nothing speaks for it."""
    days = (STALE | dict(yard.stale_days))["iron" if price.category in IRON else "other"]
    if price.valid_until:
        over = price.valid_until < today.isoformat()
        return f"was valid until {price.valid_until}: ask the yard again" if over else ""
    if not price.date:
        return UNDATED
    age = (today - Date.fromisoformat(price.date)).days
    if age < 0:
        return f"is of {price.date}, which is still to come"
    return f"is of {price.date}, more than {days} days ago: ask the yard again" if age > days else ""


def price_of(prices: PriceList, category: str, state: str, kg: Decimal | None) -> Price | None:
    """The row that holds for so much of a category: its own state before both, the highest step that is reached."""
    rows = [row for row in prices.prices if row.category == category and row.state in (state, "")]
    reached = [row for row in rows if row.from_kg <= (kg or 0)]
    own = [row for row in reached if row.state == state] or reached
    return max(own, key=lambda row: row.from_kg, default=None)


def fetched(prices: PriceList, category: str, state: str, kg: Decimal | None, pieces: int | None = None) -> Fetched:
    """What `kg` or so many pieces of a category fetch: weight less what is deducted, times the price, less the fee.

    Not rounded, and never below zero by a fee alone: a yard takes nothing for a line that costs more than it brings.
    """
    price = price_of(prices, category, state, kg)
    if price is None:
        return Fetched(None, None, f"{prices.name} has no price for {category}")
    if price.unit.kg is None:
        if pieces is None:
            return Fetched(None, price, f"{category} is paid by the piece: say how many")
        count = Decimal(pieces)
    elif kg is None:
        return Fetched(None, price, f"{category} is paid by weight: weigh it")
    elif kg < price.minimum_kg:
        return Fetched(None, price, f"{category} is bought from {price.minimum_kg.normalize():f} kg")
    else:
        count = amount_in(kg * (1 - price.deducted), price.unit)
    low, high = (max(count * each - price.fee, Decimal(0)) for each in (price.low, price.high))
    return Fetched(Money(low, high, prices.currency), price)
