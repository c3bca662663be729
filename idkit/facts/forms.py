"""Forms: what shape of thing a part is, and what such things are mostly made of."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from idkit.facts.materials import materials
from idkit.facts.tables import Row, member, members, names, rows_of, text, trust, weights
from idkit.vocabulary import Form

COLUMNS = ("id", "looks", "likely", "category", "always", "source", "trust")
LIGHTEST, HEAVIEST = 1.0, 20.0


@cache
def forms() -> Mapping[str, Form]:
    """Every row of forms.csv by id, in the order of the file."""
    return read_forms()


def form(id: str) -> Form:
    """The form of that id; CallError where there is none."""
    return member("form", id, forms())


def read_forms(path: Path | None = None) -> Mapping[str, Form]:
    """The same as forms() from another file. Whether a category exists is asked by categories(), which reads forms."""
    return members(rows_of("forms.csv", COLUMNS, path), _form)


def _form(row: Row) -> Form:
    return Form(
        id=text(row, "id"),
        looks=text(row, "looks"),
        likely=weights(row, "likely", materials(), LIGHTEST, HEAVIEST),
        category=row.values["category"],
        always=names(row, "always"),
        source=text(row, "source"),
        trust=trust(row),
    )
