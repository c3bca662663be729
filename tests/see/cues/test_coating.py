"""Cues of coatings on painted surfaces: print, relief, mirrors, glints, grooves, paint of every colour."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from idkit.see.cues import coating, colour
from idkit.see.light import luminance
from idkit.see.patch import CLIPPED
from idkit.vocabulary import Cue, Patch, White

SIDE = 256  # of the painted part: four of its pixels are one of those that the cues are measured on
Y, X = np.mgrid[:SIDE, :SIDE]
CAST = (0.12, -0.2)  # a warm lamp
GREY, COPPER, BRASS = (60, 0, 0), (60, 15, 20), (70, -2, 40)
BLUE, GREEN, RED, PURPLE = (45, 5, -40), (55, -40, 10), (45, 60, 28), (40, 35, -25)


def rms(values: np.ndarray) -> float:
    return float(np.sqrt(np.mean(values**2)))


def chequers(side: int) -> np.ndarray:
    """A board whose squares have that side, in painted pixels; True where dark."""
    return (X // side + Y // side) % 2 == 1


def painted(where: np.ndarray, one: np.ndarray, other: np.ndarray) -> np.ndarray:
    return np.where(where[..., None], np.asarray(one, float), np.asarray(other, float))


def grey(level: np.ndarray | float) -> np.ndarray:
    return np.asarray(level * np.ones((SIDE, SIDE)))[..., None] * np.ones(3)


def at_steps(size: float, side: int) -> float:
    """Root mean square where neighbours differ by `size` at each edge of squares of that side, one step in side / 4;
    the outermost row and column are left out, as the cues do."""
    cells = np.arange(1, 63) // (side // 4)
    return size * float(np.sqrt(np.mean(np.diff(cells) != 0)))


def relief() -> np.ndarray:
    """Noise of light, in blotches, that runs through every scale the cues see."""
    fine = np.random.default_rng(21).normal(0, 1, (SIDE, SIDE))
    return grey(0.25 * np.exp(2.0 * cv2.GaussianBlur(fine, (0, 0), 6) * 6))


def stepped(high: float, low: float, middle: float) -> float:
    """Step of ln luminance with what is added to a part whose median luminance is `middle`."""
    return float(np.log((high + coating.DIM * middle) / (low + coating.DIM * middle)))


def leaning(light: np.ndarray, cast: tuple[float, float] = CAST) -> np.ndarray:
    return light * np.exp([cast[0], 0.0, cast[1]])


# Edges of light and of colour -----------------------------------------------------------------------------------------


def test_a_print_of_equal_lightness_has_edges_of_colour_alone(surface, lab_light) -> None:
    """Two inks of one luminance, red and green: the step of ln ratios is theirs, DIM added."""
    red, green = (np.asarray(lab_light(lab)) for lab in ((55, 35, 20), (55, -35, 20)))
    logs = np.log(np.stack([red, green]) + coating.DIM * luminance(red[None])[0])  # both inks have the median's light
    apart = np.linalg.norm(np.diff(logs[:, [0, 2]] - logs[:, [1]], axis=0))
    patch = surface(painted(chequers(16), red, green))
    assert coating.colour_edges(patch).value == pytest.approx(at_steps(apart, 16), rel=0.03)
    assert coating.colour_edges(patch).value > 0.3
    assert coating.light_edges(patch).value < 0.01


def test_grey_relief_has_edges_of_light_alone(surface) -> None:
    light = painted(chequers(16), np.full(3, 0.4), np.full(3, 0.2))
    apart = stepped(0.4, 0.2, middle=0.3)  # half of each: the median lies between
    assert coating.light_edges(surface(light)).value == pytest.approx(at_steps(apart, 16), rel=0.03)
    assert coating.colour_edges(surface(light)).value < 0.01


def test_finer_squares_have_more_edges(surface) -> None:
    coarse, fine = (surface(painted(chequers(side), np.full(3, 0.4), np.full(3, 0.2))) for side in (64, 16))
    assert coating.light_edges(fine).value > 1.5 * coating.light_edges(coarse).value


def test_coloured_metal_keeps_its_colour_across_relief(surface, lab_light) -> None:
    """Brass under changing light: ln ratios stay but for DIM."""
    brass = np.asarray(lab_light(BRASS)) / 0.4
    patch = surface(relief() * brass * 0.8)
    assert coating.light_edges(patch).value > 0.15
    assert coating.colour_edges(patch).value < 0.1


def test_colour_that_deepens_with_light_has_its_edges_together(surface, lab_light) -> None:
    """Brass that mirrors itself in hollows: its colour to the power of the bounces, so both step alike."""
    bounces = 1 + np.abs(np.log(relief() / 0.25))
    assert coating.edges_together(surface(np.asarray(lab_light(BRASS)) ** bounces)).value > 0.85


def test_inks_that_know_nothing_of_the_light_have_theirs_apart(surface, lab_light) -> None:
    """Squares of two inks of one luminance over noise of light: steps of either kind, in places that do not agree."""
    inks = painted(chequers(32), *(np.asarray(lab_light(lab)) for lab in ((55, 35, 20), (55, -35, 20))))
    patch = surface(inks * relief() / 0.25)
    assert coating.light_edges(patch).value > 0.1
    assert coating.colour_edges(patch).value > 0.1
    assert abs(coating.edges_together(patch).value) < 0.2


def test_nothing_is_said_of_edges_where_nothing_changes(surface) -> None:
    reading = coating.edges_together(surface(grey(0.3)))
    assert np.isnan(reading.value)
    assert "changes" in reading.how


# Shading --------------------------------------------------------------------------------------------------------------


def test_a_gradient_and_a_round_matt_part_are_shaded_smoothly(surface) -> None:
    u, v = X / SIDE - 0.5, Y / SIDE - 0.5
    for light in (0.3 * np.exp(0.9 * u - 0.4 * v), 0.5 * np.exp(-1.5 * (u**2 + v**2))):
        assert coating.smooth_shading(surface(grey(light))).value > 0.98


def test_a_mirror_of_stripes_is_not(surface) -> None:
    striped = grey(np.where(X // 16 % 2, 0.6, 0.1))
    assert coating.smooth_shading(surface(striped)).value < 0.05


def test_half_of_the_variance_is_half(surface) -> None:
    """A slope and independent noise of the same variance in ln light; the noise is in blocks that the cue keeps."""
    slope = (X / SIDE - 0.5) * 1.2
    blocks = np.kron(np.random.default_rng(22).normal(0, slope.std(), (64, 64)), np.ones((4, 4)))
    found = coating.smooth_shading(surface(grey(0.15 * np.exp(slope + blocks)))).value
    assert found == pytest.approx(0.5, abs=0.05)


# Lightest, darkest, clipped -------------------------------------------------------------------------------------------


def test_a_bright_spot_is_a_glint(surface) -> None:
    """Five hundredths of the part at four times the light, as a spot; in hundredths of one it is no glint."""
    spot = grey(np.where((np.abs(X - 128) < 29) & (np.abs(Y - 128) < 29), 0.8, 0.2))
    wanted = stepped(0.8, 0.2, middle=0.2)
    assert coating.glints(surface(spot)).value == pytest.approx(wanted, abs=0.03)
    speck = grey(np.where((np.abs(X - 128) < 8) & (np.abs(Y - 128) < 8), 0.8, 0.2))
    assert coating.glints(surface(speck)).value < 0.05


def test_grooves_are_hollows(surface) -> None:
    """A quarter of the part at a sixth of the light, the rest even: no glint."""
    grooves = surface(grey(np.where(X % 32 < 8, 0.05, 0.3)))
    wanted = stepped(0.3, 0.05, middle=0.3)
    assert coating.hollows(grooves).value == pytest.approx(wanted, abs=0.03)
    assert coating.glints(grooves).value < 0.02
    assert coating.hollows(surface(grey(0.3))).value < 0.02


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5])
def test_glare_is_the_share_that_is_clipped(surface, share: float) -> None:
    assert CLIPPED < 1
    light = grey(np.where(SIDE * share > X, 1.0, 0.4))
    assert coating.glare(surface(light)).value == pytest.approx(share, abs=0.03)


# Colours that no metal has --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lab", [BLUE, GREEN, RED, PURPLE])
def test_paint_has_a_colour_that_no_metal_has(surface, lab_light, lab) -> None:
    assert coating.no_metal_colour(surface(grey(1.0) * lab_light(lab))).value == 1


@pytest.mark.parametrize("lab", [GREY, COPPER, BRASS, (75, -3, 25), (85, 1, 6), (30, 0, 0)])
def test_metal_has_none(surface, lab_light, lab) -> None:
    assert coating.no_metal_colour(surface(grey(1.0) * lab_light(lab))).value == 0


@pytest.mark.parametrize("lab", [COPPER, BRASS, GREY])
def test_it_is_the_share_that_is_painted(surface, lab_light, lab) -> None:
    light = painted(SIDE * 0.25 > X, lab_light(BLUE), lab_light(lab))
    assert coating.no_metal_colour(surface(light)).value == pytest.approx(0.25, abs=0.03)


@pytest.mark.parametrize("level", [1.0, 0.1, 0.03])
@pytest.mark.parametrize("cast", [CAST, (0.36, -0.62), (-0.2, 0.33)])
def test_no_cast_that_is_known_makes_paint_of_grey(surface, level: float, cast: tuple[float, float]) -> None:
    """However dark the part: what is added to quieten noise has the colour of white."""
    grain = np.exp(np.random.default_rng(23).normal(0, 0.02, (SIDE, SIDE)))
    patch = surface(leaning(grey(0.5 * level * grain), cast), 0.8, cast)
    assert coating.no_metal_colour(patch).value < 0.01


# What must not matter -------------------------------------------------------------------------------------------------

# How far each may move when the photo is half or twice as large, or half as bright (where DIM counts for more).
STEADY = {
    "colour_edges": 0.02,
    "light_edges": 0.03,
    "edges_together": 0.05,
    "smooth_shading": 0.05,
    "glints": 0.06,
    "hollows": 0.1,
    "glare": 0.01,
    "no_metal_colour": 0.02,
}
of_each = pytest.mark.parametrize("cue", coating.CUES, ids=lambda cue: cue.name)


def part(lab_light) -> np.ndarray:
    """Brass in relief with a blue print on a fifth and a spot of glare."""
    light = relief() * np.asarray(lab_light(BRASS)) * 1.6
    light = np.where((SIDE * 0.2 > X)[..., None], relief() * np.asarray(lab_light(BLUE)) * 3, light)
    return np.clip(light, 0, 0.9)


@of_each
@pytest.mark.parametrize("times", [0.5, 2.0])
def test_the_size_of_the_photo_matters_little(surface, lab_light, cue: Cue, times: float) -> None:
    light = part(lab_light)
    how = cv2.INTER_AREA if times < 1 else cv2.INTER_LINEAR
    other = cv2.resize(light, None, fx=times, fy=times, interpolation=how)
    assert cue.measure(surface(other)).value == pytest.approx(cue.measure(surface(light)).value, abs=STEADY[cue.name])


@of_each
def test_half_the_exposure_matters_little(surface, lab_light, cue: Cue) -> None:
    one, two = (cue.measure(surface(part(lab_light) * level, level)).value for level in (1.0, 0.5))
    assert two == pytest.approx(one, abs=STEADY[cue.name])


@of_each
def test_a_cast_that_is_known_makes_no_difference(surface, lab_light, cue: Cue) -> None:
    light = 0.8 * part(lab_light)
    plain, cast = surface(light, 0.8), surface(leaning(light), 0.8, CAST)
    assert cue.measure(cast).value == pytest.approx(cue.measure(plain).value, abs=STEADY[cue.name])


@of_each
def test_white_in_view_is_not_needed(surface, lab_light, cue: Cue) -> None:
    seen = surface(part(lab_light))
    none = White("none", 0.0, 0.0, 0.3, np.array([[0.0, 0.0, 1.0]]), float("nan"))
    lost = Patch(seen.colours, none, seen.tile, seen.tile_colours, seen.detail, seen.used)
    assert cue.measure(lost).value == cue.measure(seen).value


@of_each
def test_nothing_is_said_of_a_part_of_a_few_pixels(surface, cue: Cue) -> None:
    reading = cue.measure(surface(np.full((7, 8, 3), 0.3)))
    assert np.isnan(reading.value)
    assert reading.how == coating.TOO_SMALL


# Redness and yellowness -----------------------------------------------------------------------------------------------

COLOURS = [(60, 15, 20), (70, -2, 40), (80, 0, 3), (35, 25, 25), (65, -20, -10), (30, 5, -20)]


def at_l50(lab: tuple[float, float, float]) -> np.ndarray:
    """The same chromaticity at L* 50, by colour-science."""
    science = pytest.importorskip("colour")
    white = science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    xyz, middle = (science.Lab_to_XYZ(np.array(one, float), white) for one in (lab, (50, 0, 0)))
    return np.asarray(science.XYZ_to_Lab(xyz * middle[1] / xyz[1], white))


@pytest.mark.parametrize("lab", COLOURS)
@pytest.mark.parametrize(("level", "cast"), [(1.0, (0.0, 0.0)), (0.5, (0.0, 0.0)), (0.7, CAST), (0.7, (-0.07, 0.12))])
def test_redness_and_yellowness_are_a_and_b_at_equal_lightness(surface, lab_light, lab, level, cast) -> None:
    """Within 0.5 of CIELAB at L* 50, whatever the light's strength and colour."""
    grain = np.exp(np.random.default_rng(24).normal(0, 0.03, (160, 160, 1)))  # so that 8 bits do not matter
    light = leaning(level * np.asarray(lab_light(lab)) * grain, cast)
    patch = surface(light, level, cast)
    wanted = at_l50(lab)
    assert wanted[0] == pytest.approx(50, abs=0.01)
    assert colour.redness(patch).value == pytest.approx(wanted[1], abs=0.5)
    assert colour.yellowness(patch).value == pytest.approx(wanted[2], abs=0.5)


def test_they_change_with_colour_and_not_with_light(surface, lab_light) -> None:
    """A brass in the light and in the shade: CIELAB's own b* falls with the light, yellowness does not."""
    light = np.asarray(lab_light(BRASS)) * np.exp(np.random.default_rng(25).normal(0, 0.03, (160, 160, 1)))
    bright, dark = surface(light), surface(0.3 * light)
    assert colour.yellowness(dark).value == pytest.approx(colour.yellowness(bright).value, abs=0.5)
    assert colour.chroma(dark).value < 0.8 * colour.chroma(bright).value
