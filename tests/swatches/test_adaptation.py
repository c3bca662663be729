"""Bradford's adaptation against colour-science's own, and what it does to copper under a bulb."""

from __future__ import annotations

import numpy as np
import pytest

from idkit import see
from idkit.facts import colours, optics
from idkit.swatches.adaptation import to_daylight
from idkit.swatches.surfaces import normal_reflectance

BULB = np.array([2.2, 1.0, 0.3])  # linear sRGB of white under some bulb


def test_white_becomes_white_and_daylight_stays() -> None:
    np.testing.assert_allclose(to_daylight(BULB) @ BULB, 1, atol=1e-12)
    np.testing.assert_allclose(to_daylight(np.ones(3)), np.eye(3), atol=1e-12)


def test_as_colour_science_adapts() -> None:
    colour = pytest.importorskip("colour")
    to_xyz = colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ
    theirs = colour.adaptation.matrix_chromatic_adaptation_VonKries(to_xyz @ BULB, to_xyz @ np.ones(3), "Bradford")
    wanted = np.linalg.inv(to_xyz) @ theirs @ to_xyz
    np.testing.assert_allclose(to_daylight(BULB), wanted, atol=2e-3)  # their sRGB matrix has more digits


def test_copper_under_a_bulb_keeps_its_hue() -> None:
    """Scaling red, green and blue alone would turn it by more than fifteen degrees toward brass."""
    colour = pytest.importorskip("colour")
    copper = optics()["copper-querry"]
    wavelength = copper.wavelength
    shape = colour.SpectralShape(float(wavelength[0]), float(wavelength[-1]), float(wavelength[1] - wavelength[0]))
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    power = colour.SDS_ILLUMINANTS["A"].copy().align(shape).values
    seen = power[:, None] * observer @ colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB.T
    white, raw = seen.sum(axis=0), normal_reflectance(copper) @ seen
    known = np.degrees(np.arctan2(colours()["copper-querry"].b, colours()["copper-querry"].a))
    hue = [np.degrees(np.arctan2(b, a)) for _, a, b in see.cielab(np.array([to_daylight(white) @ raw, raw / white]))]
    assert abs(hue[0] - known) < 8
    assert hue[1] - known > 15
