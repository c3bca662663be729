"""A table with one field spoiled, to see the reader refuse it."""

from __future__ import annotations

import csv
from collections.abc import Callable
from importlib.resources import files
from io import StringIO
from pathlib import Path

import pytest

Spoil = Callable[[str, str, str, str], tuple[Path, int]]


@pytest.fixture
def spoil(tmp_path: Path) -> Spoil:
    """Write a table of the package with one field of the row of that id changed; gives the file and the row's line."""

    def write(table: str, id: str, column: str, value: str) -> tuple[Path, int]:
        lines = (files("idkit.facts") / table).read_text(encoding="utf-8").splitlines()
        header = next(number for number, line in enumerate(lines) if not line.startswith("#"))
        names = next(csv.reader([lines[header]]))
        place = next(n for n, line in enumerate(lines) if n > header and line.split(",", 1)[0] == id)
        fields = next(csv.reader([lines[place]]))
        fields[names.index(column)] = value
        out = StringIO()
        csv.writer(out, lineterminator="").writerow(fields)
        lines[place] = out.getvalue()
        path = tmp_path / table
        path.write_text("\n".join(lines), encoding="utf-8")
        return path, place + 1

    return write
