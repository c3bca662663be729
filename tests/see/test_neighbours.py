"""Parts that touch the one that is meant and go on past the frame are not part of it, nor ground."""

from __future__ import annotations

import numpy as np
import pytest

from idkit import see
from idkit.see.neighbours import alone
from idkit.see.part import ground_of
from idkit.vocabulary import Mask

SIZE = (132, 176)
Y, X = np.mgrid[: SIZE[0], : SIZE[1]]
COIN = np.hypot(Y - 66, X - 88) < 40
PAPER, COPPER = np.full(3, 0.7), np.array((0.45, 0.22, 0.12))


def disc(y: float, x: float, radius: float) -> Mask:
    return np.asarray(np.hypot(Y - y, X - x) < radius)


def overlap(one: Mask, two: Mask) -> float:
    return float((one & two).sum() / (one | two).sum())


@pytest.mark.parametrize("turned", range(4))
@pytest.mark.parametrize(
    "beside",
    [disc(66, 160, 34), disc(66, 170, 42), disc(2, 45, 40), disc(140, 88, 36)],
    ids=["half", "less", "corner", "below"],
)
def test_a_touching_neighbour_that_the_frame_cuts_is_left_out(beside: Mask, turned: int) -> None:
    mask = np.rot90(COIN | beside, turned)
    assert overlap(alone(mask), np.rot90(COIN, turned)) > 0.97


def test_neighbours_all_round_are_left_out() -> None:
    around = disc(66, 5, 44) | disc(66, 171, 44) | disc(-20, 88, 47) | disc(152, 88, 47)
    assert overlap(alone(COIN | around), COIN) > 0.97


@pytest.mark.parametrize(
    "own",
    [
        (np.abs(Y - 66) < 12) & (X > 88),  # a pipe that leaves the frame
        (np.abs(Y - 66) < 40) & (X > 60),  # a block that the frame cuts
        disc(66, 140, 30),  # a dumb-bell, all of it in view
    ],
    ids=["pipe", "block", "dumb-bell"],
)
def test_what_reaches_out_without_a_neck_or_is_all_in_view_stays(own: Mask) -> None:
    assert (alone(COIN | own) == (COIN | own)).all()


@pytest.mark.parametrize(
    "mask",
    [np.zeros(SIZE, bool), np.ones(SIZE, bool), (Y == 40) & (X > 90), (X < 1) | (Y > 130), (X + Y) % 7 == 0],
    ids=["nothing", "all", "a hair", "the edge", "stripes"],
)
def test_slivers_and_whole_frames_stay_as_they_are(mask: Mask) -> None:
    assert (alone(mask) == mask).all()


def test_what_touches_is_neither_part_nor_ground(paint) -> None:
    """Three discs of copper in a row, two of them cut by the frame: one is the part; white comes from paper alone."""
    beside = disc(66, 5, 46) | disc(66, 171, 46)
    light = np.where((COIN | beside)[..., None], COPPER, PAPER)
    light = np.kron(light, np.ones((4, 4, 1))) * np.random.default_rng(1).normal(1, 0.02, (4 * SIZE[0], 4 * SIZE[1], 1))
    photo = paint(light)
    part = see.find(photo)
    assert part is not None
    assert overlap(part.mask, np.kron(COIN, np.ones((4, 4))) > 0) > 0.93
    assert photo.linear[ground_of(part)].min() > 0.5
    assert abs(see.white(photo, part).blue_green) < 0.01
