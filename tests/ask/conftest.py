"""A few materials to ask about, so that these tests don't move when the tables grow."""

from __future__ import annotations

from collections.abc import Mapping
from math import nan

import pytest

from idkit.vocabulary import Material

NON_MAGNETIC = {"none": 0.98, "weak": 0.015, "strong": 0.005}
MAGNETIC = {"none": 0.005, "weak": 0.015, "strong": 0.98}
EITHER = {"none": 0.6, "weak": 0.3, "strong": 0.1}


def material(
    name: str, family: str, density: tuple[float, float, float], magnet: Mapping[str, float], skin: str = ""
) -> Material:
    """A material with the physical range of the materials table, 0.5 to 10 mm thick."""
    thickness = (nan, nan) if name == "something-else" else (0.0005, 0.01)
    return Material(
        name, name, family, skin, *density, magnet, *thickness, "", "", (), (), (), source="tests", trust="D"
    )


# Densities: low, typical and high of materials.csv, kg/m³.
KNOWN = (
    material("carbon-steel", "grey-white", (7800.0, 7850.0, 7870.0), MAGNETIC),
    material("cast-iron", "dark-granular", (6950.0, 7200.0, 7500.0), MAGNETIC),
    material("galvanised-steel", "grey-white", (7750.0, 7850.0, 7870.0), MAGNETIC, "zinc"),
    material("stainless-austenitic", "grey-white", (7900.0, 7950.0, 8030.0), EITHER),
    material("copper", "copper-red", (8890.0, 8930.0, 8960.0), NON_MAGNETIC),
    material("tinned-copper", "copper-red", (8880.0, 8930.0, 8960.0), NON_MAGNETIC, "tin"),
    material("aluminium-winding", "grey-white", (2690.0, 2700.0, 2710.0), NON_MAGNETIC, "enamel"),
    material("red-brass", "orange-gold", (8700.0, 8830.0, 8850.0), NON_MAGNETIC),
    material("yellow-brass", "brass-yellow", (8400.0, 8470.0, 8560.0), NON_MAGNETIC),
    material("chromed-brass", "brass-yellow", (8350.0, 8450.0, 8560.0), NON_MAGNETIC, "chrome"),
    material("chromed-zinc", "grey-white", (6250.0, 6600.0, 6700.0), NON_MAGNETIC, "chrome"),
    material("zinc-die-cast", "grey-white", (6250.0, 6600.0, 6700.0), NON_MAGNETIC),
    material("aluminium-cast", "grey-white", (2630.0, 2710.0, 2780.0), NON_MAGNETIC),
    material("magnesium-cast", "grey-white", (1790.0, 1810.0, 1830.0), NON_MAGNETIC),
    material("lead", "grey-white", (10900.0, 11340.0, 11350.0), NON_MAGNETIC),
    material("plastic", "not-metal", (900.0, 1050.0, 1450.0), NON_MAGNETIC),
    material("something-else", "not-metal", (900.0, 5000.0, 19000.0), {"none": 0.5, "weak": 0.2, "strong": 0.3}),
)


@pytest.fixture(scope="session")
def known() -> Mapping[str, Material]:
    """Materials by id."""
    return {one.id: one for one in KNOWN}
