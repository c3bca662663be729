"""Published tables as files beside the tests: title, place and the meaning of the columns on top of each."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

Table = list[dict[str, float]]


@pytest.fixture
def published() -> Callable[[str], Table]:
    """Rows of a table of this folder by column name, as numbers."""

    def read(name: str) -> Table:
        lines = (Path(__file__).parent / name).read_text(encoding="utf-8").splitlines()
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        return [{column: float(value) for column, value in row.items()} for row in rows]

    return read
