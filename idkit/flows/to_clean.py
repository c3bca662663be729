"""What is to be cleaned, as typed in options or as rows of a table."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from idkit.errors import CallError

COLUMNS = ("what", "record", "pile", "category", "weight", "off", "minutes")
NEEDED = ("off",)
Cells = tuple[int, Mapping[str, str]]


@dataclass(frozen=True)
class Bench:
    """What is to be cleaned: records, a pile of one's own, the lines of a load, or a weight of a category; what comes
    off each; how long.

    `what` names a weight of a category, `row` is the place in a table that it was read from, '' for options.
    """

    records: str = ""
    pile: str = ""
    category: str = ""
    weight: str = ""
    off: tuple[str, ...] = ()
    minutes: str = ""
    what: str = ""
    row: str = ""
    load: str = ""


def from_table(file: str, header: Sequence[str], rows: Sequence[Cells]) -> list[Bench]:
    """A table with a part a row; `off` may hold several, with + between them. CallError for a strange column."""
    meaning = {column: column.strip().lower() for column in header}
    strange = [column for column, plain in meaning.items() if plain not in COLUMNS]
    missing = [column for column in NEEDED if column not in meaning.values()]
    if strange or missing or not rows:
        got = f"has a column {strange[0]!r}" if strange else f"lacks {missing[0]}" if missing else "has no rows"
        raise CallError(file, got, f"columns of {', '.join(COLUMNS)}, a part a row")
    return [
        _bench(f"{file}, row {row}", {meaning[column]: typed for column, typed in cells.items()}) for row, cells in rows
    ]


def _bench(row: str, cells: Mapping[str, str]) -> Bench:
    off = tuple(part.strip() for part in re.split(r"\s\+\s", cells["off"]) if part.strip())
    records, minutes, what = (cells.get(column, "") for column in ("record", "minutes", "what"))
    pile, category, weight = (cells.get(column, "") for column in ("pile", "category", "weight"))
    return Bench(records, pile, category, weight, off, minutes, what, row)
