"""Sharma, Wu and Dalal 2005: the CIEDE2000 that the colour cues use, and the metals they are held against."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from idkit.facts import colours
from idkit.see.cues import colour
from idkit.see.cues.difference import ciede2000
from idkit.vocabulary import Patch, White

WHITE = White("paper", 0.0, 0.0, 0.0, np.array([[0.0, 0.0, 1.0]]), 1.0)
BESIDE_METALS = [
    (colour.from_copper, "copper-querry"),
    (colour.from_brass, "cu70-zn30"),
    (colour.from_aluminium, "aluminium"),
]


def of(rows: list[dict[str, float]], which: int) -> np.ndarray:
    return np.array([[row[f"{axis}{which}"] for axis in "lab"] for row in rows])


def patch_of(lightness: float, a: float, b: float) -> Patch:
    """A patch of one CIELAB colour against white, made by colour-science."""
    science = pytest.importorskip("colour")
    white = science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    rgb = science.XYZ_to_sRGB(science.Lab_to_XYZ((lightness, a, b), white), apply_cctf_encoding=False)
    nothing = np.full((1, 1), np.nan, np.float32)
    return Patch(np.tile(rgb, (100, 1)), WHITE, nothing, nothing[..., None], 1.0, 1.0)


@pytest.mark.parametrize("formula", [ciede2000, deltaE_ciede2000], ids=["idkit", "scikit-image"])
def test_differences_are_those_of_table_1(published, formula: Callable[..., np.ndarray]) -> None:
    """To the four digits printed. Hues of pair 14 lie 180 degrees apart, and the last digit of an arctan decides which
    way round their mean is taken: either of the two values printed for such pairs is right there."""
    rows = published("ciede2000.csv")
    found = formula(of(rows, 1), of(rows, 2))
    printed = np.array([row["difference"] for row in rows])
    assert len(rows) == 34
    assert found[13] == pytest.approx(4.8045, abs=5e-5) or found[13] == pytest.approx(4.7461, abs=5e-5)
    assert np.delete(found, 13) == pytest.approx(np.delete(printed, 13), abs=5.1e-5)


def test_any_two_colours_differ_as_scikit_image_says() -> None:
    random = np.random.default_rng(3)
    one, two = random.uniform((0, -100, -100), (100, 100, 100), (2, 2000, 3))
    assert ciede2000(one, two) == pytest.approx(deltaE_ciede2000(one, two), abs=1e-9)
    assert ciede2000(two, one) == pytest.approx(ciede2000(one, two), abs=1e-9)


@pytest.mark.parametrize(("cue", "metal"), BESIDE_METALS)
def test_a_metal_is_not_apart_from_itself_however_it_is_lit(cue, metal: str) -> None:
    bare = colours()[metal]
    for lightness in (35.0, 60.0, bare.lightness):
        assert cue(patch_of(lightness, bare.a, bare.b)).value == pytest.approx(0, abs=0.1)


@pytest.mark.parametrize(("cue", "metal"), BESIDE_METALS)
def test_a_cue_is_ciede2000_at_equal_lightness(cue, metal: str) -> None:
    science = pytest.importorskip("colour")
    bare, seen = colours()[metal], (52.0, 14.0, -9.0)
    apart = science.delta_E(seen, (seen[0], bare.a, bare.b), method="CIE 2000")
    assert cue(patch_of(*seen)).value == pytest.approx(apart, abs=0.1)
