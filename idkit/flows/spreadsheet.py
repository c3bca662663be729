"""Tables as spreadsheets save them: comma, semicolon or tab between the cells, UTF-8 with or without a mark; and cells
that no spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from pathlib import Path

from idkit.errors import CallError

MARKS = ",;\t"
LARGEST = 64_000_000  # bytes of a table
MOST_TOLD = 12  # rows of the wrong length
COMMA = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d.,])")
TWO_WAYS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}([.,])\d{3}(?![\d.,])")  # a decimal, or thousands
NUMBER = re.compile(r"[\d.,\s]*\d(?:\s*(?:-|–|to|bis)\s*[\d.,\s]*\d)?\s*(?:[^\W\d_]{1,12}\.?|%|€|£|\$)?")
SIGNS = r"=+\-@＝＋－＠"  # what a spreadsheet takes for a formula at the start of a cell, full width too
START = re.compile(rf"'*(?:\s*[{SIGNS}]|[\t\r])")
WITHIN = re.compile(rf"(?<=[;,\t\r\n])(?='*[{SIGNS}])")  # where a cell would start if the table were read otherwise
GUARDED = re.compile(rf"^'(?='*(?:\s*[{SIGNS}]|[\t\r]))|(?<=[;,\t\r\n])'(?='*[{SIGNS}])")
Numbered = list[tuple[int, list[str]]]  # rows as a spreadsheet counts them, with their cells
Cells = tuple[int, Mapping[str, str]]


def rows(path: Path, option: str) -> tuple[Numbered, str]:
    """The rows that are not empty, and what stands between their cells.

    Rows are counted as a spreadsheet shows them: a cell of several lines is in one row, and a first line that only says
    what stands between cells is none. CallError, which names `option`, where the file is no table.
    """
    text = _text(path, option)
    first = next((line for line in text.splitlines() if line.strip()), "")
    told = re.fullmatch(r"sep=(.)", first.strip(), re.IGNORECASE)
    between = told[1] if told else max(MARKS, key=first.count)
    table = text.partition(first)[2].partition("\n")[2] if told else text
    found: Numbered = []
    count = 0
    try:
        for count, row in enumerate(csv.reader(io.StringIO(table, newline=""), delimiter=between, strict=True), 1):
            if any(cell.strip() for cell in row):
                found.append((count, [unguarded(cell.strip()) for cell in row]))
    except csv.Error as error:
        got, right = f"is no row of a table ({error})", "quotes that are closed again"
        raise CallError(f"{path.name}, row {count + 1}", got, right) from None
    return found, between


def cells(path: Path, option: str) -> tuple[list[str], list[Cells]]:
    """The names of the columns, and each row as a spreadsheet counts it with its cells by column.

    CallError, which names `option`, where the file is no table; empty rows are passed over.
    """
    table, between = rows(path, option)
    header = table[0][1] if table else []
    if not any(header) or len(set(header)) < len(header):
        first = between.join(header)[:60]
        raise CallError(option, f"{path.name} starts with {first!r}", "a row of column names, each once")
    wrong = [(number, row) for number, row in table[1:] if len(row) != len(header)]
    if wrong:
        place = f"{path.name}, row {', '.join(str(number) for number, _ in wrong[:MOST_TOLD])}"
        got = f"got {len(wrong[0][1])} cell{'' if len(wrong[0][1]) == 1 else 's'}"
        raise CallError(place, got, f"{len(header)}, one a column", "a cell with a comma in it needs quotes")
    found: list[Cells] = []
    for number, row in table[1:]:
        place = f"{path.name}, row {number}, column"
        read = {name: _number(cell, between, f"{place} {name}") for name, cell in zip(header, row, strict=True)}
        found.append((number, read))
    return header, found


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


def _number(cell: str, between: str, place: str) -> str:
    """A cell that is a number, or a range of them, with its decimal sign as a point; any other as it is."""
    return with_point(cell, between, place) if between == ";" and NUMBER.fullmatch(cell) else cell


def with_point(text: str, between: str, thing: str) -> str:
    """An amount as typed in a cell, with a decimal point.

    Where semicolons stand between cells, a comma is the decimal sign. CallError, which names `thing`, where a point and
    three digits could then be thousands.

    >>> with_point("3,25 mm", ";", "it"), with_point("1,234 kg", ";", "it"), with_point("1,234 kg", ",", "it")
    ('3.25 mm', '1.234 kg', '1,234 kg')
    """
    two_ways = TWO_WAYS.search(text)
    if between == ";" and two_ways and two_ways[1] == ".":
        one, other = (text.replace(two_ways[0], two_ways[0].replace(".", sign)) for sign in (",", ""))
        got = f"got {text!r}, which could be {one} or {other}"
        raise CallError(thing, got, "a decimal comma or no point", f"say {one} or {other}")
    return text if two_ways and between != ";" else COMMA.sub(r"\1.\2", text)


def _text(path: Path, option: str) -> str:
    try:
        if path.stat().st_size > LARGEST:
            raise CallError(option, f"{path} is {path.stat().st_size / 1e6:.0f} MB", "a table of at most 64 MB")
        return path.read_text(encoding="utf-8-sig").replace("\0", "")
    except OSError as error:
        raise CallError(option, f"{path} can't be read ({error.strerror})", "a csv file") from None
    except UnicodeDecodeError:
        got, right = f"{path} is not in UTF-8", "a csv file in UTF-8"
        raise CallError(option, got, right, "save it anew as 'CSV UTF-8'") from None


def save(path: Path, text: str, option: str) -> None:
    """Write a text in UTF-8, whole or not at all; CallError, which names `option`, where it can't be written."""
    if not path.name or path.is_dir():
        raise CallError(option, f"got {str(path)!r}, a folder", "the name of a file")
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_text(text, encoding="utf-8", newline="")
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise CallError(option, f"{path} can't be written ({error.strerror})", "a folder with room in it") from None
