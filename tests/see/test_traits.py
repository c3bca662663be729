"""What is measured of a region, a costly trait at a time: nothing is lost by stopping early."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from idkit import see
from idkit.see import scratch
from idkit.see.traits import WEIGHTS, chance, median, narrowing
from idkit.vocabulary import Floats, Mask

SAMPLES = Path(__file__).parents[2] / "sample_images"
FILED = SAMPLES / "angle-valve.jpg"


@pytest.mark.parametrize("file", [FILED, SAMPLES / "hinge.jpg", SAMPLES / "tap.jpg"], ids=lambda file: file.stem)
def test_what_is_found_is_the_likeliest_of_all(file: Path) -> None:
    """Measured to the end, none of the others is likelier than the one that was found by leaving them early."""
    photo = see.read(file)
    part = see.find(photo)
    assert part is not None
    image, inside = scratch.looked_at(photo, part)
    white = see.white(photo, part)
    every = list(scratch.regions(image, inside, white))
    found = scratch._likeliest(scratch._candidates(image, inside, white))
    most = max(chance(each.traits) for each in every)
    if most < scratch.LEAST:
        assert found is None
    else:
        assert found is not None
        assert chance(found.traits) == most
        assert found.traits in [each.traits for each in every]


def painted(spot: float) -> tuple[Floats, Mask]:
    """Planes of an even grey skin with some grain, a square that is redder by `spot`, and where that is."""
    mask = np.zeros((60, 80), bool)
    mask[20:36, 30:50] = True
    planes = np.random.default_rng(5).normal(0, 0.01, (3, 60, 80)) - np.array([1.0, 0, 0])[:, None, None]
    planes[1] += spot * mask
    return planes, mask


def test_the_chance_never_rises_as_more_is_measured() -> None:
    planes, mask = painted(0.3)
    rest = np.ascontiguousarray(planes[:, ::3, ::3].reshape(3, -1))
    told = list(narrowing(planes, mask, np.ones_like(mask), rest, mask.size))
    chances = [chance(each) for each in told]
    assert chances == sorted(chances, reverse=True)
    assert told[-1].keys() == WEIGHTS.keys()
    assert told[-1]["colour"] == pytest.approx(np.log(0.3 + 0.03), abs=0.02)
    assert told[-1]["shape"] == 1
    assert told[-1]["sharpness"] == pytest.approx(1, abs=0.05)


def test_nothing_is_told_of_a_spot_just_like_the_skin() -> None:
    planes, mask = painted(0.03)
    assert list(narrowing(planes, mask, np.ones_like(mask), planes.reshape(3, -1), mask.size)) == []


@pytest.mark.parametrize("count", [1, 2, 7, 8, 501])
def test_median_of_each_row(count: int) -> None:
    colours = np.random.default_rng(count).normal(size=(3, count))
    assert median(colours) == pytest.approx(np.median(colours, axis=1), abs=0)


def test_holes_are_filled_and_bays_are_not() -> None:
    drawn = np.array([list("#####"), list("#...#"), list("####."), list("..##."), list(".####")]) == "#"
    whole = drawn.copy()
    whole[1, 1:4] = True
    rows, columns = np.nonzero(drawn)
    assert (scratch._filled(np.stack([columns, rows], axis=1), 5, 5) == whole).all()
