"""Cautions: what may hurt a person or break a law, each shown only where its conditions are met."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

from idkit.facts.forms import form, forms
from idkit.facts.materials import kin, material, materials
from idkit.facts.phrases import has, plain
from idkit.facts.tables import Row, members, names, refuse, rows_of, text, trust
from idkit.vocabulary import Caution

COLUMNS = ("id", "message", "materials", "forms", "words", "checks", "source", "trust")
CONDITIONS = ("materials", "forms", "words", "checks")


@cache
def cautions() -> Mapping[str, Caution]:
    """Every row of cautions.csv by id, the gravest first."""
    return read_cautions()


def read_cautions(path: Path | None = None) -> Mapping[str, Caution]:
    """The same from another file."""
    return members(rows_of("cautions.csv", COLUMNS, path), _caution)


def cautions_for(
    materials: Iterable[str], form: str | None = None, text: str = "", check: str | None = None
) -> tuple[Caution, ...]:
    """The cautions of which a material, the form, a word of the text or the check is met.

    `text` is what the part came out of, its marks and notes together: whole words and phrases, capitals, hyphens and a
    plural s aside. `check` is the name of a check about to be made.

    >>> [caution.id for caution in cautions_for((), text="a Road-Sign")]
    ['restricted']
    """
    found = set(materials)
    _refuse_unknown(found, form)
    found = {kin(each) for each in found}
    said = plain(text)
    return tuple(
        caution
        for caution in cautions().values()
        if found.intersection(caution.materials)
        or form in caution.forms
        or check in caution.checks
        or any(has(said, word) for word in caution.words)
    )


def _refuse_unknown(found: Iterable[str], name: str | None) -> None:
    for each in found:
        material(each)
    if name:
        form(name)


def _caution(row: Row) -> Caution:
    if not any(row.values[column] for column in CONDITIONS):
        refuse(row, CONDITIONS[-1], f"one of {', '.join(CONDITIONS)} filled, or it is never shown")
    return Caution(
        id=text(row, "id"),
        message=text(row, "message"),
        materials=names(row, "materials", materials()),
        forms=names(row, "forms", forms()),
        words=names(row, "words"),
        checks=names(row, "checks"),
        source=text(row, "source"),
        trust=trust(row),
    )
