"""Tables as spreadsheets save them: comma, semicolon or tab between the cells, UTF-8 with or without a mark."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from pathlib import Path

from idkit.errors import CallError

MARKS = ",;\t"
LARGEST = 64_000_000  # bytes of a table
Cells = tuple[int, Mapping[str, str]]


def cells(path: Path, option: str) -> tuple[list[str], list[Cells]]:
    """The names of the columns, and each row as a text editor counts it with its cells by column.

    CallError, which names `option`, where the file is no table; empty rows are passed over.
    """
    lines = _text(path, option).splitlines(keepends=True)
    told = re.fullmatch(r"sep=(.)\s*", lines[0], re.IGNORECASE) if lines else None
    above = 1 if told else 0  # spreadsheets say so in a line of its own what stands between cells
    first = lines[above] if len(lines) > above else ""
    reader = csv.reader(lines[above:], delimiter=told[1] if told else max(MARKS, key=first.count))
    header = [cell.strip() for cell in next(reader, [])]
    if not any(header) or len(set(header)) < len(header):
        raise CallError(option, f"{path.name} starts with {first.strip()[:60]!r}", "a row of column names, each once")
    rows: list[Cells] = []
    for row in reader:
        if not any(cell.strip() for cell in row):
            continue
        if len(row) != len(header):
            place, got = f"{path.name}, row {reader.line_num + above}", f"got {len(row)} cells"
            raise CallError(place, got, f"{len(header)}, one a column", "a cell with a comma in it needs quotes")
        rows.append((reader.line_num + above, dict(zip(header, (cell.strip() for cell in row), strict=True))))
    return header, rows


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
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_text(text, encoding="utf-8", newline="")
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise CallError(option, f"{path} can't be written ({error.strerror})", "a folder with room in it") from None
