"""A look on a traced part: metal shows the room through its own reflectance, covers scatter by their spectrum."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from idkit.facts import colours, optics
from idkit.see import cielab, luminance
from idkit.swatches import rows, shading
from idkit.swatches.fields import SIDE
from idkit.swatches.illuminants import lighting, observed
from idkit.swatches.shading import shaded
from idkit.swatches.surfaces import Look, normal_reflectance
from idkit.swatches.tracing import MEETINGS, SOURCES, Traced
from idkit.vocabulary import Floats, Image

COLOURED = ("copper-querry", "cu90-zn10", "cu85-zn15", "cu70-zn30")
GREY = ("aluminium", "chromium", "zinc", "iron")
INNER = (slice(20, -20), slice(20, -20))
WAVELENGTH = next(iter(optics().values())).wavelength


@pytest.fixture
def seen(calm, under):
    """What is seen of that look on that part, chance being calm, side x side x 3."""
    return lambda look, part, ground=0.5: shaded(look, part, under(ground), optics(), calm(1))


def median(picture: Image) -> Floats:
    return np.asarray(np.median(picture[INNER].reshape(-1, 3), axis=0), float)


def shade(rgb: Floats) -> tuple[float, float]:
    """CIELAB hue and chroma, at one luminance."""
    _, a, b = cielab(0.7 * rgb / luminance(rgb))
    return float(np.degrees(np.arctan2(b, a))), float(np.hypot(a, b))


@pytest.mark.parametrize("metal", sorted(colours()))
def test_flat_clean_metal_under_an_even_sky_is_its_fresnel_reflectance(
    seen, plane, clean, daylight: Floats, metal: str
) -> None:
    """In every channel a little less: what meets the metal more than once within its roughness. Within a tenth."""
    found = median(seen(clean(metal), plane()))
    fresnel = normal_reflectance(optics()[metal]) @ daylight
    assert (found <= fresnel * 1.005).all()
    assert (found >= fresnel * 0.9).all()


@pytest.mark.parametrize("metal", COLOURED)
def test_it_has_the_published_hue(seen, plane, clean, metal: str) -> None:
    """Within 2 degrees and 2 units of chroma of the polished metal in facts/colours.csv."""
    bare = colours()[metal]
    hue, _ = shade(median(seen(clean(metal), plane())))
    assert hue == pytest.approx(np.degrees(np.arctan2(bare.b, bare.a)), abs=2)
    found = cielab(median(seen(clean(metal), plane())))
    assert np.hypot(*found[1:]) == pytest.approx(np.hypot(bare.a, bare.b), abs=2)


@pytest.mark.parametrize("metal", GREY)
@pytest.mark.parametrize("met", range(1, MEETINGS + 1))
def test_grey_metal_is_grey_however_often_light_meets_it(seen, plane, clean, metal: str, met: int) -> None:
    assert shade(median(seen(clean(metal), plane(met))))[1] < 7


@pytest.mark.parametrize("metal", COLOURED)
def test_light_that_meets_metal_again_has_its_colour_to_that_power(
    seen, plane, clean, daylight: Floats, metal: str
) -> None:
    """Reflectance at every wavelength to the power of the meetings: stronger, darker, the hue about the same."""
    found = [median(seen(clean(metal), plane(met))) for met in (1, 2, 3)]
    for power, rgb in enumerate(found, start=1):
        spectral = normal_reflectance(optics()[metal]) ** power @ daylight
        assert rgb == pytest.approx(spectral, rel=0.15, abs=0.02)
    for (_, before), (_, after) in pairwise(shade(rgb) for rgb in found):
        assert after > before + 1
    assert luminance(found[2]) < luminance(found[1]) < luminance(found[0])
    assert shade(found[2])[0] == pytest.approx(shade(found[0])[0], abs=15)


def test_in_pits_tarnish_and_meetings_deepen_the_colour(seen, plane, clean) -> None:
    open_, pitted = (median(seen(clean("cu70-zn30"), plane(hollow=hollow))) for hollow in (0.0, 1.0))
    assert shade(pitted)[1] > shade(open_)[1]


def test_a_film_takes_blue_first(seen, plane, clean) -> None:
    """The linear red of sRGB may gain a little, for it counts blue-green light against red."""
    plain, filmed = (median(seen(clean("cu70-zn30", film=(depth, depth)), plane())) for depth in (0.0, 0.5))
    kept = filmed / plain
    assert kept[2] < kept[1] < kept[0] < 1.1
    assert luminance(filmed) < luminance(plain)
    assert kept[2] < 0.6
    assert shade(filmed)[1] > shade(plain)[1] + 5


def test_haze_pales(seen, plane, clean) -> None:
    plain, hazy = (median(seen(clean("cu70-zn30", gloss=(gloss, gloss)), plane())) for gloss in (0.0, 0.8))
    assert shade(hazy)[1] < shade(plain)[1] - 5


# Covers ---------------------------------------------------------------------------------------------------------------


def covered(cover: str) -> Look:
    return Look("one", "as-found", "not-metal", 1, cover=cover, covered=(1.0, 1.0))


def given(monkeypatch: pytest.MonkeyPatch, spectrum: Floats) -> None:
    """Whatever the cover, that spectrum."""
    monkeypatch.setattr(shading, "cover_spectra", lambda kind, wavelength, count, random: np.tile(spectrum, (count, 1)))


def ramps() -> list[Floats]:
    """Level, rising and falling spectra."""
    wavelength = next(iter(optics().values())).wavelength
    return [0.4 * np.exp(slope * (wavelength - 550) / 150) for slope in (0.0, 0.5, -0.5)]


@pytest.mark.parametrize("cover", ["paint", "print", "rust", "bloom", "scale", "fibre", "paper", "board"])
@pytest.mark.parametrize("spectrum", ramps(), ids=["level", "rising", "falling"])
def test_a_cover_in_a_constant_room_has_the_colour_of_its_spectrum(
    seen, plane, daylight: Floats, monkeypatch: pytest.MonkeyPatch, cover: str, spectrum: Floats
) -> None:
    """But for its neutral gloss, under 5 hundredths, and for its own unevenness."""
    given(monkeypatch, spectrum)
    assert median(seen(covered(cover), plane())) == pytest.approx(spectrum @ daylight, abs=0.05)


def test_a_cover_hides_the_metal_by_its_share(
    seen, plane, clean, daylight: Floats, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Copper under white bloom, none of it, and all of it."""
    given(monkeypatch, ramps()[0])
    bare, none, whole = (
        median(seen(look, plane()))
        for look in (
            clean("copper-querry"),
            clean("copper-querry", cover="bloom", covered=(0.0, 0.0)),
            clean("copper-querry", cover="bloom", covered=(1.0, 1.0)),
        )
    )
    assert none == pytest.approx(bare, abs=0.05)
    assert whole == pytest.approx(ramps()[0] @ daylight, abs=0.05)


