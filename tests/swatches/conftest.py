"""Rooms, shapes and looks so simple that what is seen of them is known."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from idkit.facts import optics
from idkit.swatches.bodies import Body
from idkit.swatches.fields import SIDE
from idkit.swatches.surfaces import Look
from idkit.swatches.surroundings import Surroundings
from idkit.vocabulary import Floats

UP = np.array([0.0, 0.0, 1.0])


class Calm(np.random.Generator):
    """Chance at its calmest: every range is at its low end (polished, no film, no wear), every coin falls the same."""

    def uniform(self, low=0.0, high=1.0, size=None):  # type: ignore[no-untyped-def]
        value = np.broadcast_arrays(np.asarray(low, float), np.asarray(high, float))[0]
        return np.broadcast_to(value, size).copy() if size is not None else value.copy()[()]

    def random(self, size=None):  # type: ignore[no-untyped-def]
        return 0.5 if size is None else np.full(size, 0.5)


@pytest.fixture
def calm() -> Callable[[int], np.random.Generator]:
    return lambda seed: Calm(np.random.PCG64(seed))


@pytest.fixture(scope="session")
def daylight() -> Floats:
    """D65 times the CIE 1931 2 degree observer as linear sRGB with white at 1, wavelengths x 3, by colour-science."""
    science = pytest.importorskip("colour")
    wavelength = next(iter(optics().values())).wavelength
    shape = science.SpectralShape(wavelength[0], wavelength[-1], wavelength[1] - wavelength[0])
    observer = science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    power = science.SDS_ILLUMINANTS["D65"].copy().align(shape).values
    rgb = (power[:, None] * observer) @ science.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB.T
    return np.asarray(rgb / rgb.sum(axis=0))


@pytest.fixture
def room() -> Callable[..., Surroundings]:
    """A neutral room: the same light from everywhere above, and a lamp along each of `axes`. Seen from above."""

    def make(
        axes: Floats = UP, sharpness: float = 40.0, power: float = 0.0, ambient: float = 1.0, ground: float = 1.0
    ) -> Surroundings:
        lamps, neutral = np.atleast_2d(axes), np.ones(3)
        each = np.full(len(lamps), sharpness)
        return Surroundings(lamps, each, np.full((len(lamps), 3), power), ambient * neutral, ground * neutral, UP)

    return make


@pytest.fixture
def plane() -> Callable[..., Body]:
    """A flat part that fills the frame, tilted to face that many degrees off the vertical, towards x."""

    def make(degrees: float = 0.0, hollow: float = 0.0) -> Body:
        slopes = np.zeros((SIDE, SIDE, 2), np.float32)
        slopes[..., 0] = -np.tan(np.radians(degrees))
        return Body(slopes, np.ones((SIDE, SIDE), bool), np.full((SIDE, SIDE), hollow, np.float32))

    return make


@pytest.fixture
def clean() -> Callable[..., Look]:
    """Bare metal without film, cover or haze."""

    def make(metal: str, **others: object) -> Look:
        plain = {"film": (0.0, 0.0), "gloss": (0.0, 0.0)}
        return Look("one", "scratched", "grey-white", 1, ((metal, 1, 1),), **{**plain, **others})

    return make


@pytest.fixture
def off_vertical() -> Callable[[float], Floats]:
    """A unit vector that many degrees off the vertical, towards x."""
    return lambda degrees: np.array([np.sin(np.radians(degrees)), 0.0, np.cos(np.radians(degrees))])
