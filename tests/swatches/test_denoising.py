"""Denoised light against the same light traced with many more samples."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from idkit.swatches import rooms, tracing
from idkit.swatches.bodies import Body
from idkit.swatches.denoising import denoised
from idkit.swatches.rooms import Room
from idkit.swatches.tracing import Traced, traced
from idkit.vocabulary import Floats, Image

pytest.importorskip("mitsuba")
pytest.importorskip("pyoidn")
Shape = Callable[[Callable[[Floats, Floats], Floats]], Body]


@pytest.fixture
def _small(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tracing, "SIDE", 64)


def ball(x: Floats, y: Floats) -> Floats:
    return np.sqrt(np.clip(0.5 - x**2 - y**2, 0, None))


@pytest.fixture
def around() -> Room:
    return rooms.room(np.random.default_rng(4))


def off(part: Traced, truth: Traced, of: Callable[[Traced], Image]) -> float:
    """Root mean square of what light differs by from that traced with many samples, in ln units."""
    inner = truth.cover > 0.99
    few, many = (np.log(of(each)[inner] + 0.02) for each in (part, truth))
    return float(np.sqrt(np.mean((few - many) ** 2)))


@pytest.mark.usefixtures("_small")
def test_it_is_nearer_to_many_samples_than_few_were(shape: Shape, around: Room) -> None:
    part, truth = (traced(shape(ball), around, 0.3, samples, 1) for samples in (4, 256))
    smooth = denoised(part)
    for of in (lambda p: p.matt[0], lambda p: p.matt[3], lambda p: p.mirror[2, 0]):
        assert off(smooth, truth, of) < 0.6 * off(part, truth, of)


@pytest.mark.usefixtures("_small")
def test_it_keeps_how_much_light_there_is(shape: Shape, around: Room) -> None:
    part = traced(shape(ball), around, 0.3, 16, 1)
    smooth = denoised(part)
    assert smooth.matt.shape == part.matt.shape
    assert smooth.mirror.shape == part.mirror.shape
    for before, after in zip(part.matt, smooth.matt, strict=True):
        assert after.mean() == pytest.approx(before.mean(), rel=0.05)
    assert smooth.mirror[:, 0].mean() == pytest.approx(part.mirror[:, 0].mean(), rel=0.05)
    assert smooth.mirror[0, 1:].mean() < 1e-3 * smooth.mirror[0, 0].mean()  # a ball does not mirror itself


def test_what_is_smooth_stays_as_it_is() -> None:
    """An even light comes back as it was, in each channel its own; at the frame's edge the network is a little off."""
    side, inner = 64, (..., slice(8, -8), slice(8, -8))
    whole = np.ones((side, side), np.float32)
    up = np.stack([0 * whole, 0 * whole, whole])
    levels = np.array([0.2, 0.5, 1.0, 2.0, 0.1], np.float32)[:, None, None] * np.ones((1, side, side), np.float32)
    mirror = np.stack([levels, 0.3 * levels, 0.1 * levels], axis=1)
    smooth = denoised(Traced(mirror, levels, whole, up, whole, 0 * whole, 0.1))
    np.testing.assert_allclose(smooth.matt[inner], levels[inner], rtol=0.03)
    np.testing.assert_allclose(smooth.mirror[:, 0][inner], levels[inner], rtol=0.1)