@pytest.mark.parametrize("spectrum", ramps(), ids=["level", "rising", "falling"])
def test_clear_ink_colours_what_the_metal_mirrors(
    seen, plane, clean, daylight: Floats, monkeypatch: pytest.MonkeyPatch, spectrum: Floats
) -> None:
    """Channel by channel what the bare metal shows times the ink's transmission, but for the gloss of lacquer."""
    given(monkeypatch, spectrum)
    bare, inked = (
        median(seen(look, plane()))
        for look in (clean("aluminium"), clean("aluminium", cover="ink", covered=(1.0, 1.0)))
    )
    assert inked == pytest.approx(bare * (spectrum @ daylight), abs=0.05)


def test_clear_plastic_shows_the_ground(seen, plane, monkeypatch: pytest.MonkeyPatch) -> None:
    """Through a sheet that takes nothing: the ground, and the few hundredths that its face mirrors."""
    given(monkeypatch, np.ones_like(ramps()[0]))
    for ground in (0.1, 0.5):
        found = median(seen(covered("clear"), plane(), ground))
        mirrored = shading.DIELECTRIC * 1.0
        assert found == pytest.approx(ground * (1 - mirrored) + mirrored, abs=0.02)


def test_the_ground_beside_has_its_own_colour(seen, plane, clean) -> None:
    assert seen(clean("zinc"), plane(), 0.3)[2, 2] == pytest.approx(np.full(3, 0.3), abs=1e-5)


