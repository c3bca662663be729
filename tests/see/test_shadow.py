"""Shadows with an edge, painted as light makes them: the ground in less light, bluer where the sky lights it."""

from __future__ import annotations

import numpy as np
import pytest

from idkit import see
from idkit.vocabulary import Mask

HEIGHT, WIDTH = 480, 640
Y, X = np.mgrid[:HEIGHT, :WIDTH]
BAR: Mask = np.asarray((np.abs(Y - 220) < 55) & (np.abs(X - 320) < 200))
SHADE: Mask = np.asarray((np.abs(Y - 260) < 55) & (np.abs(X - 335) < 200) & ~BAR)
PAPER, BLUER = np.array([0.75, 0.75, 0.75]), np.array([0.93, 1.0, 1.12])  # the sky's part of daylight; from memory
METALS = {"copper": (0.40, 0.20, 0.12), "brass": (0.45, 0.33, 0.12), "rust": (0.16, 0.07, 0.03)}  # linear, from memory


def scene(part: tuple[float, ...], depth: float, tint: np.ndarray) -> np.ndarray:
    """A rounded bar on paper with its shadow, in linear light."""
    turned = 0.7 + 0.5 * np.exp(-(((Y - 205) / 20.0) ** 2))  # lighter along its back
    light = np.where(SHADE[..., None], depth * tint * PAPER, PAPER)
    light = np.where(BAR[..., None], np.array(part) * turned[..., None], light)
    return light + np.random.default_rng(3).normal(0, 0.01, light.shape)


def overlap(one: Mask, two: Mask) -> float:
    return float((one & two).sum() / (one | two).sum())


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("depth", [0.3, 0.45, 0.6])
@pytest.mark.parametrize("tint", [np.ones(3), BLUER], ids=["as the light", "bluer"])
def test_the_shadow_of_a_coloured_part_is_not_the_part(paint, metal: str, depth: float, tint: np.ndarray) -> None:
    part = see.find(paint(scene(METALS[metal], depth, tint)))
    assert part is not None
    assert overlap(part.mask, BAR) > 0.9


@pytest.mark.parametrize("metal", METALS)
def test_its_colour_is_that_of_the_part_alone(paint, metal: str) -> None:
    photo = paint(scene(METALS[metal], 0.4, BLUER))
    part = see.find(photo)
    assert part is not None
    patch = see.of_part(photo, part, see.white(photo, part))
    red, green, blue = METALS[metal]
    assert patch.body == pytest.approx([np.log(red / green), np.log(blue / green)], abs=0.06)


def test_grey_facets_of_a_coloured_part_away_from_the_edge_stay(paint) -> None:
    light = scene(METALS["brass"], 0.4, np.ones(3))
    spot = (np.abs(Y - 220) < 18) & (np.abs(X - 320) < 40)
    light[spot] = 0.35
    part = see.find(paint(light))
    assert part is not None
    assert part.mask[spot].mean() > 0.95


def test_a_grey_part_is_left_whole(paint) -> None:
    """Its own facets and its shadow are told by no tint."""
    light = np.where(BAR[..., None], 0.3, PAPER) * np.where(Y > 220, 0.8, 1.0)[..., None]
    part = see.find(paint(light + np.random.default_rng(4).normal(0, 0.01, light.shape)))
    assert part is not None
    assert overlap(part.mask, BAR) > 0.9
