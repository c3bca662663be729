"""Rooms, shapes and looks so simple that what is seen of them is known."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from idkit.facts import optics
from idkit.swatches.bodies import GRID, Body
from idkit.swatches.fields import SIDE
from idkit.swatches.illuminants import Lighting
from idkit.swatches.rooms import LIGHTS
from idkit.swatches.surfaces import Look
from idkit.swatches.tracing import MEETINGS, SOURCES, Traced
from idkit.vocabulary import Floats


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
def under(daylight: Floats) -> Callable[..., Lighting]:
    """All light from one source, daylight, over a ground of that reflectance."""

    def make(ground: float = 0.5) -> Lighting:
        amounts = np.zeros((len(SOURCES), 1, 3))
        amounts[0], amounts[-1] = 1.0, ground
        return Lighting(daylight[None], amounts, np.full(3, ground))

    return make


@pytest.fixture
def plane() -> Callable[..., Traced]:
    """A part that fills the middle of the frame, seen square on under an even sky, each ray meeting it `met` times."""

    def make(met: int = 1, hollow: float = 0.0) -> Traced:
        mirror = np.zeros((len(SOURCES), MEETINGS, SIDE, SIDE), np.float32)
        mirror[: len(LIGHTS), met - 1] = 1.0
        matt = np.zeros((len(SOURCES), SIDE, SIDE), np.float32)
        matt[: len(LIGHTS)] = 1.0
        cover = np.zeros((SIDE, SIDE), np.float32)
        cover[15:-15, 15:-15] = 1
        flat = np.ones((SIDE, SIDE), np.float32)
        facing = np.stack([0 * flat, 0 * flat, flat])
        return Traced(mirror, matt, cover, facing, flat, np.float32(hollow) * flat, 0.1)

    return make


@pytest.fixture
def clean() -> Callable[..., Look]:
    """Bare metal without film, cover or haze."""

    def make(metal: str, **others: object) -> Look:
        plain = {"film": (0.0, 0.0), "gloss": (0.0, 0.0)}
        return Look("one", "scratched", "grey-white", 1, ((metal, 1, 1),), **{**plain, **others})

    return make


@pytest.fixture
def shape() -> Callable[..., Body]:
    """A body of that height over the ground, a function of x and y, inside a radius of 0.8."""

    def make(height: Callable[[Floats, Floats], Floats]) -> Body:
        axis = np.linspace(-1, 1, GRID)
        x, y = np.meshgrid(axis, axis)
        nothing = np.zeros((GRID, GRID), np.float32)
        return Body((height(x, y) + nothing).astype(np.float32), np.hypot(x, y) < 0.8, nothing)

    return make
