"""Turned or mirrored, a photo says the same: on the sample pictures, which are rendered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from idkit import see
from idkit.see.srgb import linear
from idkit.vocabulary import Mask, Part, Photo

SAMPLES = sorted((Path(__file__).parents[2] / "sample_images").glob("*.jpg"))
RATIOS = ("red_green", "blue_green")
MEASURED = [cue for cue in see.CUES if cue.judged or cue.name in RATIOS]
# How far a turn may move a cue, by unit: four standard errors of a percentile of the 6000 pixels that are kept; white's
# own come to half a CIELAB unit.
STEADY = {"CIELAB": 0.3, "L*": 1.0, "ln ratio": 0.04, "share": 0.04}
each_sample = pytest.mark.parametrize("path", SAMPLES, ids=[path.stem for path in SAMPLES])


def turn(picture: np.ndarray, quarters: int, mirrored: bool) -> np.ndarray:
    turned = np.rot90(picture, quarters)
    return np.ascontiguousarray(turned[:, ::-1] if mirrored else turned)


def turns(photo: Photo, mask: Mask) -> Iterator[tuple[Photo, Mask]]:
    """The photo and its part in all eight positions, as it is first."""
    for mirrored in (False, True):
        for quarters in range(4):
            encoded = turn(photo.encoded, quarters, mirrored)
            yield replace(photo, encoded=encoded, linear=linear(encoded, 1024)), turn(mask, quarters, mirrored)


def part_of(mask: Mask) -> Part:
    """That part of a picture no larger than 1024 pixels, where mask and photo are of one size."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    left, top = int(columns[0]), int(rows[0])
    return Part(mask, (left, top, int(columns[-1]) + 1 - left, int(rows[-1]) + 1 - top), 1.0, "turned")


def measured(photo: Photo, part: Part) -> dict[str, float]:
    patch = see.of_part(photo, part, see.white(photo, part))
    return {cue.name: cue.measure(patch).value for cue in MEASURED}


@each_sample
def test_a_turn_changes_no_judged_cue(path: Path) -> None:
    """The part turned along with the picture."""
    photo = see.read(path)
    found = see.find(photo)
    assert found is not None
    first, *others = [measured(turned, part_of(mask)) for turned, mask in turns(photo, found.mask)]
    for other in others:
        for cue in MEASURED:
            wanted = pytest.approx(first[cue.name], abs=STEADY[cue.unit], nan_ok=True)
            assert other[cue.name] == wanted, cue.name


@each_sample
def test_the_part_is_found_in_a_turned_picture(path: Path) -> None:
    """One outline in all eight positions, and its colour within 0.03."""
    photo = see.read(path)
    found = see.find(photo)
    assert found is not None
    first = measured(photo, found)
    for turned, mask in turns(photo, found.mask):
        again = see.find(turned)
        assert again is not None
        assert (again.mask & mask).sum() / (again.mask | mask).sum() > 0.95
        colour = measured(turned, again)
        for name in RATIOS:
            assert colour[name] == pytest.approx(first[name], abs=0.03)


@each_sample
def test_half_the_size_has_the_same_colour(path: Path) -> None:
    """As another phone, or the same one a step further back, takes it."""
    photo = see.read(path)
    height, width = photo.encoded.shape[:2]
    halves = photo.linear.reshape(height // 2, 2, width // 2, 2, 3).mean(axis=(1, 3))
    smaller = replace(photo, encoded=np.round(255 * halves ** (1 / 2.2)).astype(np.uint8), linear=halves)
    whole, half = see.find(photo), see.find(smaller)
    assert whole is not None
    assert half is not None
    one, two = measured(photo, whole), measured(smaller, half)
    for name in RATIOS:
        assert two[name] == pytest.approx(one[name], abs=0.03)
