"""Where the part is, against scenes whose truth is painted."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from idkit import see
from idkit.see.part import _cut, ground_of
from idkit.vocabulary import Mask

HEIGHT, WIDTH = 480, 640
Y, X = np.mgrid[:HEIGHT, :WIDTH]

# Linear sRGB of what lies there and of what it lies on, as a phone exposes them; from memory.
PARTS = {
    "brass": (0.45, 0.33, 0.12),
    "copper": (0.40, 0.20, 0.12),
    "grey": (0.30, 0.30, 0.30),
    "dark": (0.08, 0.08, 0.08),
}
PAPER = np.full((HEIGHT, WIDTH, 3), 0.75)


def speckled() -> np.ndarray:
    grains = np.exp(0.15 * np.random.default_rng(2).normal(size=(HEIGHT // 8, WIDTH // 8)))
    return 0.5 * np.kron(grains, np.ones((8, 8)))[..., None] * np.ones(3)


GROUNDS = {
    "paper": PAPER,
    "lit from one side": PAPER * (0.5 + 0.5 * X / WIDTH)[..., None],
    "wood": np.array((0.35, 0.22, 0.12)) * (1 + 0.15 * np.sin(Y / 6 + 3 * np.sin(X / 90)))[..., None],
    "terrazzo": speckled(),
}


def disc(y: int, x: int, radius: int) -> Mask:
    return (Y - y) ** 2 + (X - x) ** 2 < radius**2


PLACES = {
    "in the middle": disc(240, 320, 120),
    "small": disc(240, 320, 60),
    "up and left": disc(170, 230, 110),
    "down and right": disc(300, 460, 90),
    "a bar": (np.abs(Y - 240) < 90) & (np.abs(X - 320) < 200),
}


def lay(part: str, ground: np.ndarray, where: Mask) -> np.ndarray:
    noise = np.random.default_rng(1).normal(0, 0.01, ground.shape)
    return np.where(where[..., None], PARTS[part], ground) + noise


def overlap(one: Mask, two: Mask) -> float:
    """Intersection over union, 0 to 1."""
    return float((one & two).sum() / (one | two).sum())


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("part", PARTS)
def test_found_on_every_ground(paint, part: str, ground: str) -> None:
    where = PLACES["up and left"]
    found = see.find(paint(lay(part, GROUNDS[ground], where)))
    assert found is not None
    assert overlap(found.mask, where) > 0.9
    assert found.quality > 0.2


@pytest.mark.parametrize("place", PLACES)
def test_found_in_every_place(paint, place: str) -> None:
    found = see.find(paint(lay("brass", PAPER, PLACES[place])))
    assert found is not None
    assert overlap(found.mask, PLACES[place]) > 0.9


@pytest.mark.parametrize("part", ["brass", "copper", "dark"])
@pytest.mark.parametrize("width", [10, 20])
def test_a_soft_shadow_at_its_foot_is_ground(paint, part: str, width: int) -> None:
    """The light falls from the upper left; `width` is how softly the shadow fades, in pixels.

    Not grey: it is about as dark as the shadow here, so that no edge parts them.
    """
    where = PLACES["in the middle"]
    fallen = cv2.GaussianBlur(np.roll(where.astype(np.float64), (30, 30), axis=(0, 1)), (0, 0), width)
    found = see.find(paint(lay(part, PAPER * (1 - 0.5 * fallen)[..., None], where)))
    assert found is not None
    assert overlap(found.mask, where) > 0.9


def test_a_ring_keeps_its_hole(paint) -> None:
    where = disc(240, 320, 150) & ~disc(240, 320, 70)
    found = see.find(paint(lay("copper", PAPER, where)))
    assert found is not None
    assert overlap(found.mask, where) > 0.9


def test_the_one_nearest_the_middle_is_taken(paint) -> None:
    where = disc(240, 300, 90)
    found = see.find(paint(lay("brass", PAPER, where | disc(90, 560, 60))))
    assert found is not None
    assert overlap(found.mask, where) > 0.9


def test_the_box_is_in_pixels_of_the_photograph(paint) -> None:
    """2560 x 1920, looked at a good deal smaller; within a hundredth of the longer side."""
    light = np.full((1920, 2560, 3), 0.75)
    light[500:1400, 700:1900] = PARTS["brass"]
    photo = paint(light)
    found = see.find(photo)
    assert found is not None
    assert found.box == pytest.approx((700, 500, 1200, 900), abs=26)
    assert found.mask.shape == photo.linear.shape[:2]


@pytest.mark.parametrize(
    "light",
    [
        pytest.param(PAPER, id="paper"),
        pytest.param(PAPER + np.random.default_rng(4).normal(0, 0.01, PAPER.shape), id="paper with noise"),
        pytest.param(PAPER * 0.03, id="darkness"),
        pytest.param(np.ones_like(PAPER), id="blown out"),
        pytest.param(GROUNDS["lit from one side"], id="lit from one side"),
        pytest.param(
            PAPER * (1 - 0.6 * ((X / WIDTH - 0.5) ** 2 + (Y / HEIGHT - 0.5) ** 2))[..., None], id="lit in the middle"
        ),
    ],
)
def test_nothing_is_found_on_bare_even_ground(paint, light: np.ndarray) -> None:
    assert see.find(paint(light)) is None


def grain(cell: int, spread: float) -> np.ndarray:
    cells = np.random.default_rng(5).normal(size=(HEIGHT // cell, WIDTH // cell))
    return 0.3 * np.kron(np.exp(spread * cells), np.ones((cell, cell)))


@pytest.mark.parametrize(("cell", "spread"), [(2, 0.5), (4, 0.5), (8, 0.4), (16, 0.4)])
def test_a_part_that_fills_the_frame_is_the_whole_frame(paint, cell: int, spread: float) -> None:
    photo = paint(grain(cell, spread))
    found = see.find(photo)
    assert found is not None
    assert found.mask.mean() > 0.97
    assert found.quality == 0
    assert found.box == (0, 0, WIDTH, HEIGHT)


def test_the_whole_frame_on_request(paint) -> None:
    photo = paint(PAPER)
    whole = see.whole(photo)
    assert whole.mask.all()
    assert whole.mask.shape == photo.linear.shape[:2]
    assert whole.box == (0, 0, WIDTH, HEIGHT)


def test_the_ground_keeps_clear_of_the_part(paint) -> None:
    """By at least a hundredth of the frame: contact shadows lie there."""
    found = see.find(paint(lay("brass", PAPER, PLACES["in the middle"])))
    assert found is not None
    ground = ground_of(found)
    assert not (ground & disc(240, 320, 120 + WIDTH // 100)).any()
    assert ground[~disc(240, 320, 120 + WIDTH // 20)].all()


BENCHES = {
    "wood": GROUNDS["wood"],
    "concrete": speckled() * 0.5,
    "board": np.full((HEIGHT, WIDTH, 3), (0.05, 0.09, 0.07)),
}
SHEETS = {
    "straight": [(130, 90), (520, 90), (520, 390), (130, 390)],
    "turned": [(220, 60), (560, 180), (430, 430), (90, 300)],
    "at a slant": [(170, 100), (480, 100), (590, 400), (60, 400)],
}


def polygon(corners: list[tuple[int, int]]) -> Mask:
    return cv2.fillPoly(np.zeros((HEIGHT, WIDTH), np.uint8), [np.array(corners)], 1) > 0


@pytest.mark.parametrize("bench", BENCHES)
@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("part", PARTS)
def test_a_sheet_of_paper_under_a_part_is_ground(paint, part: str, sheet: str, bench: str) -> None:
    """All of the sheet is in view, on a bench that is darker, in light that falls off across it."""
    where = (np.abs(Y - 245) < 50) & (np.abs(X - 325) < 80)
    light = PAPER * (0.75 + 0.35 * X / WIDTH)[..., None]
    photo = paint(
        cv2.GaussianBlur(
            lay(part, np.where(polygon(SHEETS[sheet])[..., None], light, BENCHES[bench]), where), (0, 0), 1
        )
    )
    found = see.find(photo)
    assert found is not None
    assert overlap(found.mask, where) > 0.85
    assert see.white(photo, found).kind == "paper"


def test_a_part_may_stick_out_over_its_sheet(paint) -> None:
    where = (np.abs(Y - 200) < 35) & (np.abs(X - 325) < 230)
    photo = paint(lay("copper", np.where(polygon(SHEETS["straight"])[..., None], PAPER, BENCHES["board"]), where))
    found = see.find(photo)
    assert found is not None
    assert overlap(found.mask, where) > 0.8


@pytest.mark.parametrize("bench", BENCHES)
def test_a_bright_plate_with_holes_is_no_sheet(paint, bench: str) -> None:
    plate = polygon(SHEETS["straight"])
    for x in (200, 320, 440):
        for y in (150, 240, 330):
            plate &= ~disc(y, x, 22)
    found = see.find(paint(lay("grey", np.where(plate[..., None], PAPER, BENCHES[bench]), np.zeros_like(plate))))
    assert found is not None
    assert overlap(found.mask, plate) > 0.85


@pytest.mark.parametrize("shape", ["a disc", "a strip"])
def test_what_is_no_sheet_stays_the_part(paint, shape: str) -> None:
    """A bright lid with a knob, a bright bar with a dark label: round, or too long for paper."""
    whole = disc(240, 320, 150) if shape == "a disc" else polygon([(40, 190), (600, 190), (600, 290), (40, 290)])
    where = disc(240, 320, 35)
    found = see.find(paint(lay("dark", np.where(whole[..., None], PAPER, BENCHES["board"]), where)))
    assert found is not None
    assert overlap(found.mask, whole) > 0.85


@pytest.mark.parametrize("shape", [(1, 1), (2, 40), (40, 2), (12, 12)])
def test_tiny_pictures_do_no_harm(paint, shape: tuple[int, int]) -> None:
    photo = paint(np.random.default_rng(6).random((*shape, 3)))
    found = see.find(photo)
    assert found is None or found.mask.shape == shape


def test_ground_seen_through_a_ring_is_no_part(paint) -> None:
    """A little yellower than the ground outside, from the light that the ring throws back."""
    ring, hole = disc(240, 320, 150), disc(240, 320, 90)
    turned = 0.6 + 0.5 * np.exp(-(((np.hypot(Y - 240, X - 320) - 115) / 18) ** 2))
    light = np.where(hole[..., None], PAPER * np.array([1.0, 0.985, 0.95]), PAPER)
    where = ring & ~hole
    light = np.where(where[..., None], np.array(PARTS["brass"]) * turned[..., None], light)
    found = see.find(paint(light + np.random.default_rng(5).normal(0, 0.01, light.shape)))
    assert found is not None
    assert overlap(found.mask, where) > 0.85


@pytest.mark.parametrize("bright", [0.6, 0.8])
def test_a_bright_face_at_the_edge_of_a_part_is_no_hole(paint, bright: float) -> None:
    block = PLACES["a bar"]
    face = block & (X > 380)
    light = np.where(block[..., None], 0.2, PAPER) + 0 * X[..., None]
    light = np.where(face[..., None], bright * PAPER / 0.75, light)
    found = see.find(paint(light + np.random.default_rng(6).normal(0, 0.01, light.shape)))
    assert found is not None
    assert found.mask[block & ~face].mean() > 0.9


@pytest.mark.parametrize(
    ("least", "falls", "bench"), [(0.15, 200, 120), (0.25, 200, 40), (0.35, 60, 80), (0.5, 120, 120)]
)
def test_paper_under_light_that_falls_off_is_ground_to_its_far_end(paint, least: float, falls: int, bench: int) -> None:
    """A sheet cut off by the frame, on a bench, with a window at one side; `falls` in pixels."""
    fall = (least + (1 - least) * np.exp(-Y / falls))[..., None]
    light = np.where((bench > Y)[..., None], np.array((0.05, 0.055, 0.05)), 0.9 * fall)
    bar = (np.abs(X - 320) < 40) & (bench + 20 < Y) & (Y < 430)
    light = np.where(bar[..., None], np.array((0.05, 0.08, 0.30)) * (0.6 + 0.8 * (X < 320))[..., None], light)
    found = see.find(paint(light + np.random.default_rng(7).normal(0, 0.01, light.shape)))
    assert found is not None
    assert overlap(found.mask, bar) > 0.85


@pytest.mark.parametrize("label", [cv2.GC_PR_FGD, cv2.GC_FGD, cv2.GC_PR_BGD, cv2.GC_BGD])
def test_where_all_of_it_or_nothing_was_guessed_to_be_part_that_stands(label: int) -> None:
    """A graph cut needs colours of both sides; without them it stops with an error of its own."""
    seeds = np.full((60, 80), label, np.uint8)
    lab = np.random.default_rng(1).normal(50, 5, (60, 80, 3)).astype(np.float32)
    assert (_cut(lab, seeds) == (label in (cv2.GC_FGD, cv2.GC_PR_FGD))).all()