# Whatever chance brings -----------------------------------------------------------------------------------------------

LOOKS = rows.looks()


def by_chance(seed: int) -> Traced:
    """A part of nothing but chance, as bright as parts are."""
    random = np.random.default_rng(seed)
    mirror = random.gamma(1.0, 0.3, (len(SOURCES), MEETINGS, SIDE, SIDE)).astype(np.float32)
    matt = random.uniform(0, 1.5, (len(SOURCES), SIDE, SIDE)).astype(np.float32)
    cover, cosine, hollow = random.uniform([[[0]], [[0.05]], [[0]]], 1, (3, SIDE, SIDE)).astype(np.float32)
    return Traced(mirror, matt, cover, np.zeros((3, *cover.shape), np.float32), cosine, hollow, 0.2)


@pytest.fixture(scope="session")
def illuminants() -> Floats:
    pytest.importorskip("colour")
    return observed(next(iter(optics().values())).wavelength)


@pytest.mark.parametrize("look", LOOKS, ids=[f"{n}-{look.material}" for n, look in enumerate(LOOKS)])
def test_every_look_can_be_shaded(look: Look, illuminants: Floats) -> None:
    random = np.random.default_rng(11)
    picture = shaded(look, by_chance(1), lighting(illuminants, WAVELENGTH, random), optics(), random)
    assert picture.shape == (SIDE, SIDE, 3)
    assert np.isfinite(picture).all()
    assert (picture >= 0).all()


def test_the_same_seed_gives_the_same_picture(clean, illuminants: Floats) -> None:
    def once(seed: int) -> Image:
        random = np.random.default_rng(seed)
        return shaded(clean("zinc"), by_chance(1), lighting(illuminants, WAVELENGTH, random), optics(), random)

    assert np.array_equal(once(1), once(1))
    assert not np.array_equal(once(1), once(2))


# Lighting -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(40))
def test_white_paper_is_white_under_whatever_a_phone_balances(illuminants: Floats, seed: int) -> None:
    """One light or two at once: on open ground all sources together give 1, but for the tint of walls."""
    under = lighting(illuminants, WAVELENGTH, np.random.default_rng(seed))
    assert under.kinds.sum(axis=1) == pytest.approx(np.ones((len(under.kinds), 3)))
    assert under.total[:-1].sum(axis=0) == pytest.approx(np.ones(3), abs=0.25)
    assert (under.amounts >= 0).all()
    assert (under.ground > 0).all()
    assert under.total[-1] == pytest.approx(under.ground)


def test_two_lights_at_once_differ_in_colour(illuminants: Floats) -> None:
    found = [lighting(illuminants, WAVELENGTH, np.random.default_rng(seed)) for seed in range(60)]
    two = [under for under in found if len(under.kinds) == 2]
    assert 5 < len(two) < 30
    apart = [np.abs(np.log(under.total[0] / under.total[1]) @ [1, -1, 0]).max() for under in two]
    assert max(apart) > 0.3


@pytest.mark.parametrize("seed", range(20))
def test_worn_metal_scatters_what_it_no_longer_mirrors(plane, seed: int) -> None:
    """Under an even sky a mirror and a white wall are alike, so wear neither makes light nor loses any of the first
    meeting; polished metal, whose look has no haze, mirrors all of it."""
    part = plane()
    look = next(look for look in rows.looks() if look.material == "copper" and look.surface == "as-found")
    worn = shading._met(look, part, np.random.default_rng(seed))
    mirrored = part.mirror[:, 0]
    low, high = np.minimum(mirrored, part.matt), np.maximum(mirrored, part.matt)
    assert ((worn[0] >= low - 1e-6) & (worn[0] <= high + 1e-6)).all()
    assert all((again <= part.mirror[:, number] + 1e-6).all() for number, again in enumerate(worn[1:], start=1))
    polished = shading._met(replace(look, gloss=(0.0, 0.0)), part, np.random.default_rng(seed))
    assert np.array_equal(polished[0], mirrored)
