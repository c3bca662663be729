"""Cues of colour on painted surfaces; formulas against published values are in tests/reference."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.see.cues import colour
from idkit.vocabulary import Patch, White

# L*, a*, b* of dull copper, brass, pale brass, brown, green
COLOURS = [(60, 15, 20), (70, 5, 40), (75, -3, 30), (40, 25, 25), (65, -20, -10)]
CASTS = [(1.0, (0.0, 0.0)), (0.6, (0.0, 0.0)), (0.7, (0.09, -0.155)), (0.7, (-0.07, 0.12))]


def even(rgb: np.ndarray) -> np.ndarray:
    """A field of one colour, noisy enough that 8 bits do not matter to its median."""
    return rgb * np.exp(np.random.default_rng(9).normal(0, 0.03, (120, 160, 1))) * np.ones(3)


def against(light: np.ndarray, white: tuple[float, tuple[float, float]]) -> np.ndarray:
    level, (red_green, blue_green) = white
    return light * level * np.exp([red_green, 0.0, blue_green])


def without_white(patch: Patch) -> Patch:
    none = White("none", 0.0, 0.0, 0.3, np.array([[0.0, 0.0, 1.0]]), float("nan"))
    return Patch(patch.colours, none, patch.tile, patch.tile_colours, patch.detail, patch.used)


@pytest.mark.parametrize("lab", COLOURS)
@pytest.mark.parametrize("white", CASTS)
def test_lightness_chroma_and_hue_of_a_painted_colour(surface, lab_light, lab, white) -> None:
    """Within 1 of what was painted, whatever white is as bright as and tinted by."""
    patch = surface(against(even(lab_light(lab)), white), *white)
    assert colour.lightness(patch).value == pytest.approx(lab[0], abs=1)
    assert colour.chroma(patch).value == pytest.approx(np.hypot(*lab[1:]), abs=1)
    assert colour.hue(patch).value == pytest.approx(np.degrees(np.arctan2(lab[2], lab[1])) % 360, abs=1)


@pytest.mark.parametrize("white", CASTS)
def test_ratios_are_against_white(surface, white) -> None:
    patch = surface(against(even(np.array((0.4, 0.2, 0.1))), white), *white)
    assert colour.red_green(patch).value == pytest.approx(np.log(2), abs=0.02)
    assert colour.blue_green(patch).value == pytest.approx(-np.log(2), abs=0.02)


def test_grey_has_no_hue(surface) -> None:
    patch = surface(even(np.full(3, 0.3)))
    assert colour.chroma(patch).value < 1
    assert np.isnan(colour.hue(patch).value)
    assert colour.hue(patch).how == "too grey to have a hue"


@pytest.mark.parametrize("cue", [colour.chroma, colour.hue, colour.lightness, colour.from_copper, colour.from_brass])
def test_without_white_there_is_no_cielab(surface, cue) -> None:
    reading = cue(without_white(surface(even(np.array((0.4, 0.2, 0.1))))))
    assert np.isnan(reading.value)
    assert reading.how == "no white in view"


def test_without_white_ratios_are_against_the_cameras_balance(surface) -> None:
    patch = without_white(surface(even(np.array((0.4, 0.2, 0.1)))))
    assert colour.red_green(patch).value == pytest.approx(np.log(2), abs=0.02)


@pytest.mark.parametrize("cue", colour.CUES, ids=lambda cue: cue.name)
def test_nothing_is_said_of_a_few_pixels(surface, cue) -> None:
    light = np.ones((40, 40, 3))
    light[:3, :13] = (0.4, 0.2, 0.1)  # 39 pixels are not clipped
    reading = cue.measure(surface(light))
    assert np.isnan(reading.value)
    assert "too little" in reading.how


def test_each_metal_is_nearest_to_itself(surface, lab_light) -> None:
    """Polished copper and 70-30 brass of Querry 1985, aluminium of Rakic 1995, at L* 60 (facts/colours.csv)."""
    painted = {"copper": (60, 12.97, 19.02), "brass": (60, -2.54, 28.66), "aluminium": (60, -0.2, -0.47)}
    cues = {"copper": colour.from_copper, "brass": colour.from_brass, "aluminium": colour.from_aluminium}
    for name, lab in painted.items():
        patch = surface(even(lab_light(lab)))
        apart = {other: cue(patch).value for other, cue in cues.items()}
        assert apart[name] < 1
        assert all(value > 8 for other, value in apart.items() if other != name)


def test_unevenness_is_the_spread_of_colour(surface) -> None:
    """ln(B/G) drawn with a standard deviation of 0.1."""
    light = np.full((200, 200, 3), (0.4, 0.3, 0.2))
    light[..., 2] *= np.exp(np.random.default_rng(10).normal(0, 0.1, light.shape[:2]))
    assert colour.evenness(surface(light)).value == pytest.approx(0.1, abs=0.01)
    assert colour.evenness(surface(even(np.array((0.4, 0.3, 0.2))))).value < 0.02
