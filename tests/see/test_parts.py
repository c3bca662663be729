"""Each of several parts, against scenes whose truth is painted, and against counts by eye."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit import see
from idkit.see import parting
from idkit.see.srgb import linear, linear_to_srgb
from idkit.vocabulary import Mask, Part

HEIGHT, WIDTH = 720, 960
Y, X = np.mgrid[:HEIGHT, :WIDTH].astype(np.float64)
SAMPLES = Path(__file__).parents[2] / "sample_images"
COUNTS = Path(__file__).parents[1] / "reference" / "parts_by_eye.csv"

# Linear sRGB as a phone exposes them; from memory.
METALS = [(0.45, 0.33, 0.12), (0.40, 0.20, 0.12), (0.25, 0.25, 0.26), (0.08, 0.08, 0.08)]
PAPER = np.full((HEIGHT, WIDTH, 3), 0.75)


def grained(colour: tuple[float, float, float], depth: float) -> np.ndarray:
    return np.array(colour) * (1 + depth * np.sin(Y / 7 + 3 * np.sin(X / 120)))[..., None]


GROUNDS = {
    "paper": PAPER,
    "lit from one corner": PAPER * (0.45 + 0.3 * X / WIDTH + 0.25 * Y / HEIGHT)[..., None],
    "lit in the middle": PAPER * (1 - 0.6 * ((X / WIDTH - 0.5) ** 2 + (Y / HEIGHT - 0.5) ** 2))[..., None],
    "pale wood": grained((0.62, 0.47, 0.30), 0.06),
    "slate": np.full((HEIGHT, WIDTH, 3), 0.03) * (0.6 + 0.8 * X / WIDTH)[..., None],
}


def disc(x: float, y: float, radius: float) -> Mask:
    return (Y - y) ** 2 + (X - x) ** 2 < radius**2


def bar(x: float, y: float, width: float, height: float) -> Mask:
    return (abs(X - x) < width / 2) & (abs(Y - y) < height / 2)


def ring(x: float, y: float, radius: float) -> Mask:
    return disc(x, y, radius) & ~disc(x, y, 0.55 * radius)


def corner(x: float, y: float, size: float) -> Mask:
    return bar(x, y, size, size) & ~bar(x + size / 6, y - size / 6, 2 * size / 3, 2 * size / 3)


# In reading order.
SCENES: dict[str, list[Mask]] = {
    "one": [disc(480, 360, 120)],
    "discs": [disc(x, y, 55) for y in (150, 360, 570) for x in (160, 370, 590, 800)],
    "different things": [ring(180, 180, 90), bar(480, 180, 220, 70), corner(780, 190, 160),
                         disc(200, 520, 100), bar(500, 530, 60, 260), corner(770, 540, 220)],
    "different sizes": [disc(220, 200, 120), disc(560, 180, 60), disc(800, 190, 30),
                        disc(200, 560, 30), bar(520, 540, 240, 180), disc(800, 550, 70)],
    "a touching pair": [disc(380, 360, 80), disc(540, 360, 80)],
    "a touching large and small": [disc(360, 360, 100), disc(510, 360, 50)],
    "a touching chain": [disc(x, 360, 60) for x in (180, 300, 420, 540, 660, 780)],
    "a touching triangle": [disc(480, 250, 75), disc(405, 380, 75), disc(555, 380, 75)],
}  # fmt: skip


def lay(ground: np.ndarray, parts: list[Mask], shadow: float = 0.0) -> np.ndarray:
    """Parts of different metals on a ground; `shadow` is the share of light that a soft shadow to the right takes."""
    light = ground.copy()
    if shadow:
        fallen = np.roll(np.any(parts, axis=0).astype(np.float32), (8, 8), axis=(0, 1))
        light *= 1 - shadow * cv2.GaussianBlur(fallen, (0, 0), 9)[..., None].astype(np.float64)
    for number, part in enumerate(parts):
        light[part] = METALS[number % 3 if ground.mean() > 0.1 else number % 2]
    return np.asarray(cv2.GaussianBlur(light, (0, 0), 0.8)) + np.random.default_rng(1).normal(0, 0.006, light.shape)


def overlap(one: Mask, two: Mask) -> float:
    return float((one & two).sum() / (one | two).sum())


def box_of(mask: Mask) -> tuple[int, int, int, int]:
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return int(columns[0]), int(rows[0]), int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1


def check(found: tuple[Part, ...], truth: list[Mask], least: float = 0.85) -> None:
    assert len(found) == len(truth)
    for part, mask in zip(found, truth, strict=True):
        assert overlap(part.mask, mask) > least
        assert part.box == pytest.approx(box_of(mask), abs=10)
        assert 0.2 < part.quality <= 1


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("scene", SCENES)
def test_every_part_is_found_in_reading_order(paint, scene: str, ground: str) -> None:
    check(see.find_each(paint(lay(GROUNDS[ground], SCENES[scene]))), SCENES[scene])


@pytest.mark.parametrize("scene", ["one", "discs", "different things"])
def test_soft_shadows_are_no_parts(paint, scene: str) -> None:
    check(see.find_each(paint(lay(PAPER, SCENES[scene], shadow=0.45))), SCENES[scene], least=0.75)


def test_a_shadow_with_nothing_in_it_is_no_part(paint) -> None:
    fallen = cv2.GaussianBlur(disc(480, 640, 160).astype(np.float64), (0, 0), 25)
    light = PAPER * (1 - 0.6 * fallen)[..., None]
    check(see.find_each(paint(lay(light, SCENES["one"]))), SCENES["one"])


def test_dust_is_no_part(paint) -> None:
    specks = np.random.default_rng(3).integers((20, 20), (WIDTH - 20, HEIGHT - 20), (60, 2))
    light = lay(PAPER, SCENES["discs"])
    for x, y in specks:
        light[disc(float(x), float(y), 3)] = 0.1
    assert len(see.find_each(paint(light))) == 12


@pytest.mark.parametrize(
    ("cut", "counted"),
    [
        pytest.param(disc(-20, 360, 100), False, id="a disc with 4 tenths in view"),
        pytest.param(disc(40, 360, 100), True, id="a disc with 7 tenths in view"),
        pytest.param(bar(480, 0, WIDTH, 80), False, id="a strip of bench"),
        pytest.param(bar(480, 20, 60, 400), True, id="a bar that reaches far in"),
        pytest.param(bar(480, 0, 200, 80), False, id="the end of something wide"),
    ],
)
def test_what_the_frame_cuts_counts_where_most_seems_in_view(paint, cut: Mask, counted: bool) -> None:
    whole = disc(700, 500, 90)
    found = see.find_each(paint(lay(PAPER, [cut, whole])))
    assert len(found) == 1 + counted
    assert max(overlap(part.mask, whole) for part in found) > 0.85


def test_a_ring_keeps_its_hole_and_what_lies_in_it_is_a_part(paint) -> None:
    truth = [disc(480, 360, 200) & ~disc(480, 360, 140), disc(480, 360, 60)]
    found = see.find_each(paint(lay(PAPER, truth)))
    assert len(found) == 2
    for mask in truth:
        assert max(overlap(part.mask, mask) for part in found) > 0.85


@pytest.mark.parametrize("ground", GROUNDS)
def test_nothing_is_found_on_bare_ground(paint, ground: str) -> None:
    assert see.find_each(paint(lay(GROUNDS[ground], []))) == ()


@pytest.mark.parametrize("shape", [(1, 1), (2, 40), (40, 2), (12, 12)])
def test_tiny_pictures_do_no_harm(paint, shape: tuple[int, int]) -> None:
    for part in see.find_each(paint(np.random.default_rng(6).random((*shape, 3)))):
        assert part.mask.shape == shape


def test_the_ground_of_all_parts_holds_none_of_them(paint) -> None:
    """Else metal is taken for white."""
    photo = paint(lay(PAPER, SCENES["discs"]))
    white = see.white(photo, see.together(see.find_each(photo)))
    assert white.kind == "paper"
    assert white.luminance == pytest.approx(0.75, abs=0.02)


# Beside the one that was taken ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("scene", "count"), [("one", 1), ("discs", 12), ("a touching triangle", 1)])
def test_only_what_is_certain_is_said_of_others(paint, scene: str, count: int) -> None:
    """Three that touch may be one part of three lobes."""
    photo = paint(lay(PAPER, SCENES[scene]))
    part = see.find(photo)
    assert part is not None
    assert see.among(photo, part)[1] == count


@pytest.mark.parametrize("shadow", [0.0, 0.45])
@pytest.mark.parametrize("ground", [name for name in GROUNDS if name != "lit in the middle"])
@pytest.mark.parametrize("scene", ["two", "a pair and two", "different things"])
def test_parts_that_lie_apart_are_said(paint, scene: str, ground: str, shadow: float) -> None:
    """Whatever `find` makes of them: one, several as one, or none. Where the frame is dark all around, it may take
    ground and parts together for one, and nothing is said."""
    apart = {
        "two": [disc(300, 340, 130), bar(700, 380, 240, 180)],
        "a pair and two": [disc(300, 200, 80), disc(460, 200, 80), bar(700, 500, 220, 120), disc(250, 540, 90)],
        "different things": SCENES["different things"],
    }
    photo = paint(lay(GROUNDS[ground], apart[scene], shadow=shadow))
    taken, count = see.among(photo, see.find(photo))
    assert 2 <= count <= len(apart[scene])
    assert taken is not None


@pytest.mark.parametrize("stops", [1, 2, 3, 4])
@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.jpg")), ids=lambda path: path.stem)
def test_one_part_that_is_blown_out_is_not_several(path: Path, stops: int) -> None:
    photo = see.read(path)
    codes = np.round(255 * linear_to_srgb(photo.linear.astype(np.float64) * 2.0**stops)).astype(np.uint8)
    blown = replace(photo, encoded=codes, linear=linear(codes, 1024))
    assert see.among(blown, see.find(blown))[1] == 1


BENCHES = {"wood": (0.30, 0.17, 0.08), "concrete": (0.22, 0.22, 0.21), "board": (0.05, 0.09, 0.07)}
SHEETS = {
    "straight": [(180, 90), (860, 90), (860, 680), (180, 680)],
    "turned": [(330, 50), (930, 260), (690, 730), (90, 520)],
    "at a slant": [(250, 120), (790, 120), (940, 700), (100, 700)],
}


def on_sheet(bench: str, sheet: str, things: list[Mask]) -> np.ndarray:
    paper = cv2.fillPoly(np.zeros((HEIGHT, WIDTH), np.uint8), [np.array(SHEETS[sheet])], 1) > 0
    return lay(np.where(paper[..., None], PAPER, BENCHES[bench]), things)


@pytest.mark.parametrize("bench", BENCHES)
@pytest.mark.parametrize("sheet", SHEETS)
def test_parts_on_a_sheet_of_paper_are_told_apart(paint, sheet: str, bench: str) -> None:
    """The sheet lies on a bench, all of it in view; it is no part, and what lies on it are parts."""
    photo = paint(
        cv2.GaussianBlur(
            on_sheet(bench, sheet, [disc(400, 300, 60), disc(640, 470, 70), disc(390, 490, 50)]), (0, 0), 1.5
        )
    )
    assert sorted(part.box[2] for part in see.find_each(photo)) == pytest.approx([100, 120, 140], abs=4)
    assert see.among(photo, see.find(photo))[1] == 3


@pytest.mark.parametrize("bench", BENCHES)
def test_what_lies_beside_the_sheet_is_not_meant(paint, bench: str) -> None:
    photo = paint(on_sheet(bench, "turned", [disc(500, 390, 90), disc(90, 90, 70), disc(940, 90, 70)]))
    part = see.find(photo)
    assert part is not None
    assert see.among(photo, part)[1] == 1
    assert [each.box[2] for each in see.find_each(photo)] == [pytest.approx(180, abs=6)]


def test_neighbours_that_the_frame_cuts_are_not_meant(paint) -> None:
    photo = paint(lay(PAPER, [disc(480, 360, 150), disc(20, 100, 120), disc(950, 650, 120)]))
    part = see.find(photo)
    assert part is not None
    assert see.among(photo, part)[1] == 1


def test_rendered_parts_alone_are_one_each() -> None:
    """On paper, wood and concrete, some with bench in view, some as grey as what they lie on."""
    assert [len(see.find_each(see.read(path))) for path in sorted(SAMPLES.glob("*.jpg"))] == [1] * 10


# Photographs ----------------------------------------------------------------------------------------------------------


def by_eye() -> dict[str, int]:
    lines = [line for line in COUNTS.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return {row["file"]: int(row["parts"]) for row in csv.DictReader(lines)}


def test_photographs_are_counted_within_one_on_four_of_five(real_photos: Path) -> None:
    """Counted by eye twice, the second time against numbered outlines; the frame's edge cuts no coin of them."""
    off = [
        abs(len(see.find_each(see.read(real_photos / "full-size" / file))) - count) for file, count in by_eye().items()
    ]
    assert sum(each <= 1 for each in off) >= 4


