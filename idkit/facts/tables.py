"""The one reader of the tables: csv files in which every row carries its source and how far to trust it.

A file opens with lines that start with '#' (title, source, meaning of the columns), then a row of column names. A bad
row is refused by file, row and column, the row counted as a text editor counts lines.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from importlib.resources import files
from math import inf, isfinite, nan
from pathlib import Path
from types import MappingProxyType
from typing import NoReturn, TypeVar

from idkit.errors import CallError, TableError

TRUST: Mapping[str, str] = MappingProxyType(
    {
        "V": "read in the named source",
        "S": "read in a copy that quotes the named source",
        "M": "from memory",
        "C": "common practice, no source",
        "D": "computed from other values",
    }
)

Member = TypeVar("Member")


@dataclass(frozen=True)
class Row:
    """One row as text, with the file and line it stands in."""

    file: str
    line: int
    values: Mapping[str, str]


def rows_of(name: str, columns: Collection[str], path: Path | None = None) -> tuple[Row, ...]:
    """The rows of a table of this package, or of another file of the same shape."""
    file = path.name if path else name
    lines = _text(name, path).splitlines(keepends=True)
    start = next((number for number, line in enumerate(lines) if not line.startswith("#")), len(lines))
    reader = csv.reader(lines[start:])
    header = next(reader, [])
    _refuse_header(file, start + 1, header, columns)
    rows = []
    for fields in filter(None, reader):
        line = start + reader.line_num
        if len(fields) != len(header):
            fields_right = f"{len(header)} fields"
            raise TableError(_place(file, line, header[-1]), f"got {len(fields)} fields", fields_right, "check commas")
        rows.append(Row(file, line, MappingProxyType(dict(zip(header, map(str.strip, fields), strict=True)))))
    return tuple(rows)


def members(rows: Iterable[Row], read: Callable[[Row], Member]) -> Mapping[str, Member]:
    """What each row describes, by id, in the order of the file; an id that comes twice is refused."""
    found: dict[str, Member] = {}
    for row in rows:
        name = text(row, "id")
        if name in found:
            refuse(row, "id", "an id of its own for each row")
        found[name] = read(row)
    return MappingProxyType(found)


def member(kind: str, name: str, table: Mapping[str, Member]) -> Member:
    """The member of that id, or a refusal that names near ones."""
    if name not in table:
        close = get_close_matches(name, list(table), n=3) or list(table)
        hint = "" if len(close) == len(table) else f"did you mean {' or '.join(close)}?"
        raise CallError(kind, f"got {name!r}", f"one of the {len(table)} ids of its table", hint)
    return table[name]


# One value ------------------------------------------------------------------------------------------------------------


def text(row: Row, column: str) -> str:
    """Text that may not be empty."""
    return row.values[column] or refuse(row, column, "some text")


def choice(row: Row, column: str, options: Collection[str]) -> str:
    """One of the options; '' among them lets the field be empty."""
    value = row.values[column]
    if value not in options:
        listed = ", ".join(option or "nothing" for option in options)
        refuse(row, column, listed if len(options) < 20 else "a known id", _near(value, options))
    return value


def trust(row: Row) -> str:
    """How far the row can be trusted: one of TRUST."""
    return choice(row, "trust", TRUST)


def names(row: Row, column: str, known: Collection[str] | None = None) -> tuple[str, ...]:
    """Names with ';' between them, each among the known ones where those are given; an empty field has none."""
    found = tuple(name.strip() for name in row.values[column].split(";") if name.strip())
    for place, name in enumerate(found):
        if known is not None and name not in known:
            refuse(row, column, f"known ids, not {name!r}", _near(name, known))
        if name in found[:place]:
            refuse(row, column, f"each name once, not {name!r} twice")
    return found


def number(row: Row, column: str, low: float = -inf, high: float = inf) -> float:
    """A finite number from low to high."""
    right = "a number" if (low, high) == (-inf, inf) else f"a number from {low:g} to {high:g}"
    return _number(row, column, row.values[column], right, low, high)


def number_or_nan(row: Row, column: str, low: float = -inf, high: float = inf) -> float:
    """The same, NaN where the field is empty."""
    return number(row, column, low, high) if row.values[column] else nan


def rising(row: Row, columns: Iterable[str], low: float, high: float) -> tuple[float, ...]:
    """Numbers of which none is below the one before."""
    found: list[float] = []
    for column in columns:
        value = number(row, column, low, high)
        if found and value < found[-1]:
            refuse(row, column, f"at least {found[-1]:g}, as the column before")
        found.append(value)
    return tuple(found)


def weights(row: Row, column: str, known: Collection[str], low: float, high: float) -> Mapping[str, float]:
    """Pairs such as 'copper:4;lead:2', each weight from low to high."""
    pairs = [pair.partition(":") for pair in row.values[column].split(";") if pair.strip()]
    found: dict[str, float] = {}
    for name, _, weight in ((name.strip(), colon, weight) for name, colon, weight in pairs):
        if name not in known or name in found:
            refuse(row, column, f"known ids, each once, not {name!r}", _near(name, known))
        found[name] = _number(row, column, weight, f"a weight from {low:g} to {high:g} for {name}", low, high)
    return MappingProxyType(found)


def refuse(row: Row, column: str, right: str, next_step: str = "") -> NoReturn:
    """Say which file, row and column is wrong, what it holds and what would be right."""
    raise TableError(_place(row.file, row.line, column), f"got {row.values[column]!r}", right, next_step)


# Inside ---------------------------------------------------------------------------------------------------------------


def _text(name: str, path: Path | None) -> str:
    try:
        return (path or files("idkit.facts") / name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = f"can't be read ({error})"
        raise TableError(str(path or name), reason, "a csv file in UTF-8") from error


def _refuse_header(file: str, line: int, header: list[str], columns: Collection[str]) -> None:
    for column in columns:
        if column not in header:
            raise TableError(_place(file, line, column), "the column is missing", f"columns {', '.join(columns)}")
    for column in header:
        if column not in columns or header.count(column) > 1:
            raise TableError(_place(file, line, column), f"got {column!r}", f"columns {', '.join(columns)}, each once")


def _number(row: Row, column: str, typed: str, right: str, low: float, high: float) -> float:
    try:
        value = float(typed)
    except ValueError:
        refuse(row, column, right)
    return value if isfinite(value) and low <= value <= high else refuse(row, column, right)


def _near(name: str, known: Iterable[str]) -> str:
    close = get_close_matches(name, [option for option in known if option], n=1)
    return f"did you mean {close[0]}?" if close else ""


def _place(file: str, line: int, column: str) -> str:
    return f"{file}, row {line}, column {column}"
