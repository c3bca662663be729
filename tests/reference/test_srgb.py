"""IEC 61966-2-1 and CIE 15: what codes of sRGB are in linear light and in CIELAB."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.see.cielab import cielab
from idkit.see.srgb import linear

CODES = ("red", "green", "blue")


def codes_of(rows: list[dict[str, float]]) -> np.ndarray:
    return np.array([[row[name] for name in CODES] for row in rows], np.uint8)


def test_linear_light_is_that_of_the_table(published) -> None:
    rows = published("srgb.csv")
    found = linear(codes_of(rows)[None], 1024)[0, :, 0]
    assert found == pytest.approx([row["linear_red"] for row in rows], abs=2e-5)


def test_cielab_is_that_of_the_table(published) -> None:
    """Within 0.1: calculators print with white points and matrices of four to seven digits."""
    rows = published("srgb.csv")
    found = cielab(linear(codes_of(rows)[None], 1024)[0].astype(float))
    assert found == pytest.approx(np.array([[row[name] for name in ("lightness", "a", "b")] for row in rows]), abs=0.1)


@pytest.mark.parametrize(("dtype", "most"), [(np.uint8, 255), (np.uint16, 65535)])
def test_every_code_decodes_as_colour_science_does(dtype: type, most: int) -> None:
    """Photo.linear counts in steps of 1/65535."""
    science = pytest.importorskip("colour")
    every = np.arange(most + 1, dtype=dtype).reshape(-1, 64)
    found = linear(np.repeat(every[..., None], 3, axis=2), 1 << 20)[..., 1]
    assert found == pytest.approx(science.models.eotf_sRGB(every / most), abs=1 / 65535)


def test_cielab_of_any_colour_is_that_of_colour_science() -> None:
    science = pytest.importorskip("colour")
    rgb = np.stack(np.meshgrid(*[np.linspace(0, 1, 6)] * 3), axis=-1).reshape(-1, 3)
    white = science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    wanted = science.XYZ_to_Lab(science.sRGB_to_XYZ(rgb, apply_cctf_decoding=False), white)
    assert cielab(rgb) == pytest.approx(wanted, abs=0.05)
