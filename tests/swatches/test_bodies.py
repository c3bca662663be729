"""Shapes of simulated parts: surfaces that could be, wherever chance turns them."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.swatches import bodies
from idkit.swatches.bodies import GRID, MAKINGS, body
from idkit.swatches.fields import SIDE, fractal, noise
from idkit.vocabulary import Image

SEEDS = range(20)
of_each_making = pytest.mark.parametrize("made", sorted(MAKINGS))
X, Y = np.meshgrid(np.linspace(-1, 1, GRID, dtype=np.float32), np.linspace(-1, 1, GRID, dtype=np.float32))


def axes(turn: float = 0.0) -> tuple[Image, Image]:
    cos, sin = np.cos(turn), np.sin(turn)
    return (cos * X + sin * Y).astype(np.float32), (cos * Y - sin * X).astype(np.float32)


@of_each_making
def test_a_part_lies_on_the_ground_inside_the_frame(made: str) -> None:
    for seed in SEEDS:
        part = body(made, np.random.default_rng(seed))
        assert part.height.shape == part.mask.shape == part.hollow.shape == (GRID, GRID)
        assert np.isfinite(part.height).all()
        assert 0 < part.height[part.mask].min() < part.height[part.mask].max() < 3.5
        assert 0 <= part.hollow.min() <= part.hollow.max() <= 1
        assert part.mask.all() == (not part.whole)
        assert 0.02 < part.mask.mean() < (0.95 if part.whole else 1.01)


def test_only_board_is_larger_than_the_frame_and_half_of_it_is() -> None:
    larger = {made: sum(not body(made, np.random.default_rng(seed)).whole for seed in SEEDS) for made in MAKINGS}
    assert {made for made, count in larger.items() if count} == set(bodies.LARGE)
    assert 3 <= larger["board"] <= 17


@of_each_making
def test_the_same_seed_gives_the_same_part(made: str) -> None:
    one, again, other = (body(made, np.random.default_rng(seed)) for seed in (3, 3, 4))
    assert np.array_equal(one.height, again.height)
    assert not np.array_equal(one.height, other.height)


@pytest.mark.parametrize("turn", [0.0, 0.7, 2.5, 4.0])
def test_what_bulges_is_highest_in_the_middle_and_a_cup_at_its_rim(turn: float) -> None:
    away = np.hypot(X, Y)
    for seed in range(10):
        knob, inside = bodies._round(*axes(turn), np.random.default_rng(seed))
        assert knob[inside].max() == pytest.approx(knob[away < 0.02].max(), rel=0.01)
        cup, _ = bodies._cup(*axes(turn), np.random.default_rng(seed))
        assert cup[away < 0.2].max() == 0
        assert cup[(away > 0.88) & (away < 0.92)].min() > 0.1


@pytest.mark.parametrize("turn", [0.0, 0.7, 2.5])
def test_a_profile_is_the_same_along_one_way(turn: float) -> None:
    """A point moved along its own y axis keeps its height."""
    height, _ = bodies._profile(*axes(turn), np.random.default_rng(2))
    y, x = np.mgrid[100:200:9, 100:200:9]
    moved = height[np.round(y + 30 * np.cos(turn)).astype(int), np.round(x - 30 * np.sin(turn)).astype(int)]
    assert np.median(np.abs(moved - height[y, x])) < 0.01


def test_a_tube_is_round_across(calm) -> None:
    """Its section is half a circle, or half of that height: x^2 + (z / flat)^2 is the radius squared."""
    x, y = axes()
    height, inside = bodies._cylinder(x, y, calm(1))
    row = inside[GRID // 2]
    across, up = X[GRID // 2, row], height[GRID // 2, row]
    half = float(up.max())
    assert np.hypot(across, up) == pytest.approx(half, rel=0.02)


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
