"""Optical constants of bare metals, from published measurements."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import groupby, pairwise
from pathlib import Path
from types import MappingProxyType

import numpy as np

from idkit.facts.tables import Row, number, refuse, rows_of, text, trust
from idkit.vocabulary import Floats, OpticalConstants

COLUMNS = ("id", "wavelength_nm", "n", "k", "source", "trust")


@cache
def optics() -> Mapping[str, OpticalConstants]:
    """Every set of optics.csv by id; all run over the same wavelengths, in nm."""
    return read_optics()


def read_optics(path: Path | None = None) -> Mapping[str, OpticalConstants]:
    """The same from another file. The rows of one set stand together, wavelength rising."""
    rows = rows_of("optics.csv", COLUMNS, path)
    found: dict[str, OpticalConstants] = {}
    for name, group in groupby(rows, lambda row: text(row, "id")):
        together = tuple(group)
        if name in found:
            refuse(together[0], "id", "the rows of one set together")
        found[name] = _constants(together)
    _refuse_other_wavelengths(rows, found)
    return MappingProxyType(found)


def _constants(rows: tuple[Row, ...]) -> OpticalConstants:
    wavelength = _column(rows, "wavelength_nm", 100.0, 3000.0)
    for (_, before), (row, after) in pairwise(zip(rows, wavelength, strict=True)):
        if after <= before:
            refuse(row, "wavelength_nm", f"above {before:g}, as the row before")
    for row in rows[1:]:
        for column in ("source", "trust"):
            if row.values[column] != rows[0].values[column]:
                refuse(row, column, f"one {column} a set: {rows[0].values[column]!r}")
    n, k = _column(rows, "n", 0.001, 20.0), _column(rows, "k", 0.0, 40.0)
    return OpticalConstants(text(rows[0], "id"), wavelength, n, k, text(rows[0], "source"), trust(rows[0]))


def _column(rows: tuple[Row, ...], column: str, low: float, high: float) -> Floats:
    values = np.array([number(row, column, low, high) for row in rows], float)
    values.setflags(write=False)
    return values


def _refuse_other_wavelengths(rows: tuple[Row, ...], found: Mapping[str, OpticalConstants]) -> None:
    grid = next(iter(found.values())).wavelength if found else np.empty(0)
    for name, constants in found.items():
        if not np.array_equal(constants.wavelength, grid):
            first = next(row for row in rows if row.values["id"] == name)
            refuse(first, "wavelength_nm", "the same wavelengths for every set")
