"""Yards as the daybook tells them: their own ways, which one is in use, and the price lists they gave over time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from idkit.vocabulary import Written, Yard


@dataclass(frozen=True)
class Table:
    """A price list as it was handed in: its file, the day it was read (ISO 8601), and its cells as typed.

    `line` is the daybook's line that it was written in; 0 where it is not in there yet.
    """

    file: str
    read_on: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, Mapping[str, str]], ...]
    line: int = 0


@dataclass(frozen=True)
class Yards:
    """Every yard by name, the price lists of each in the order they were read, and the name in use ('' for none)."""

    known: Mapping[str, Yard] = field(default_factory=dict)
    tables: Mapping[str, tuple[Table, ...]] = field(default_factory=dict)
    in_use: str = ""


def yards_in(lines: Iterable[Written]) -> Yards:
    """The yards after all lines of the daybook."""
    known: dict[str, Yard] = {}
    tables: dict[str, tuple[Table, ...]] = {}
    in_use = ""
    for line in lines:
        if line.kind == "yard" and line.act == "new":
            known[line.name] = _said(known.get(line.name, Yard(line.name)), line.body)
        if line.kind == "prices" and line.act == "list":
            tables[line.name] = (*tables.get(line.name, ()), replace(table_of(line.body), line=line.number))
        if line.kind == "yard" and line.act in ("new", "use") and (line.act == "use" or not in_use):
            in_use = line.name
    return Yards(known, tables, in_use)


def _said(yard: Yard, body: Mapping[str, Any]) -> Yard:
    """The yard with what was said of it since; what was not named stays."""
    return replace(
        yard,
        kind=body.get("kind", yard.kind),
        names={**yard.names, **body.get("names", {})},
        merged=_merged(yard.merged, body.get("merged", {})),
        thick_from=float(body.get("thick_from", yard.thick_from)),
        tons={**yard.tons, **body.get("tons", {})},
        stale_days={**yard.stale_days, **body.get("stale_days", {})},
    )


def _merged(before: Mapping[str, str], said: Mapping[str, str]) -> dict[str, str]:
    """What is put with what; where that would go round, the category that was named last stays by itself."""
    found = dict(before)
    for one, other in said.items():
        if one == goes_with(Yard("", merged=found), other):
            found.pop(other, None)
        found[one] = other
    return {one: other for one, other in found.items() if other != one}


def table_as_body(table: Table) -> dict[str, Any]:
    """A price list as the daybook keeps it."""
    rows = [[number, dict(cells)] for number, cells in table.rows]
    return {"file": table.file, "read_on": table.read_on, "header": list(table.header), "rows": rows}


def table_of(body: Mapping[str, Any]) -> Table:
    """The same back."""
    rows = tuple((int(number), dict(cells)) for number, cells in body["rows"])
    return Table(body["file"], body["read_on"], tuple(body["header"]), rows)


def own_name(yard: Yard, category: str, name: str) -> str:
    """What this yard calls a category, else its usual name.

    >>> own_name(Yard("any", names={"yellow-brass": "taps"}), "yellow-brass", "yellow brass")
    'taps'
    """
    return yard.names.get(category, name)


def goes_with(yard: Yard, category: str) -> str:
    """The category that this yard puts a category with: itself unless it merges them; a chain of merges is followed.

    >>> goes_with(Yard("any", merged={"copper-clad": "light-iron"}), "copper-clad")
    'light-iron'
    """
    seen = {category}
    while category in yard.merged and yard.merged[category] not in seen:
        category = yard.merged[category]
        seen.add(category)
    return category
