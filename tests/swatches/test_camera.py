"""Simulated parts as a phone sees them: what is known of simple ones must come back."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from idkit.facts import optics
from idkit.see import luminance
from idkit.see.cielab import cielab
from idkit.swatches import camera, rows
from idkit.swatches.camera import FACETS, photograph
from idkit.swatches.surfaces import Look, normal_reflectance
from idkit.vocabulary import Floats

COUNT = 200
METALS = ("copper-querry", "cu90-zn10", "cu85-zn15", "cu70-zn30")


@pytest.fixture(scope="module")
def daylight() -> Floats:
    pytest.importorskip("colour")
    return rows.lights(next(iter(optics().values())).wavelength)[:1]


@pytest.fixture
def flat(monkeypatch: pytest.MonkeyPatch) -> Callable[[float], None]:
    """Every facet mirrors light that number of times, none sees a hollow."""

    def bounce(times: float) -> None:
        monkeypatch.setattr(camera, "_bounces", lambda count, random: np.full((count, FACETS), times))

    return bounce


def clean(metal: str, **others: object) -> Look:
    """Bare metal without film, cover or haze."""
    plain = {"film": (0.0, 0.0), "gloss": (0.0, 0.0)}
    return Look("one", "scratched", "grey-white", 1, ((metal, 1, 1),), **{**plain, **others})


def seen(look: Look, lights: Floats, number: int = 1) -> Floats:
    """The middle facet of each part, brought to one luminance, as CIELAB."""
    colours = np.median(photograph(look, optics(), lights, COUNT, np.random.default_rng(number)), axis=1)
    return cielab(0.7 * colours / luminance(colours)[:, None])


def hue_and_chroma(lab: Floats) -> tuple[float, float]:
    a, b = np.median(lab.reshape(-1, 3), axis=0)[1:]
    return float(np.degrees(np.arctan2(b, a))), float(np.hypot(a, b))


@pytest.mark.parametrize("metal", METALS)
def test_flat_clean_metal_has_the_hue_of_its_constants(metal: str, flat, daylight: Floats) -> None:
    """Within 8 degrees: the phone's saturation and curve bend hues a little."""
    flat(1.0)
    base = normal_reflectance(optics()[metal]) @ daylight[0]
    wanted, _ = hue_and_chroma(cielab(0.7 * base / luminance(base)))
    assert hue_and_chroma(seen(clean(metal), daylight))[0] == pytest.approx(wanted, abs=8)


@pytest.mark.parametrize("metal", METALS)
def test_each_bounce_makes_colour_stronger(metal: str, flat, daylight: Floats) -> None:
    chroma = []
    for times in (1.0, 1.5, 2.0, 3.0):
        flat(times)
        chroma.append(hue_and_chroma(seen(clean(metal), daylight))[1])
    assert (np.diff(chroma) > 2).all()


@pytest.mark.parametrize("metal", ["aluminium", "chromium", "zinc"])
def test_grey_metal_stays_grey(metal: str, flat, daylight: Floats) -> None:
    flat(1.0)
    assert hue_and_chroma(seen(clean(metal), daylight))[1] < 3


def test_film_deepens_and_haze_pales(flat, daylight: Floats) -> None:
    flat(1.0)
    plain, filmed, hazy = (
        hue_and_chroma(seen(clean("cu70-zn30", **others), daylight))[1]
        for others in ({}, {"film": (0.5, 0.5)}, {"gloss": (0.8, 0.8)})
    )
    assert filmed > plain + 5
    assert hazy < plain - 5


def test_a_cover_hides_the_metal(flat, daylight: Floats) -> None:
    """Copper under rust is rust, under nothing copper: share 1 and share 0 of the cover."""
    flat(1.0)
    hidden = seen(clean("copper-querry", cover="bloom", covered=(1.0, 1.0)), daylight)
    shown = seen(clean("copper-querry", cover="bloom", covered=(0.0, 0.0)), daylight)
    assert hue_and_chroma(hidden)[1] < 8
    assert hue_and_chroma(shown)[1] == pytest.approx(hue_and_chroma(seen(clean("copper-querry"), daylight))[1], abs=2)


def test_pictures_are_8_bit_light_of_the_size_promised(daylight: Floats) -> None:
    found = photograph(clean("zinc"), optics(), daylight, 5, np.random.default_rng(1))
    assert found.shape == (5, FACETS, 3)
    assert (found >= 0).all()
    assert (found <= 1).all()
    codes = 255 * found ** (1 / 2.2)
    assert codes == pytest.approx(np.round(codes), abs=1e-6)


def test_the_same_number_gives_the_same_parts(daylight: Floats) -> None:
    one, again, other = (seen(clean("cu70-zn30"), daylight, number) for number in (1, 1, 2))
    assert np.array_equal(one, again)
    assert not np.array_equal(one, other)
