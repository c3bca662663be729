"""What is sold: masses, money, prices and the user's daybook. Numbers are Decimal, masses in kg."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

STATES = ("clean", "dirty")


@dataclass(frozen=True)
class Unit:
    """What a price is for: so many kg, or one piece where `kg` is None."""

    id: str
    kg: Decimal | None
    said: str  # 'a lb', 'a tonne', 'each'


@dataclass(frozen=True)
class Weighed:
    """A mass in kg as a scale showed it; `step` is the size of its last digit in kg, `typed` what was written."""

    kg: Decimal
    step: Decimal
    typed: str


@dataclass(frozen=True)
class Money:
    """An amount from `low` to `high` in one currency (ISO 4217); both are the same where it is known."""

    low: Decimal
    high: Decimal
    currency: str


@dataclass(frozen=True)
class Price:
    """One row of a price list: `low` to `high` per `unit`, before what is deducted.

    `from_kg` is where this step of quantity begins, `minimum_kg` the least that is bought at all; `deducted` is the
    share of the weight that is not paid for, `fee` is taken once a line. `state` is clean, dirty or '' for both.
    Dates are ISO 8601, '' where none was said; `doubt` says why it may no longer hold, '' where nothing speaks for it.
    """

    row: int
    category: str
    state: str
    low: Decimal
    high: Decimal
    unit: Unit
    date: str = ""
    yard: str = ""
    said_by: str = ""
    valid_until: str = ""
    minimum_kg: Decimal = Decimal(0)
    from_kg: Decimal = Decimal(0)
    deducted: Decimal = Decimal(0)
    fee: Decimal = Decimal(0)
    doubt: str = ""


@dataclass(frozen=True)
class PriceList:
    """A yard's prices in one currency, in the order of their rows."""

    name: str
    currency: str
    prices: tuple[Price, ...]


@dataclass(frozen=True)
class Yard:
    """What one buyer does its own way.

    `names` are its own words by category; `merged` sends one category's parts to another; `thick_from` is where thick
    steel begins in m, NaN for the usual line; `tons` says what a bare t, ton or cwt means there; `stale_days` how old
    a price may be by kind (iron, other); `kind` is one of KINDS.
    """

    name: str
    kind: str = "yard"
    names: Mapping[str, str] = field(default_factory=dict)
    merged: Mapping[str, str] = field(default_factory=dict)
    thick_from: float = float("nan")
    tons: Mapping[str, str] = field(default_factory=dict)
    stale_days: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Sold:
    """What one part fetches at the yard in use.

    `value` runs over the piles it may go on, None where one of them has no price; it is of the whole part where `per`
    is part, else of one such unit. `called` are the yard's own names by pile. `advice` says, of a part whose pile is
    not settled, where it is put best and what knowing would be worth; '' where that is plain.
    """

    yard: str
    value: Money | None
    per: str
    called: Mapping[str, str] = field(default_factory=dict)
    advice: str = ""
    without: tuple[str, ...] = ()  # piles that it may go on and that have no price
    saves: Decimal | None = None  # what the next check saves, in the currency of `value`; None where that is not known
    old: tuple[str, ...] = ()  # of piles that it may go on, why their price may no longer hold


KINDS = ("yard", "board buyer", "recycling point", "bin")


@dataclass(frozen=True)
class Written:
    """One line of the user's daybook: what was done to which yard, price list, load, pile or find, and when."""

    number: int
    at: str  # UTC, ISO 8601
    kind: str
    name: str
    act: str
    body: Mapping[str, Any]
