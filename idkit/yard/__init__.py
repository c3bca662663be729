"""Piles and money: a yard's own names, its price list, what a weight fetches by it."""

from idkit.yard.cable import Recovery, Sample, Stripping, Work, recovery, stripping, tells, times_as_much
from idkit.yard.finds import WAYS, Component, Find, Way, find_called, finds_in, remaining, way_as_body
from idkit.yard.heaps import Held, Lot, Mass, alone, as_body, is_empty, mass, of_body, pieces_of, records_of, said_kg
from idkit.yard.money import currency_of, rounded, said, summed
from idkit.yard.names import known_name
from idkit.yard.numbers import low_to_high, number, weight
from idkit.yard.piles import (
    Checked,
    Heap,
    Taken,
    move,
    pile_called,
    piles_in,
    put_back,
    refuse_missing,
    take,
)
from idkit.yard.prices import COLUMNS, STALE, Fetched, Listed, category_named, fetched, price_of, read_prices
from idkit.yard.sampling import drawn, most_wrong
from idkit.yard.stripping import WHOLE, Outcome, best, on_a_pile, outcomes
from idkit.yard.units import POUND, TON_OR_CWT, UNITS, amount_in, unit_of
from idkit.yard.volumes import litres
from idkit.yard.worths import a_litre, densest_first, fetched_either, worth

__all__ = [
    "COLUMNS",
    "Checked",
    "Component",
    "Fetched",
    "Find",
    "Heap",
    "Held",
    "Listed",
    "Lot",
    "Mass",
    "Outcome",
    "POUND",
    "Recovery",
    "STALE",
    "Sample",
    "Stripping",
    "TON_OR_CWT",
    "Taken",
    "UNITS",
    "WAYS",
    "WHOLE",
    "Way",
    "Work",
    "a_litre",
    "alone",
    "amount_in",
    "as_body",
    "best",
    "category_named",
    "currency_of",
    "densest_first",
    "drawn",
    "fetched",
    "fetched_either",
    "find_called",
    "finds_in",
    "is_empty",
    "known_name",
    "litres",
    "low_to_high",
    "mass",
    "most_wrong",
    "move",
    "number",
    "of_body",
    "on_a_pile",
    "outcomes",
    "pieces_of",
    "pile_called",
    "piles_in",
    "price_of",
    "put_back",
    "read_prices",
    "records_of",
    "recovery",
    "refuse_missing",
    "remaining",
    "rounded",
    "said",
    "said_kg",
    "stripping",
    "summed",
    "take",
    "tells",
    "times_as_much",
    "unit_of",
    "way_as_body",
    "weight",
    "worth",
]
