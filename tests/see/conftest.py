"""Painted truth: pictures made of known linear light, and patches of a known surface."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from idkit import see
from idkit.see.srgb import linear
from idkit.vocabulary import Patch, Photo, White

Paint = Callable[..., Photo]


def encoded(light: np.ndarray) -> np.ndarray:
    """Linear light to 8 bit sRGB (IEC 61966-2-1)."""
    clipped = np.clip(light, 0, 1)
    code = np.where(clipped <= 0.0031308, 12.92 * clipped, 1.055 * np.maximum(clipped, 1e-9) ** (1 / 2.4) - 0.055)
    return np.round(code * 255).astype(np.uint8)


@pytest.fixture
def paint() -> Paint:
    """A photo of linear light, height x width x 3 or (grey) height x width."""

    def make(light: np.ndarray) -> Photo:
        whole = light if light.ndim == 3 else np.repeat(light[..., None], 3, axis=2)
        picture = encoded(whole)
        return Photo("painted", "", picture, linear(picture, 1024), True)

    return make


@pytest.fixture
def surface(paint: Paint) -> Callable[..., Patch]:
    """The patch of a part that fills the frame, white being `level` in linear light, with its ln(R/G) and ln(B/G)."""

    def make(light: np.ndarray, level: float = 1.0, cast: tuple[float, float] = (0.0, 0.0)) -> Patch:
        photo = paint(light)
        white = White("paper", *cast, uncertainty=0.0, grid=np.array([[*cast, 1.0]]), luminance=level)
        return see.of_part(photo, see.whole(photo), white)

    return make


@pytest.fixture
def lab_light() -> Callable[..., np.ndarray]:
    """Linear sRGB of CIELAB colours (D65, CIE 1931 2 degrees), by colour-science."""
    science = pytest.importorskip("colour")
    white = science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    return lambda lab: science.XYZ_to_sRGB(science.Lab_to_XYZ(lab, white), apply_cctf_encoding=False)


@pytest.fixture
def real_photos() -> Path:
    """The folder of real photographs that stands beside the project."""
    folder = Path(__file__).resolve().parents[2].parent / "shared" / "photos"
    if not folder.is_dir():
        pytest.skip(f"no real photographs: {folder.parent.name}/{folder.name} is not beside the project")
    return folder
