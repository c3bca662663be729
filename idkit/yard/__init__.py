"""Piles and money: a yard's own names, its price list, what a weight fetches by it."""

from idkit.yard.money import currency_of, rounded, said, summed
from idkit.yard.numbers import low_to_high, number, weight
from idkit.yard.prices import COLUMNS, STALE, Fetched, Listed, category_named, fetched, price_of, read_prices
from idkit.yard.units import POUND, TON_OR_CWT, UNITS, amount_in, unit_of

__all__ = [
    "COLUMNS",
    "Fetched",
    "Listed",
    "POUND",
    "STALE",
    "TON_OR_CWT",
    "UNITS",
    "amount_in",
    "category_named",
    "currency_of",
    "fetched",
    "low_to_high",
    "number",
    "price_of",
    "read_prices",
    "rounded",
    "said",
    "summed",
    "unit_of",
    "weight",
]
