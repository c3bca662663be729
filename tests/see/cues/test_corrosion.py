"""Area of rust, patina and bloom, painted as a share of the part."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.see.cues import corrosion
from idkit.vocabulary import Patch, White

SIDE = 256
# CIELAB, from memory of what such surfaces look like
STEEL, BRASS, DULL_ZINC = (60, 0, 2), (70, 5, 40), (50, 0, -1)
RUST, PATINA, BLOOM = (38, 20, 30), (50, -22, 2), (82, 0, 1)
GROWTH = [
    pytest.param(corrosion.rust_area, STEEL, RUST, id="rust"),
    pytest.param(corrosion.patina_area, BRASS, PATINA, id="patina"),
    pytest.param(corrosion.bloom_area, DULL_ZINC, BLOOM, id="bloom"),
]


def blotches(share: float) -> np.ndarray:
    """Whole blotches of 16 x 16 pixels over that share of the part."""
    random = np.random.default_rng(14)
    count = (SIDE // 16) ** 2
    chosen = random.permutation(count) < round(share * count)
    return np.kron(chosen.reshape(SIDE // 16, -1), np.ones((16, 16))) > 0


@pytest.mark.parametrize(("cue", "metal", "growth"), GROWTH)
@pytest.mark.parametrize("share", [0.0, 0.1, 0.3])
def test_the_share_is_that_which_was_painted(surface, lab_light, cue, metal, growth, share: float) -> None:
    light = np.where(blotches(share)[..., None], lab_light(growth), lab_light(metal))
    assert cue(surface(light)).value == pytest.approx(share, abs=0.05)
    assert cue(surface(light * 0.7 * np.exp([0.1, 0, -0.17]), 0.7, (0.1, -0.17))).value == pytest.approx(
        share, abs=0.05
    )


@pytest.mark.parametrize("cue", [corrosion.rust_area, corrosion.patina_area, corrosion.bloom_area])
@pytest.mark.parametrize("metal", [STEEL, BRASS, DULL_ZINC])
def test_clean_metal_has_none(surface, lab_light, cue, metal) -> None:
    assert cue(surface(np.tile(lab_light(metal), (SIDE, SIDE, 1)))).value == 0


@pytest.mark.parametrize(("cue", "metal", "growth"), GROWTH)
def test_single_pixels_are_noise(surface, lab_light, cue, metal, growth) -> None:
    speckled = np.random.default_rng(15).random((SIDE, SIDE, 1)) < 0.03
    assert cue(surface(np.where(speckled, lab_light(growth), lab_light(metal)))).value < 0.005


@pytest.mark.parametrize("cue", corrosion.CUES, ids=lambda cue: cue.name)
def test_without_white_nothing_is_said(surface, lab_light, cue) -> None:
    seen = surface(np.tile(lab_light(RUST), (SIDE, SIDE, 1)))
    none = White("none", 0.0, 0.0, 0.3, np.array([[0.0, 0.0, 1.0]]), float("nan"))
    reading = cue.measure(Patch(seen.colours, none, seen.tile, seen.tile_colours, seen.detail, seen.used))
    assert np.isnan(reading.value)
    assert reading.how == "no white in view"
