"""What simulated surfaces reflect."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from idkit.facts import optics
from idkit.swatches import surfaces
from idkit.swatches.surfaces import Look, cover_spectra, film, metal_spectra, normal_reflectance
from idkit.vocabulary import OpticalConstants

WAVELENGTH = np.arange(400, 701, 10.0)
COVERS = sorted(surfaces._COVERS)


def constants(n: float, k: float) -> OpticalConstants:
    return OpticalConstants("one", np.array([550.0]), np.array([n]), np.array([k]), "", "")


@pytest.mark.parametrize(
    ("n", "k", "reflectance"),
    [
        pytest.param(1.0, 0.0, 0.0, id="air on air"),
        pytest.param(1.5, 0.0, 0.04, id="glass: (0.5 / 2.5)^2"),
        pytest.param(0.0, 2.0, 1.0, id="without a real part all is thrown back"),
        pytest.param(2.0, 3.0, 10 / 18, id="(1 + 9) / (9 + 9)"),
    ],
)
def test_fresnel_at_normal_incidence_by_hand(n: float, k: float, reflectance: float) -> None:
    assert normal_reflectance(constants(n, k)) == pytest.approx([reflectance])


def test_a_blend_lies_between_its_metals() -> None:
    look = Look("alloy", "scratched", "grey-white", 1, (("copper-querry", 0.2, 0.8), ("zinc", 0.2, 0.8)))
    copper, zinc = (normal_reflectance(optics()[name]) for name in ("copper-querry", "zinc"))
    found = metal_spectra(look, optics(), 50, np.random.default_rng(1))
    assert found.shape == (50, len(copper))
    assert (found >= np.minimum(copper, zinc) - 1e-9).all()
    assert (found <= np.maximum(copper, zinc) + 1e-9).all()
    assert np.ptp(found, axis=0).max() > 0.05


def test_one_metal_is_itself() -> None:
    look = Look("copper", "scratched", "copper-red", 1, (("copper-querry", 0.0, 1.0),))
    found = metal_spectra(look, optics(), 3, np.random.default_rng(1))
    assert found == pytest.approx(np.tile(normal_reflectance(optics()["copper-querry"]), (3, 1)))


def test_a_film_takes_blue_before_red_and_more_the_thicker_it_is() -> None:
    depth = np.array([[0.0, 0.2, 0.8]])
    passed = film(WAVELENGTH, depth, (500, 580), np.random.default_rng(2))[0]
    assert passed[0] == pytest.approx(np.ones_like(WAVELENGTH))
    assert (np.diff(passed, axis=1) >= 0).all()
    for thinner, thicker in pairwise(passed):
        assert (thicker < thinner).all()
    assert passed[2, 0] == pytest.approx(np.exp(-2 * 0.8), rel=0.15)  # there and back, far below the edge


@pytest.mark.parametrize("kind", COVERS)
def test_covers_reflect_a_share_of_the_light(kind: str) -> None:
    found = cover_spectra(kind, WAVELENGTH, 400, np.random.default_rng(3))
    assert found.shape == (400, len(WAVELENGTH))
    assert (found > 0).all()
    assert (found < 1.1).all()


def between(spectra: np.ndarray, low: float, high: float) -> np.ndarray:
    return spectra[:, (low <= WAVELENGTH) & (high >= WAVELENGTH)].mean(axis=1)


def test_covers_have_the_colours_they_are_named_after() -> None:
    """Rust rises from blue to red through its edge at 550 to 600 nm; copper salts and solder mask are strongest in the
    green; bloom and scale are near grey, bloom light and scale dark."""
    spectra = {kind: cover_spectra(kind, WAVELENGTH, 400, np.random.default_rng(4)) for kind in COVERS}
    assert (between(spectra["rust"], 630, 700) > 1.5 * between(spectra["rust"], 400, 500)).all()
    assert (between(spectra["patina"], 490, 530) > between(spectra["patina"], 630, 700)).all()
    green = between(spectra["board"], 510, 550) > between(spectra["board"], 630, 700)
    assert 0.5 < green.mean() < 1
    for kind in ("bloom", "scale"):
        assert np.median(np.abs(np.log(between(spectra[kind], 600, 650) / between(spectra[kind], 420, 470)))) < 0.25
    assert np.median(spectra["bloom"]) > 3 * np.median(spectra["scale"])


def test_an_unknown_cover_has_no_spectrum() -> None:
    with pytest.raises(KeyError, match="velvet"):
        surfaces.cover_spectra("velvet", WAVELENGTH, 1, np.random.default_rng(0))
