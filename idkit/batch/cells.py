"""Tables as spreadsheets save them and open them: what stands between cells, how amounts are written, no formulas."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import IO

from idkit.errors import CallError

MARKS: Mapping[str, str] = MappingProxyType({"comma": ",", "semicolon": ";"})
SIGNS = r"=+\-@＝＋－＠"  # what a spreadsheet takes for a formula at the start of a cell, full width too
START = re.compile(rf"'*(?:\s*[{SIGNS}]|[\t\r])")
WITHIN = re.compile(rf"(?<=[;,\t\r\n])(?='*[{SIGNS}])")  # where a cell would start if the table were read otherwise
GUARDED = re.compile(rf"^'(?='*(?:\s*[{SIGNS}]|[\t\r]))|(?<=[;,\t\r\n])'(?='*[{SIGNS}])")
LESS = re.compile(r"\s*([\d.,]+)\s*[-–−]\s*([\d.,]+)\s*")  # one weight less another
Numbered = list[tuple[int, list[str]]]  # rows as a spreadsheet counts them, with their cells


def read(path: Path) -> tuple[Numbered, str]:
    """The rows that are not empty, and what stands between their cells. UTF-8 with or without its mark.

    Rows are counted as a spreadsheet shows them: a cell of several lines is in one row, and a first line that only says
    what stands between cells is none. CallError where it is no table.
    """
    text = _text(path)
    first = next((line for line in text.splitlines() if line.strip()), "")
    told = re.fullmatch(r"sep=(.)", first.strip(), re.IGNORECASE)
    between = told[1] if told else max(";\t,", key=first.count)
    table = text.partition(first)[2].partition("\n")[2] if told else text
    rows: Numbered = []
    count = 0
    try:
        for count, cells in enumerate(csv.reader(io.StringIO(table, newline=""), delimiter=between, strict=True), 1):
            if any(cell.strip() for cell in cells):
                rows.append((count, [unguarded(cell.strip()) for cell in cells]))
    except csv.Error as error:
        raise CallError(str(path), f"row {count + 1}: {error}", "a spreadsheet saved as CSV") from None
    return rows, between


def write(file: IO[str], rows: Iterable[Iterable[str]], between: str) -> None:
    """Rows into a table, every cell guarded."""
    table = csv.writer(file, delimiter=between)
    for row in rows:
        table.writerow([guarded(cell) for cell in row])


def decimal(number: str, between: str) -> str:
    """A decimal number as it is written where that stands between cells.

    >>> decimal("1.25", ";"), decimal("1.25", ",")
    ('1,25', '1.25')
    """
    return number.replace(".", ",") if between == ";" else number


def guarded(cell: str) -> str:
    """A cell of which no spreadsheet takes any of it for a formula (OWASP, CSV injection): an apostrophe goes before.

    >>> guarded("=1+1"), guarded("tap"), guarded("x;=1+1")
    ("'=1+1", 'tap', "x;'=1+1")
    """
    start = START.match(cell)
    begun = start.end() if start else 0
    return ("'" if start else "") + cell[:begun] + WITHIN.sub("'", cell[begun:])


def unguarded(cell: str) -> str:
    """The cell as it was before it was guarded.

    >>> unguarded("'=1+1"), unguarded("x;'=1+1"), unguarded("'tis")
    ('=1+1', 'x;=1+1', "'tis")
    """
    return GUARDED.sub("", cell)


def with_unit(text: str, unit: str) -> str:
    """An amount with its column's unit, where it has none.

    >>> with_unit("3,25", "mm"), with_unit("1/8 in", "mm"), with_unit("82,4 - 80,1", "kg")
    ('3,25 mm', '1/8 in', '82,4 kg - 80,1 kg')
    """
    if not unit or any(sign.isalpha() or sign in "\"'″′" for sign in text):
        return text
    whole, bare = LESS.fullmatch(text), ""
    if whole:
        text, bare = whole[1], f" - {whole[2]} {unit}"
    return f"{text} {unit}{bare}"


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig", "strict").replace("\0", "")
    except UnicodeDecodeError as error:
        got = f"byte {error.start + 1} is no UTF-8"
        raise CallError(str(path), got, "CSV in UTF-8", "save it as 'CSV UTF-8'") from None
    except OSError as error:
        raise CallError(str(path), f"can't be read ({error.strerror})", "a CSV file", "check the name") from None
