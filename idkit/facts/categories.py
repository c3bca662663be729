"""Categories: what yards call the piles, and which part belongs on which."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import isnan
from pathlib import Path

from idkit.errors import TableError
from idkit.facts.forms import forms
from idkit.facts.materials import materials
from idkit.facts.tables import Row, members, names, number_or_nan, refuse, rows_of, text, trust
from idkit.vocabulary import KINDS, Category

COLUMNS = (
    "id", "name", "also", "belongs", "downgrades", "limits", "materials", "forms", "words", "thickness_from_mm",
    "thickness_below_mm", "buyer", "source", "trust",
)  # fmt: skip


@cache
def categories() -> Mapping[str, Category]:
    """Every row of categories.csv by id, in the order in which they are tried; every form's category is among them."""
    found = read_categories()
    for form in forms().values():
        if form.category and form.category not in found:
            place, got = f"forms.csv, row of {form.id}, column category", f"got {form.category!r}"
            raise TableError(place, got, "an id of categories.csv")
    return found


def read_categories(path: Path | None = None) -> Mapping[str, Category]:
    """The same from another file."""
    return members(rows_of("categories.csv", COLUMNS, path), _category)


def _category(row: Row) -> Category:
    start, stop = (number_or_nan(row, f"thickness_{side}_mm", 0.01, 1000.0) / 1000 for side in ("from", "below"))
    if not (isnan(start) or isnan(stop) or start < stop):
        refuse(row, "thickness_below_mm", "more than thickness_from_mm")
    if row.values["words"] and not row.values["materials"]:
        refuse(row, "materials", "a material beside the words, or the row would take whatever lay in such a thing")
    if row.values["buyer"] not in KINDS:
        refuse(row, "buyer", ", ".join(KINDS))
    return Category(
        id=text(row, "id"),
        name=text(row, "name"),
        also=row.values["also"],
        belongs=text(row, "belongs"),
        downgrades=text(row, "downgrades"),
        limits=row.values["limits"],
        materials=names(row, "materials", materials()),
        forms=names(row, "forms", forms()),
        words=names(row, "words"),
        thickness_from=start,
        thickness_below=stop,
        buyer=text(row, "buyer"),
        source=text(row, "source"),
        trust=trust(row),
    )
