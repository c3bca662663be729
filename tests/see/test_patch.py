"""The pixels that a cue may read."""

from __future__ import annotations

import numpy as np
import pytest

from idkit import see
from idkit.errors import CallError
from idkit.see.patch import TILE, mask_of_box
from idkit.vocabulary import Part, Patch, Photo, White

WHITE = White("paper", 0.0, 0.0, 0.0, np.array([[0.0, 0.0, 1.0]]), 1.0)
BODY = np.array((0.40, 0.20, 0.12))


def of_box(photo: Photo, box: tuple[int, int, int, int], white: White) -> Patch:
    """What is in a box, whatever the part."""
    return see.of_mask(photo, mask_of_box(photo, box), box, white)


def test_clipped_and_shadowed_pixels_are_left_out(paint) -> None:
    """Half of it is body, a quarter clipped, an eighth black and an eighth in shadow, under 0.12 of it."""
    light = np.tile(BODY, (80, 80, 1))
    light[:20] = 1.0
    light[20:30] = 0.0
    light[30:40] = BODY * 0.08
    photo = paint(light)
    patch = see.of_part(photo, see.whole(photo), WHITE)
    assert patch.used == pytest.approx(0.5)
    assert patch.colours == pytest.approx(np.tile(BODY, (3200, 1)), abs=0.005)


def test_one_clipped_channel_is_enough(paint) -> None:
    photo = paint(np.tile((0.99, 0.5, 0.3), (40, 40, 1)))
    patch = see.of_part(photo, see.whole(photo), WHITE)
    assert patch.used == 0
    assert patch.colours.shape == (0, 3)


def test_the_outline_is_left_out(paint) -> None:
    """A rim of two pixels, where colours of part and ground mix."""
    y, x = np.mgrid[:240, :320]
    distance = np.hypot(y - 120, x - 160)
    light = np.where((distance < 78)[..., None], BODY, 0.7)
    light[(distance >= 78) & (distance < 80)] = (0.55, 0.5, 0.45)
    part = Part(distance < 80, (80, 40, 160, 160), 1.0, "painted")
    assert see.of_part(paint(light), part, WHITE).colours.max(axis=0) == pytest.approx(BODY, abs=0.01)


def test_the_tile_has_one_size_and_is_relative_to_the_part(paint) -> None:
    light = np.full((600, 900, 3), 0.8)
    light[100:400, 200:712] = BODY
    light[100:200, 200:712] = BODY / 2
    mask = np.zeros((600, 900), bool)
    mask[100:400, 200:600] = True
    patch = see.of_part(paint(light), Part(mask, (200, 100, 512, 300), 1.0, "painted"), WHITE)
    assert patch.tile.shape == (150, TILE)
    assert patch.detail == pytest.approx(2)
    assert np.nanmedian(patch.tile) == pytest.approx(1)
    assert np.nanmedian(patch.tile[15:40, 20:180]) == pytest.approx(0.5, abs=0.02)
    assert np.isnan(patch.tile[:, 210:]).all()
    assert np.array_equal(np.isnan(patch.tile), np.isnan(patch.tile_colours).any(axis=2))


def test_a_small_part_is_not_enlarged(paint) -> None:
    photo = paint(np.tile(BODY, (60, 128, 1)))
    patch = see.of_part(photo, see.whole(photo), WHITE)
    assert patch.detail == pytest.approx(0.5)
    assert patch.tile.shape == (60, 128)


def test_a_box_is_in_pixels_of_the_photograph(paint) -> None:
    """2048 pixels wide, so the working image is half as large."""
    light = np.full((1024, 2048, 3), 0.5)
    light[300:500, 700:1000] = BODY
    patch = of_box(paint(light), (700, 300, 300, 200), WHITE)
    assert patch.colours.min(axis=0) == pytest.approx(patch.colours.max(axis=0))
    assert patch.colours[0] == pytest.approx(BODY, abs=0.005)
    assert patch.used == 1


@pytest.mark.parametrize("box", [(0, 0, 1, 1), (799, 599, 1, 1), (0, 0, 800, 600), (790, 0, 10, 600)])
def test_a_box_may_touch_the_edge(paint, box: tuple[int, int, int, int]) -> None:
    assert of_box(paint(np.tile(BODY, (600, 800, 1))), box, WHITE).used == 1


@pytest.mark.parametrize(
    "box", [(700, 0, 101, 10), (0, 590, 10, 11), (-1, 0, 10, 10), (0, -1, 10, 10), (5, 5, 0, 10), (5, 5, 10, -1)]
)
def test_a_box_off_the_picture_is_refused_with_the_pictures_size(paint, box: tuple[int, int, int, int]) -> None:
    photo = paint(np.tile(BODY, (600, 800, 1)))
    typed = ",".join(map(str, box))
    with pytest.raises(CallError, match=f"--scratch: got {typed}.*800 x 600"):
        of_box(photo, box, WHITE)
