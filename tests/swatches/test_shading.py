"""A look on a shape in a room: metal shows the room through its own reflectance, covers scatter by their spectrum."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from idkit.facts import colours, optics
from idkit.see import cielab, luminance
from idkit.swatches import rows, shading
from idkit.swatches.bodies import body
from idkit.swatches.fields import SIDE
from idkit.swatches.shading import shaded
from idkit.swatches.surfaces import Look, normal_reflectance
from idkit.swatches.surroundings import surroundings
from idkit.vocabulary import Floats, Image

COLOURED = ("copper-querry", "cu90-zn10", "cu85-zn15", "cu70-zn30")
GREY = ("aluminium", "chromium", "zinc", "iron")
INNER = (slice(20, -20), slice(20, -20))


@pytest.fixture
def seen(calm, daylight: Floats):
    """What is seen of that look on that shape in that room, chance being calm, side x side x 3."""
    return lambda look, shape, around: shaded(look, shape, around, optics(), daylight, calm(1))


def median(picture: Image) -> Floats:
    return np.asarray(np.median(picture[INNER].reshape(-1, 3), axis=0), float)


def shade(rgb: Floats) -> tuple[float, float]:
    """CIELAB hue and chroma, at one luminance."""
    _, a, b = cielab(0.7 * rgb / luminance(rgb))
    return float(np.degrees(np.arctan2(b, a))), float(np.hypot(a, b))


@pytest.mark.parametrize("metal", sorted(colours()))
def test_flat_clean_metal_in_a_constant_room_is_its_fresnel_reflectance(
    seen, room, plane, clean, daylight: Floats, metal: str
) -> None:
    """In every channel a little less: the light that roughness scatters and that bounces twice. Within a tenth."""
    found = median(seen(clean(metal), plane(), room()))
    fresnel = normal_reflectance(optics()[metal]) @ daylight
    assert (found <= fresnel * 1.005).all()
    assert (found >= fresnel * 0.9).all()


@pytest.mark.parametrize("metal", COLOURED)
def test_it_has_the_published_hue(seen, room, plane, clean, metal: str) -> None:
    """Within 2 degrees and 2 units of chroma of the polished metal in facts/colours.csv."""
    bare = colours()[metal]
    hue, _ = shade(median(seen(clean(metal), plane(), room())))
    assert hue == pytest.approx(np.degrees(np.arctan2(bare.b, bare.a)), abs=2)
    found = cielab(median(seen(clean(metal), plane(), room())))
    assert np.hypot(*found[1:]) == pytest.approx(np.hypot(bare.a, bare.b), abs=2)


@pytest.mark.parametrize("metal", GREY)
def test_grey_metal_is_grey_and_stays_so_in_hollows(seen, room, plane, clean, metal: str) -> None:
    for hollow in (0.0, 0.5, 1.0):
        assert shade(median(seen(clean(metal), plane(hollow=hollow), room())))[1] < 5


@pytest.mark.parametrize("metal", COLOURED)
def test_in_hollows_light_bounces_and_colour_deepens(seen, room, plane, clean, metal: str) -> None:
    """Reflectance is raised to the number of bounces: stronger, darker, the hue about the same."""
    found = [median(seen(clean(metal), plane(hollow=hollow), room())) for hollow in (0.0, 0.4, 0.8)]
    for (_, before), (_, after) in pairwise(shade(rgb) for rgb in found):
        assert after > before + 1
    assert luminance(found[2]) < luminance(found[1]) < luminance(found[0])
    assert shade(found[2])[0] == pytest.approx(shade(found[0])[0], abs=12)


def test_a_film_takes_blue_first(seen, room, plane, clean) -> None:
    """The linear red of sRGB may gain a little, for it counts blue-green light against red."""
    plain, filmed = (median(seen(clean("cu70-zn30", film=(depth, depth)), plane(), room())) for depth in (0.0, 0.5))
    kept = filmed / plain
    assert kept[2] < kept[1] < kept[0] < 1.1
    assert luminance(filmed) < luminance(plain)
    assert kept[2] < 0.6
    assert shade(filmed)[1] > shade(plain)[1] + 5


def test_haze_pales(seen, room, plane, clean) -> None:
    plain, hazy = (median(seen(clean("cu70-zn30", gloss=(gloss, gloss)), plane(), room())) for gloss in (0.0, 0.8))
    assert shade(hazy)[1] < shade(plain)[1] - 5


def test_metal_mirrors_what_lies_where_it_looks(seen, room, plane, clean, off_vertical) -> None:
    """A lamp 40 degrees off the vertical is seen in a plane tilted by 20, not in a flat one, nor the other way."""
    lit = room(off_vertical(40), sharpness=200, power=20, ambient=0.2)
    bright, flat, away = (luminance(median(seen(clean("zinc"), plane(tilt), lit))) for tilt in (20, 0, -20))
    assert bright > 10 * flat
    assert away == pytest.approx(flat, rel=0.1)
    overhead = room(sharpness=200, power=20, ambient=0.2)
    assert luminance(median(seen(clean("zinc"), plane(), overhead))) > 10 * flat


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
    seen, room, plane, daylight: Floats, monkeypatch: pytest.MonkeyPatch, cover: str, spectrum: Floats
) -> None:
    """But for its neutral gloss, under 5 hundredths, and for its own unevenness."""
    given(monkeypatch, spectrum)
    assert median(seen(covered(cover), plane(), room())) == pytest.approx(spectrum @ daylight, abs=0.05)


def test_a_cover_hides_the_metal_by_its_share(
    seen, room, plane, clean, daylight: Floats, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Copper under white bloom, none of it, and all of it."""
    given(monkeypatch, ramps()[0])
    bare, none, whole = (
        median(seen(look, plane(), room()))
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
    seen, room, plane, clean, daylight: Floats, monkeypatch: pytest.MonkeyPatch, spectrum: Floats
) -> None:
    """Channel by channel what the bare metal shows times the ink's transmission, but for the gloss of lacquer."""
    given(monkeypatch, spectrum)
    bare, inked = (
        median(seen(look, plane(), room()))
        for look in (clean("aluminium"), clean("aluminium", cover="ink", covered=(1.0, 1.0)))
    )
    assert inked == pytest.approx(bare * (spectrum @ daylight), abs=0.05)


