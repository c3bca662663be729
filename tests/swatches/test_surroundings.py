"""What parts mirror: light is neither lost nor made, and a mirror shows what lies where it looks."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.swatches.surroundings import Surroundings, arriving, mirrored, surroundings
from idkit.vocabulary import Floats, Image

UP = np.array([0.0, 0.0, 1.0])
GROUND = np.array([0.3, 0.25, 0.2])
ROUGHNESS = (0.02, 0.1, 0.3, 0.6, 0.9)


def directions(count: int = 4000, least: float = -1.0) -> Image:
    """Unit vectors spread evenly over the sphere where z is at least `least` (Fibonacci spiral), count x 1 x 3."""
    z = np.linspace(least, 1, count)
    turn = np.pi * (3 - np.sqrt(5)) * np.arange(count)
    flat = np.sqrt(1 - z**2)
    return np.stack([flat * np.cos(turn), flat * np.sin(turn), z], axis=1)[:, None].astype(np.float32)


def towards(axis: Floats) -> Image:
    return np.asarray(axis, np.float32)[None, None]


@pytest.mark.parametrize("seed", range(30))
def test_white_paper_lying_flat_is_white(seed: int) -> None:
    around = surroundings(GROUND, np.random.default_rng(seed))
    assert arriving(around, towards(UP))[0, 0] == pytest.approx([1, 1, 1], abs=1e-4)


@pytest.mark.parametrize("seed", range(30))
def test_no_direction_is_darker_than_nothing(seed: int) -> None:
    around = surroundings(GROUND, np.random.default_rng(seed))
    assert (arriving(around, directions()) > 0).all()
    for rough in ROUGHNESS:
        assert (mirrored(around, directions(), rough) > 0).all()


@pytest.mark.parametrize("seed", range(10))
def test_axes_and_view_are_of_unit_length_and_the_camera_is_above(seed: int) -> None:
    around = surroundings(GROUND, np.random.default_rng(seed))
    assert np.linalg.norm(around.axes, axis=1) == pytest.approx(1)
    assert np.linalg.norm(around.view) == pytest.approx(1)
    assert around.view[2] > 0.7


@pytest.mark.parametrize("rough", ROUGHNESS)
def test_in_a_constant_room_every_mirror_shows_the_room(room, rough: float) -> None:
    """Light from everywhere above is 1, the ground 1: whatever faces up mirrors 1 and is lit by 1."""
    above = directions(least=0.0)
    assert mirrored(room(), above, rough) == pytest.approx(np.ones((len(above), 1, 3)), abs=1e-5)
    assert arriving(room(), above) == pytest.approx(np.ones((len(above), 1, 3)), abs=1e-5)


def test_a_polished_mirror_shows_what_lies_where_it_looks(room, off_vertical) -> None:
    lamp = off_vertical(40)
    lit = room(lamp, sharpness=200, power=5, ambient=0.2)
    assert mirrored(lit, towards(lamp), 0.02)[0, 0, 0] == pytest.approx(5.2, rel=0.2)
    assert mirrored(lit, towards(UP), 0.02)[0, 0, 0] == pytest.approx(0.2, rel=0.02)
    assert mirrored(lit, towards(off_vertical(-40)), 0.02)[0, 0, 0] == pytest.approx(0.2, rel=0.02)


def test_what_looks_down_mirrors_the_ground() -> None:
    green = Surroundings(UP[None], np.array([40.0]), np.zeros((1, 3)), np.ones(3), np.array([0.1, 0.4, 0.1]), UP)
    seen = mirrored(green, towards([0, 0, -1]), 0.02)[0, 0]
    assert seen[1] / seen[0] == pytest.approx(4, rel=0.01)
    assert seen.max() <= 0.4


def test_roughness_spreads_a_lamp_and_loses_none_of_it(room) -> None:
    """Summed over all directions above, a lamp overhead gives the same; its peak falls."""
    lit = room(sharpness=60, power=3, ambient=0, ground=0)
    above = directions(20_000, least=0.0)
    sums = [float(mirrored(lit, above, rough).mean()) for rough in (0.02, 0.1, 0.2)]
    peaks = [float(mirrored(lit, above, rough).max()) for rough in (0.02, 0.1, 0.2)]
    assert sums == pytest.approx([sums[0]] * 3, rel=0.03)
    assert sums[0] == pytest.approx(3 / 60, rel=0.05)  # of exp(s (cos - 1)) over a hemisphere: 1 / s
    assert peaks == sorted(peaks, reverse=True)


@pytest.mark.parametrize("seed", range(10))
def test_the_rougher_the_mirror_the_nearer_to_the_mean_of_the_room(seed: int) -> None:
    """The spread over what faces well upward falls with roughness."""
    around = surroundings(GROUND, np.random.default_rng(seed))
    above = directions(least=0.5)
    spreads = [float(mirrored(around, above, rough).std()) for rough in ROUGHNESS]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[-1] < 0.5 * spreads[0]


def test_a_matt_surface_is_lit_by_the_cosine_of_a_lamp(room, off_vertical) -> None:
    """Within 0.17 of Lambert's law, which is the most by which 1.17 exp(2.133 (cos - 1)) misses a cosine."""
    lit = room(sharpness=400, power=1, ambient=0, ground=0)
    level = arriving(lit, towards(UP))[0, 0, 0]
    for degrees in (20, 40, 60):
        share = 1.17 * arriving(lit, towards(off_vertical(degrees)))[0, 0, 0] / level
        shade = (1 + np.cos(np.radians(degrees))) / 2  # of the hemisphere above that it still faces
        assert share / shade == pytest.approx(np.cos(np.radians(degrees)), abs=0.17)


def test_the_same_seed_gives_the_same_room() -> None:
    one, again, other = (surroundings(GROUND, np.random.default_rng(seed)) for seed in (5, 5, 6))
    assert np.array_equal(one.power, again.power)
    assert one.power.shape != other.power.shape or not np.array_equal(one.power, other.power)
