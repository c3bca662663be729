"""Piles and money: a yard's own names, its price list, what a weight fetches by it."""

from idkit.yard.heaps import Held, Lot, Mass, alone, as_body, is_empty, mass, of_body, pieces_of, records_of, said_kg
from idkit.yard.money import currency_of, rounded, said, summed
from idkit.yard.numbers import low_to_high, number, weight
from idkit.yard.piles import (
    Checked,
    Heap,
    Taken,
    known_name,
    move,
    pile_called,
    piles_in,
    put_back,
    refuse_missing,
    take,
)
from idkit.yard.prices import COLUMNS, STALE, Fetched, Listed, category_named, fetched, price_of, read_prices
from idkit.yard.sampling import drawn, most_wrong
from idkit.yard.units import POUND, TON_OR_CWT, UNITS, amount_in, unit_of
from idkit.yard.volumes import litres
from idkit.yard.worths import a_litre, densest_first, worth

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
    "a_litre",
    "alone",
    "amount_in",
    "as_body",
    "category_named",
    "currency_of",
    "densest_first",
    "drawn",
    "fetched",
    "is_empty",
    "known_name",
    "litres",
    "low_to_high",
    "mass",
    "most_wrong",
    "move",
    "number",
    "of_body",
    "pieces_of",
    "pile_called",
    "piles_in",
    "price_of",
    "put_back",
    "read_prices",
    "records_of",
    "refuse_missing",
    "rounded",
    "said",
    "said_kg",
    "summed",
    "take",
    "unit_of",
    "weight",
    "worth",
]