def test_clear_plastic_shows_the_ground(seen, room, plane, monkeypatch: pytest.MonkeyPatch) -> None:
    """Through a sheet that takes nothing: the ground, and the few hundredths that its face mirrors."""
    given(monkeypatch, np.ones_like(ramps()[0]))
    for ground in (0.1, 0.5):
        found = median(seen(covered("clear"), plane(), room(ground=ground)))
        mirrored = shading.DIELECTRIC * 1.0
        assert found == pytest.approx(ground * (1 - mirrored) + mirrored, abs=0.02)


# Whatever chance brings -----------------------------------------------------------------------------------------------

LOOKS = rows.looks()


@pytest.mark.parametrize("look", LOOKS, ids=[f"{n}-{look.material}" for n, look in enumerate(LOOKS)])
def test_every_look_can_be_shaded(look: Look, daylight: Floats) -> None:
    random = np.random.default_rng(11)
    around = surroundings(np.array([0.5, 0.5, 0.5]), random)
    picture = shaded(look, body(look.made, random), around, optics(), daylight, random)
    assert picture.shape == (SIDE, SIDE, 3)
    assert np.isfinite(picture).all()
    assert (picture >= 0).all()


def test_the_same_seed_gives_the_same_picture(clean, daylight: Floats) -> None:
    def once(seed: int) -> Image:
        random = np.random.default_rng(seed)
        around = surroundings(np.ones(3) / 2, random)
        return shaded(clean("zinc"), body("cast", random), around, optics(), daylight, random)

    assert np.array_equal(once(1), once(1))
    assert not np.array_equal(once(1), once(2))
