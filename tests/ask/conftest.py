"""A few materials to ask about, so that these tests don't move when the tables grow."""

from __future__ import annotations

from collections.abc import Mapping
from math import nan
from typing import Any

import pytest

from idkit.vocabulary import Material

NON_MAGNETIC = {"none": 0.98, "weak": 0.015, "strong": 0.005}
MAGNETIC = {"none": 0.005, "weak": 0.015, "strong": 0.98}
EITHER = {"none": 0.6, "weak": 0.3, "strong": 0.1}


BENCH: Mapping[str, Mapping[str, Any]] = {
    "steel": {
        "hardness": (90.0, 200.0),
        "iacs": (10.0, 13.0),
        "filings": "curls",
        "spark": "long-white",
        "rings": 0.75,
    },
    "iron": {"hardness": (160.0, 300.0), "iacs": (2.0, 8.0), "filings": "powder", "spark": "short-red", "rings": 0.35},
    "stainless": {"hardness": (140.0, 200.0), "iacs": (2.3, 2.5), "filings": "curls", "spark": "few", "rings": 0.8},
    "copper": {"hardness": (40.0, 110.0), "iacs": (85.0, 101.5), "filings": "clogs"},
    "winding": {"hardness": (20.0, 40.0), "iacs": (60.0, 62.0), "filings": "clogs", "insulates": 0.95},
    "red": {"hardness": (55.0, 75.0), "iacs": (15.0, 37.0), "filings": "chips", "rings": 0.7},
    "brass": {"hardness": (95.0, 150.0), "iacs": (26.0, 28.0), "filings": "chips", "rings": 0.75},
    "zinc": {"hardness": (80.0, 105.0), "iacs": (26.0, 28.0), "filings": "chips", "rings": 0.3},
    "aluminium": {"hardness": (65.0, 85.0), "iacs": (23.0, 43.0), "filings": "grains"},
    "magnesium": {"hardness": (60.0, 80.0), "iacs": (10.0, 12.0), "filings": "chips", "rings": 0.3},
    "lead": {"hardness": (4.0, 12.0), "iacs": (7.0, 8.0), "filings": "clogs", "dulls": 0.92, "rings": 0.04},
    "plastic": {"yields_to": "knife", "filings": "shreds", "rings": 0.05, "insulates": 0.97},
    "anything": {"iacs": (0.0, 100.0), "spark": "", "core": ""},
}
"""What a bench finds: ranges of materials.csv by kind of core; hardness in HB, iacs in %."""


def material(
    name: str,
    family: str,
    density: tuple[float, float, float],
    magnet: Mapping[str, float],
    skin: str = "",
    core: str = "steel",
) -> Material:
    """A material with the physical range of the materials table, 0.5 to 10 mm thick."""
    thickness = (nan, nan) if name == "something-else" else (0.0005, 0.01)
    bench = BENCH[core]
    soft, hard = bench.get("hardness", (nan, nan))
    poor, good = bench.get("iacs", (0.0, 0.0))
    return Material(
        name, name, family, skin, *density, magnet, *thickness, "", "", (), (), (), source="tests", trust="D",
        core=bench.get("core", family), hardness_low=soft, hardness_high=hard, yields_to=bench.get("yields_to", ""),
        iacs_low=poor, iacs_high=good, filings=bench.get("filings", ""), spark=bench.get("spark", "none"),
        dulls=bench.get("dulls", 0.02), rings=bench.get("rings", 0.45), insulates=bench.get("insulates", 0.05),
        bench_source="tests", bench_trust="D",
    )  # fmt: skip


# Densities: low, typical and high of materials.csv, kg/m³.
KNOWN = (
    material("carbon-steel", "grey-white", (7800.0, 7850.0, 7870.0), MAGNETIC, core="steel"),
    material("cast-iron", "dark-granular", (6950.0, 7200.0, 7500.0), MAGNETIC, core="iron"),
    material("galvanised-steel", "grey-white", (7750.0, 7850.0, 7870.0), MAGNETIC, "zinc", core="steel"),
    material("stainless-austenitic", "grey-white", (7900.0, 7950.0, 8030.0), EITHER, core="stainless"),
    material("copper", "copper-red", (8890.0, 8930.0, 8960.0), NON_MAGNETIC, core="copper"),
    material("tinned-copper", "copper-red", (8880.0, 8930.0, 8960.0), NON_MAGNETIC, "tin", core="copper"),
    material("aluminium-winding", "grey-white", (2690.0, 2700.0, 2710.0), NON_MAGNETIC, "enamel", core="winding"),
    material("red-brass", "orange-gold", (8700.0, 8830.0, 8850.0), NON_MAGNETIC, core="red"),
    material("yellow-brass", "brass-yellow", (8400.0, 8470.0, 8560.0), NON_MAGNETIC, core="brass"),
    material("chromed-brass", "brass-yellow", (8350.0, 8450.0, 8560.0), NON_MAGNETIC, "chrome", core="brass"),
    material("chromed-zinc", "grey-white", (6250.0, 6600.0, 6700.0), NON_MAGNETIC, "chrome", core="zinc"),
    material("zinc-die-cast", "grey-white", (6250.0, 6600.0, 6700.0), NON_MAGNETIC, core="zinc"),
    material("aluminium-cast", "grey-white", (2630.0, 2710.0, 2780.0), NON_MAGNETIC, core="aluminium"),
    material("magnesium-cast", "grey-white", (1790.0, 1810.0, 1830.0), NON_MAGNETIC, core="magnesium"),
    material("lead", "grey-white", (10900.0, 11340.0, 11350.0), NON_MAGNETIC, core="lead"),
    material("plastic", "not-metal", (900.0, 1050.0, 1450.0), NON_MAGNETIC, core="plastic"),
    material(
        "something-else",
        "not-metal",
        (900.0, 5000.0, 19000.0),
        {"none": 0.5, "weak": 0.2, "strong": 0.3},
        core="anything",
    ),
)


@pytest.fixture(scope="session")
def known() -> Mapping[str, Material]:
    """Materials by id."""
    return {one.id: one for one in KNOWN}
