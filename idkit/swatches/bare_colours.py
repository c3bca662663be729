"""The table of bare colours: what CIELAB makes of each set of optical constants, by colour-science."""

from __future__ import annotations

import csv
from io import StringIO
from pathlib import Path

import numpy as np

from idkit.swatches.surfaces import Optics, normal_reflectance

COLUMNS = ("id", "lightness", "a", "b", "source", "trust")
HOW = "computed from optics.csv: normal incidence, CIE 1931 2 degrees, D65, colour-science"


def rows(optics: Optics) -> list[dict[str, str]]:
    """One row a set of constants: L*, a*, b* of a polished surface against a perfect white."""
    import colour

    found = []
    for name, constants in optics.items():
        spectrum = colour.SpectralDistribution(
            dict(zip(constants.wavelength, normal_reflectance(constants), strict=True))
        )
        tristimulus = colour.sd_to_XYZ(
            spectrum.align(colour.SPECTRAL_SHAPE_DEFAULT),
            colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"],
            colour.SDS_ILLUMINANTS["D65"].copy().align(colour.SPECTRAL_SHAPE_DEFAULT),
        )
        white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
        lightness, a, b = np.round(colour.XYZ_to_Lab(tristimulus / 100, white), 2).tolist()
        values = (name, f"{lightness:g}", f"{a:g}", f"{b:g}", HOW, "D")
        found.append(dict(zip(COLUMNS, values, strict=True)))
    return found


def write(path: Path, optics: Optics) -> None:
    """Write the table, its title and the meaning of its columns on top."""
    out = StringIO()
    out.write(
        "# Colours of bare polished metals, CIELAB against a perfect white, by python -m idkit.swatches constants.\n"
    )
    out.write("# id: the set of optics.csv it is computed from. trust: D, computed from other rows.\n")
    table = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    table.writeheader()
    table.writerows(rows(optics))
    path.write_text(out.getvalue(), encoding="utf-8")