def test_one_coin_is_not_said_to_be_several(real_photos: Path) -> None:
    """Neighbours peek in at the edges of many; every sixteenth, for speed."""
    for path in sorted((real_photos / "coins").glob("*.jpg"))[::16]:
        photo = see.read(path)
        part = see.find(photo)
        assert part is None or see.among(photo, part)[1] == 1


@pytest.mark.parametrize("gap", [16, 32])
def test_a_gap_between_two_parts_is_no_part(paint, gap: int) -> None:
    """Two bars of copper side by side: the outline of one does not close over the paper between them."""
    light = np.full((768, 1024, 3), 0.7)
    upper, lower = slice(384 - gap // 2 - 150, 384 - gap // 2), slice(384 + gap // 2, 384 + gap // 2 + 150)
    for rows in (upper, lower):
        light[rows, 300:724] = (0.45, 0.2, 0.12)
    photo = paint(cv2.GaussianBlur(light, (0, 0), 1.5))
    found = see.find(photo)
    assert found is not None
    assert found.mask[384, 320:700].mean() < 0.5
    assert see.among(photo, found)[1] == 2


@pytest.fixture
def _one_thread() -> Iterator[None]:
    before = cv2.getNumThreads()
    cv2.setNumThreads(1)
    yield
    cv2.setNumThreads(before)


@pytest.mark.usefixtures("_one_thread")
def test_distances_are_the_same_wherever_a_picture_lies_in_memory() -> None:
    """Roots of whole numbers, on which a watershed hangs to the last bit; with one thread, as a folder is tagged."""
    noise = np.random.default_rng(3).random((301, 403)).astype(np.float32)
    mask = (cv2.GaussianBlur(noise, (0, 0), 12) > 0.5).astype(np.uint8)
    held = [(np.empty(number * 4099, np.uint8), parting._depth(mask.copy())) for number in range(1, 40)]
    for _, depth in held:
        np.testing.assert_array_equal(depth, np.sqrt(np.rint(depth * depth)))
    assert len({depth.tobytes() for _, depth in held}) == 1
