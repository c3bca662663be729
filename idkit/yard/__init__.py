"""Piles and money: a yard's own names, its price list, what a weight fetches by it."""

from idkit.yard.heaps import Held, Lot, Mass, mass
from idkit.yard.money import currency_of, rounded, said, summed
from idkit.yard.numbers import low_to_high, number, weight
from idkit.yard.piles import Checked, Heap, Taken, pile_called, piles_in, put_back, take
from idkit.yard.prices import COLUMNS, STALE, Fetched, Listed, category_named, fetched, price_of, read_prices
from idkit.yard.units import POUND, TON_OR_CWT, UNITS, amount_in, unit_of

__all__ = [
    "COLUMNS",
    "Checked",
    "Fetched",
    "Heap",
    "Held",
    "Listed",
    "Lot",
    "Mass",
    "POUND",
    "STALE",
    "TON_OR_CWT",
    "Taken",
    "UNITS",
    "amount_in",
    "category_named",
    "currency_of",
    "fetched",
    "low_to_high",
    "mass",
    "number",
    "pile_called",
    "piles_in",
    "price_of",
    "put_back",
    "read_prices",
    "rounded",
    "said",
    "summed",
    "take",
    "unit_of",
    "weight",
]
