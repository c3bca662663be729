"""Tables as spreadsheets open them: what stands between cells, how amounts are written, no formulas."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import IO

from idkit import flows

MARKS: Mapping[str, str] = MappingProxyType({"comma": ",", "semicolon": ";"})
LESS = re.compile(r"\s*([\d.,]+)\s*[-–−]\s*([\d.,]+)\s*")  # one weight less another


def write(file: IO[str], rows: Iterable[Iterable[str]], between: str) -> None:
    """Rows into a table, every cell guarded."""
    table = csv.writer(file, delimiter=between)
    for row in rows:
        table.writerow([flows.guarded(cell) for cell in row])


def decimal(number: str, between: str) -> str:
    """A decimal number as it is written where that stands between cells.

    >>> decimal("1.25", ";"), decimal("1.25", ",")
    ('1,25', '1.25')
    """
    return number.replace(".", ",") if between == ";" else number


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
