"""Highlights and shadows on painted surfaces."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.see.cues import shine

COPPER = np.array((0.40, 0.20, 0.12))
AREA = (200, 200)


def body(rgb: np.ndarray, spread: float = 0.05) -> np.ndarray:
    return rgb * np.exp(np.random.default_rng(11).normal(0, spread, (*AREA, 1))) * np.ones(3)


def strength(rgb: np.ndarray) -> float:
    """What the measures give where a colour is gone, or twice as strong: short of 1 as grey counts for nothing."""
    ratios = np.log(rgb[[0, 2]] / rgb[1])
    return float(ratios @ ratios / (ratios @ ratios + shine.GREY**2))


def test_white_highlights_are_pale(surface) -> None:
    """A glint on paint keeps the colour of the lamp (Shafer 1985)."""
    light = body(COPPER)
    light[:30] = 0.8
    assert shine.highlight_paleness(surface(light)).value == pytest.approx(strength(COPPER), abs=0.05)


def test_highlights_of_metal_keep_its_colour(surface) -> None:
    light = body(COPPER)
    light[:30] = 2 * COPPER
    assert shine.highlight_paleness(surface(light)).value == pytest.approx(0, abs=0.05)


def test_half_white_lies_between(surface) -> None:
    """Halfway in ln ratios."""
    light = body(COPPER)
    light[:30] = 2 * np.sqrt(COPPER * COPPER[1])
    assert shine.highlight_paleness(surface(light)).value == pytest.approx(strength(COPPER) / 2, abs=0.05)


def test_metal_that_mirrors_itself_is_deeper_in_its_hollows(surface) -> None:
    """Light that was mirrored twice has the square of the colour: ln ratios are twice as strong."""
    light = body(COPPER)
    light[:60] = 2 * COPPER**2
    assert shine.shadow_depth(surface(light)).value == pytest.approx(strength(COPPER), abs=0.05)


def test_shadows_without_colour_are_below_zero(surface) -> None:
    light = body(COPPER)
    light[:60] = 0.1
    assert shine.shadow_depth(surface(light)).value == pytest.approx(-strength(COPPER), abs=0.05)


@pytest.mark.parametrize("cue", [shine.highlight_paleness, shine.shadow_depth])
def test_grey_has_no_colour_to_lose(surface, cue) -> None:
    light = body(np.full(3, 0.3))
    light[:30] = (0.82, 0.8, 0.8)
    light[-60:] = (0.1, 0.1, 0.1)
    assert cue(surface(light)).value == pytest.approx(0, abs=0.02)


def test_a_cast_that_is_known_makes_no_difference(surface) -> None:
    cast = (0.1, -0.17)
    light = body(COPPER)
    light[:30] = 0.8
    plain = shine.highlight_paleness(surface(light)).value
    tinted = surface(light * 0.9 * np.exp([cast[0], 0, cast[1]]), 0.9, cast)
    assert shine.highlight_paleness(tinted).value == pytest.approx(plain, abs=0.02)


def test_contrast_is_half_the_range_of_light(surface) -> None:
    """ln luminance spread evenly over 1.2: the middle eight tenths span 0.96."""
    levels = np.exp(np.random.default_rng(12).uniform(-0.6, 0.6, (*AREA, 1)))
    assert shine.contrast(surface(0.3 * levels * np.ones(3))).value == pytest.approx(0.48, abs=0.01)
    assert shine.contrast(surface(np.full((*AREA, 3), 0.3))).value == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("cue", shine.CUES, ids=lambda cue: cue.name)
def test_nothing_is_said_of_a_blown_out_part(surface, cue) -> None:
    reading = cue.measure(surface(np.ones((*AREA, 3))))
    assert np.isnan(reading.value)
    assert reading.how == shine.WHY_NOT
