"""Shapes of simulated parts: surfaces that could be, wherever chance turns them."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.swatches import bodies
from idkit.swatches.bodies import MAKINGS, Body, body, normals
from idkit.swatches.fields import SIDE, fractal, noise, slopes_of
from idkit.vocabulary import Image

SEEDS = range(40)
of_each_making = pytest.mark.parametrize("made", sorted(MAKINGS))
AXIS = np.linspace(-1, 1, SIDE)
OUT = np.stack(np.meshgrid(AXIS, AXIS), axis=2)  # from the middle of the frame to each pixel


def axes(turn: float = 0.0) -> tuple[Image, Image]:
    x, y = OUT[..., 0], OUT[..., 1]
    cos, sin = np.cos(turn), np.sin(turn)
    return (cos * x + sin * y).astype(np.float32), (cos * y - sin * x).astype(np.float32)


def outward(shape: Body) -> Image:
    """How far surface directions lean away from the middle; below 0 towards it."""
    return np.asarray((normals(shape.slopes)[..., :2] * OUT).sum(axis=2))


@of_each_making
def test_a_part_lies_in_the_frame_and_has_a_surface_everywhere(made: str) -> None:
    for seed in SEEDS:
        part = body(made, np.random.default_rng(seed))
        assert part.slopes.shape == (SIDE, SIDE, 2)
        assert part.mask.shape == part.hollow.shape == (SIDE, SIDE)
        assert np.isfinite(part.slopes).all()
        assert 0 <= part.hollow.min() <= part.hollow.max() <= 1
        assert 0.05 < part.mask.mean() < (0.95 if made != "board" else 1.01)  # board may be larger than the frame


@of_each_making
def test_directions_are_of_unit_length_and_face_the_camera(made: str) -> None:
    for seed in SEEDS:
        facing = normals(body(made, np.random.default_rng(seed)).slopes)
        assert np.linalg.norm(facing, axis=2) == pytest.approx(1, abs=1e-5)
        assert (facing[..., 2] > 0).all()


@of_each_making
def test_the_same_seed_gives_the_same_part(made: str) -> None:
    one, again, other = (body(made, np.random.default_rng(seed)) for seed in (3, 3, 4))
    assert np.array_equal(one.slopes, again.slopes)
    assert not np.array_equal(one.slopes, other.slopes)


def test_a_plane_that_rises_by_one_in_one_faces_back_at_45_degrees() -> None:
    slopes = np.zeros((2, 2, 2), np.float32)
    slopes[..., 0] = 1
    assert normals(slopes)[0, 0] == pytest.approx([-np.sqrt(0.5), 0, np.sqrt(0.5)])


def test_slopes_of_a_height_are_its_derivative() -> None:
    """z = 0.3 x - 0.2 y^2 in half frames."""
    x, y = OUT[..., 0], OUT[..., 1]
    inner = slopes_of((0.3 * x - 0.2 * y**2).astype(np.float32))[2:-2, 2:-2]
    assert inner[..., 0] == pytest.approx(0.3, rel=0.02)
    assert inner[..., 1] == pytest.approx(-0.4 * y[2:-2, 2:-2], abs=0.02)


@pytest.mark.parametrize("turn", [0.0, 0.7, 2.5, 4.0])
def test_what_bulges_leans_outward_and_what_is_hollow_inward_however_it_is_turned(turn: float) -> None:
    for seed in range(10):
        knob = bodies._round(*axes(turn), np.random.default_rng(seed))
        assert (outward(knob)[knob.mask] > -0.02).all()
        cup = bodies._cup(*axes(turn), np.random.default_rng(seed))
        walls = cup.mask & (np.hypot(OUT[..., 0], OUT[..., 1]) > 0.8)
        assert (outward(cup)[walls] < -0.3).all()


@pytest.mark.parametrize("turn", [0.0, 0.7, 2.5])
def test_a_profile_is_the_same_along_one_way(turn: float) -> None:
    """Along its own y axis, slopes do not change and nothing slopes."""
    profile = bodies._profile(*axes(turn), np.random.default_rng(2))
    along = np.array([-np.sin(turn), np.cos(turn)])
    assert np.abs(profile.slopes @ along).max() < 1e-5
    step = 8
    y, x = np.mgrid[40:110:7, 40:110:7]
    there = profile.slopes[np.round(y + step * along[1]).astype(int), np.round(x + step * along[0]).astype(int)]
    assert np.abs(there - profile.slopes[y, x]).mean() < 0.3 * np.abs(profile.slopes[y, x]).mean() + 1e-6


def test_a_tube_leans_to_its_sides_alone() -> None:
    """Where it has no ribs: nothing slopes along its axis, and each half leans its own way."""
    tubes = [bodies._cylinder(*axes(), np.random.default_rng(seed)) for seed in range(20)]
    plain = [tube for tube in tubes if not tube.slopes[..., 1].any()]
    assert plain
    for tube in plain:
        lean = normals(tube.slopes)[..., 0]
        assert (lean[tube.mask & (OUT[..., 0] > 0.02)] > 0).all()
        assert (lean[tube.mask & (OUT[..., 0] < -0.02)] < 0).all()


@pytest.mark.parametrize("make", [noise, fractal])
@pytest.mark.parametrize("scale", [0.03, 0.2])
def test_noise_has_unit_variance(make, scale: float) -> None:
    for seed in range(5):
        assert make(scale, np.random.default_rng(seed)).std() == pytest.approx(1, abs=0.01)


def test_noise_is_smooth_over_its_scale() -> None:
    """A step of a tenth of the blotch's width changes little, one of twice the width as much as chance."""
    for scale in (0.05, 0.1, 0.2):
        field = np.mean([_apart(noise(scale, np.random.default_rng(seed)), scale) for seed in range(12)], axis=0)
        assert field[0] < 0.1
        assert field[1] == pytest.approx(2, abs=0.5)


def _apart(field: Image, scale: float) -> tuple[float, float]:
    """Mean squared difference at a tenth of `scale` and at twice it; 2 where nothing connects unit noise."""
    near, far = max(1, round(0.1 * scale * SIDE)), round(2 * scale * SIDE)
    return (
        float(np.mean((field[:, near:] - field[:, :-near]) ** 2)),
        float(np.mean((field[:, far:] - field[:, :-far]) ** 2)),
    )
