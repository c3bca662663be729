"""The printed card: what is drawn, and what is read from it in painted photos of known light, pose and size."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import cv2
import numpy as np
import pytest

from idkit import see
from idkit.errors import CallError
from idkit.see.card import layout, raster
from idkit.see.card.finding import at
from idkit.see.cielab import cielab
from idkit.see.srgb import srgb_to_linear
from idkit.vocabulary import Card, Part, Photo

Paint = Callable[..., Photo]
SCALE = 6  # pixels to the mm of the painted page
POINT = 25.4 / 72  # mm
OCHRE, GREY = (0.45, 0.3, 0.1), (0.3, 0.3, 0.3)  # linear reflectances
PAPER = 0.87
ORANGE_LIGHT = (1.25, 1.0, 0.62)


Looked = tuple[Photo, Card, Part]


@dataclass(frozen=True)
class Shot:
    """A painted photo: a bar of `bar` mm lies `turn`ed on the card, the phone is tilted and rolled (degrees)."""

    paper: str = "a4"
    tilt: float = 0.0
    roll: float = 0.0
    bar: tuple[float, float] | None = (110.0, 24.0)
    middle: tuple[float, float] = (116.0, 148.0)
    turn: float = 25.0
    colour: tuple[float, float, float] = OCHRE
    light: tuple[float, float, float] = (1.0, 1.0, 1.0)
    shade: Callable[[np.ndarray, np.ndarray], np.ndarray] | None = None
    rags: tuple[tuple[int, int, int, int], ...] = ()  # mm on the card: what hides it
    more: tuple[tuple[float, float, float], ...] = ()  # x, y in mm and turn of more bars, 60 x 18 mm
    size: tuple[int, int] = (1400, 1050)


def shoot(shot: Shot, paint: Paint) -> Photo:
    """The painted photo."""
    return paint(light_of(shot))


@cache
def light_of(shot: Shot) -> np.ndarray:
    """Paint the page, lay things on it, look at it through a pinhole, light it."""
    page = srgb_to_linear(raster(shot.paper, SCALE) / 255.0)[..., None] * np.full(3, PAPER)
    if shot.bar is not None:
        corners = cv2.boxPoints((shot.middle, shot.bar, shot.turn)) * SCALE - 0.5
        cv2.fillPoly(page, [np.round(corners * 16).astype(np.int32)], shot.colour, cv2.LINE_AA, 4)
    for x, y, turn in shot.more:
        corners = cv2.boxPoints(((x, y), (60, 18), turn)) * SCALE - 0.5
        cv2.fillPoly(page, [np.round(corners * 16).astype(np.int32)], shot.colour, cv2.LINE_AA, 4)
    for x, y, width, height in shot.rags:
        page[y * SCALE : (y + height) * SCALE, x * SCALE : (x + width) * SCALE] = (0.4, 0.22, 0.15)
    width, height = shot.size
    to_photo = pinhole(shot) @ np.array([[1 / SCALE, 0, 0.5 / SCALE], [0, 1 / SCALE, 0.5 / SCALE], [0, 0, 1]])
    finer = np.array([[2, 0, 0.5], [0, 2, 0.5], [0, 0, 1]]) @ to_photo
    seen = cv2.warpPerspective(np.dstack([page, np.ones(page.shape[:2])]), finer, (2 * width, 2 * height))
    bench = np.array([0.2, 0.13, 0.08])
    scene = cv2.resize(seen[..., :3] + (1 - seen[..., 3:]) * bench, shot.size, interpolation=cv2.INTER_AREA)
    y, x = np.mgrid[0 : 1 : height * 1j, 0 : 1 : width * 1j]
    shade = shot.shade(x, y) if shot.shade else np.ones_like(x)
    noise = np.random.default_rng(1).normal(0, 0.003, scene.shape)
    return np.asarray(scene * shade[..., None] * 0.8 * np.array(shot.light) / max(shot.light) + noise)


@pytest.fixture(scope="module")
def look() -> Callable[[Shot, Paint], Looked]:
    """Photo, card and part of a shot; each shot is looked at once."""
    known: dict[Shot, Looked] = {}

    def once(shot: Shot, paint: Paint) -> Looked:
        if shot not in known:
            photo = shoot(shot, paint)
            card = see.find_card(photo)
            assert card is not None
            part = see.find_on_card(photo, card)
            assert part is not None
            known[shot] = photo, card, part
        return known[shot]

    return once


def pinhole(shot: Shot) -> np.ndarray:
    """From mm on the card to pixels."""
    width, height = shot.size
    card = layout(shot.paper)
    tilt, roll = np.radians([shot.tilt, shot.roll])
    about_x = np.array([[1, 0, 0], [0, np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), np.cos(tilt)]])
    about_z = np.array([[np.cos(roll), -np.sin(roll), 0], [np.sin(roll), np.cos(roll), 0], [0, 0, 1]])
    turned = about_x @ about_z
    focal = 1.1 * width
    away = turned @ [-card.width / 2, -card.height / 2, 0] + [0, 0, 1.35 * focal * card.height / height]
    lens = np.array([[focal, 0, (width - 1) / 2], [0, focal, (height - 1) / 2], [0, 0, 1]])
    return lens @ np.column_stack([turned[:, 0], turned[:, 1], away])


# Drawn ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "width", "height"), [("a4", 595.28, 841.89), ("letter", 612, 792)])
def test_the_page_is_the_papers_size_in_points(paper: str, width: float, height: float) -> None:
    page = see.card_pdf(paper).decode("ascii")
    box = re.search(r"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", page)
    assert box is not None
    assert (float(box[1]), float(box[2])) == pytest.approx((width, height), abs=0.01)


@pytest.mark.parametrize("paper", see.PAPERS)
def test_every_object_of_the_pdf_is_where_its_table_says(paper: str) -> None:
    """ISO 32000-1, 7.5.4: the byte offset of each object, and of the table itself."""
    data = see.card_pdf(paper)
    table = int(data.rsplit(b"startxref\n", 1)[1].split()[0])
    assert data[table : table + 4] == b"xref"
    places = re.findall(rb"(\d{10}) 00000 n ", data[table:])
    assert len(places) == 5
    for number, place in enumerate(places, start=1):
        assert data[int(place) :].startswith(b"%d 0 obj\n" % number)
    stream = re.search(rb"/Length (\d+) >>\nstream\n", data)
    assert stream is not None
    assert data[stream.end() + int(stream[1]) :].startswith(b"\nendstream")


@pytest.mark.parametrize("paper", see.PAPERS)
def test_what_the_pdf_fills_stays_on_the_page_and_the_marker_is_28_mm(paper: str) -> None:
    width, height = see.PAPERS[paper]
    line = re.compile(r"^[\d.]+ g ([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+) re f$", re.MULTILINE)
    filled = line.findall(see.card_pdf(paper).decode("ascii"))
    boxes = np.array(filled, float) * POINT
    assert (boxes[:, :2] > 5).all()  # most printers leave 4 mm white
    assert (boxes[:, 0] + boxes[:, 2] < width - 5).all()
    assert (boxes[:, 1] + boxes[:, 3] < height - 5).all()
    squares = boxes[np.isclose(boxes[:, 2], 28, atol=0.01) & np.isclose(boxes[:, 3], 28, atol=0.01)]
    assert len(squares) == 4


@pytest.mark.parametrize("paper", see.PAPERS)
def test_the_ruler_is_100_mm_long_and_has_a_tick_a_mm(paper: str) -> None:
    scale = 20
    x, y, length = layout(paper).ruler
    row = raster(paper, scale)[round((y - 2) * scale), round((x - 2) * scale) : round((x + length + 2) * scale)]
    starts = np.flatnonzero((row[1:] < 128) & (row[:-1] >= 128))
    assert len(starts) == 101
    assert (starts[-1] - starts[0]) / scale == pytest.approx(100, abs=0.05)
    assert np.diff(starts) == pytest.approx(scale, abs=1)
    inches = raster(paper, scale)[round((y + 5.5) * scale), round((x - 2) * scale) : round((x + length + 2) * scale)]
    starts = np.flatnonzero((inches[1:] < 128) & (inches[:-1] >= 128))
    assert np.diff(starts) == pytest.approx(25.4 * scale, abs=1)


def test_a_paper_there_is_no_card_for_is_refused_with_those_there_are() -> None:
    with pytest.raises(CallError, match=r"got 'a5'; right is a4 or letter"):
        see.card_pdf("a5")


# Found ----------------------------------------------------------------------------------------------------------------

POSES = {
    "flat": Shot(),
    "letter": Shot(paper="letter", middle=(118.0, 138.0)),
    "tilted 30": Shot(tilt=30, roll=12),
    "tilted 45": Shot(tilt=45, roll=200),
    "on its side": Shot(tilt=20, roll=90),
    "orange light": Shot(tilt=15, light=ORANGE_LIGHT),
    "dim to one side": Shot(shade=lambda x, y: 1 - 0.6 * x),
    "half in shadow": Shot(shade=lambda x, y: np.where(y + 0.2 * x > 0.2, 1.0, 0.45)),
    "one marker hidden": Shot(tilt=20, rags=((5, 5, 45, 45),)),
    "two markers hidden": Shot(rags=((5, 5, 45, 45), (165, 5, 44, 45))),
    "small grey bar": Shot(bar=(40.0, 12.0), colour=GREY, tilt=25),
}
of_each_pose = pytest.mark.parametrize("shot", POSES.values(), ids=POSES)


@of_each_pose
def test_the_plane_is_found_in_every_pose(shot: Shot, paint: Paint) -> None:
    card = see.find_card(shoot(shot, paint))
    assert card is not None
    assert card.paper == shot.paper
    assert len(card.markers) == 4 - len(shot.rags)
    x, y, width, height = layout(shot.paper).place
    corners = np.array([[x, y], [x + width, y], [x + width, y + height], [x, y + height]])
    off = np.linalg.norm(at(card.to_mm, at(pinhole(shot), corners)) - corners, axis=1)
    assert off.max() < (1.0 if len(card.markers) > 2 else 4.0)


@of_each_pose
def test_size_is_right_within_two_per_cent_or_its_uncertainty(
    shot: Shot, paint: Paint, look: Callable[[Shot, Paint], Looked]
) -> None:
    photo, card, part = look(shot, paint)
    size = see.size(photo, card, part)
    assert size is not None
    assert shot.bar is not None
    length, width = shot.bar
    assert size.length == pytest.approx(length, abs=max(0.02 * length, size.uncertainty))
    assert size.width == pytest.approx(width, abs=max(0.02 * width, size.uncertainty))
    assert size.area == pytest.approx(length * width, abs=2 * size.area_uncertainty)
    assert size.uncertainty < 0.03 * length


@of_each_pose
def test_colour_by_the_card_is_the_painted_one(shot: Shot, paint: Paint, look: Callable[[Shot, Paint], Looked]) -> None:
    photo, card, part = look(shot, paint)
    white = see.card_white(photo, card, part)
    assert white is not None
    assert white.kind == "card"
    found = see.lab(see.of_part(photo, part, white))
    assert found == pytest.approx(cielab(np.array(shot.colour)), abs=3.0)


@of_each_pose
def test_the_card_is_surer_of_white_than_paper(shot: Shot, paint: Paint, look: Callable[[Shot, Paint], Looked]) -> None:
    photo, card, part = look(shot, paint)
    by_card = see.card_white(photo, card, part)
    assert by_card is not None
    grid = see.possible_whites(np.zeros(2), see.PAPER)
    assert by_card.uncertainty < np.sqrt(grid[:, 2] @ (grid[:, :2] ** 2).sum(axis=1))
    assert by_card.grid[:, 2].sum() == pytest.approx(1)


def test_white_is_that_of_the_light_at_the_part_not_of_the_sheet(paint: Paint) -> None:
    shot = Shot(bar=(30.0, 20.0), middle=(60.0, 148.0), shade=lambda x, y: 1 - 0.6 * x)
    levels = []
    for x in (60.0, 170.0):
        photo = shoot(Shot(bar=shot.bar, middle=(x, 148.0), shade=shot.shade), paint)
        card = see.find_card(photo)
        assert card is not None
        white = see.card_white(photo, card, see.find_on_card(photo, card))
        assert white is not None
        levels.append(white.luminance)
        column = at(pinhole(shot), np.array([[x, 148.0]]))[0, 0] / (shot.size[0] - 1)
        assert white.luminance == pytest.approx(0.8 * (1 - 0.6 * column), rel=0.03)
    assert levels[0] > 1.15 * levels[1]


def test_more_markers_make_size_surer(paint: Paint) -> None:
    sizes = []
    for rags in ((), ((5, 5, 45, 45), (165, 5, 44, 45))):
        photo = shoot(Shot(tilt=20, rags=rags, middle=(116.0, 105.0)), paint)
        card = see.find_card(photo)
        assert card is not None
        part = see.find_on_card(photo, card)
        assert part is not None
        size = see.size(photo, card, part)
        assert size is not None
        sizes.append(size.uncertainty)
    assert sizes[0] < sizes[1]


def test_what_is_printed_is_not_taken_for_a_part(paint: Paint) -> None:
    photo = shoot(Shot(bar=None), paint)
    card = see.find_card(photo)
    assert card is not None
    assert see.find_on_card(photo, card) is None


def test_a_part_over_the_frame_is_found_whole(paint: Paint) -> None:
    shot = Shot(bar=(175.0, 60.0), middle=(110.0, 150.0), turn=-30, tilt=15)
    photo = shoot(shot, paint)
    card = see.find_card(photo)
    assert card is not None
    part = see.find_on_card(photo, card)
    assert part is not None
    size = see.size(photo, card, part)
    assert size is not None
    assert (size.length, size.width) == pytest.approx((175, 60), rel=0.03)


def over_the_frame(paint: Paint, side: str, over: float, narrow: float) -> tuple[Photo, Card, Part]:
    """A bar 80 mm long that reaches that far over one side of the frame, square to it."""
    x, y, width, height = layout("a4").place
    middle, turn = {
        "right": ((x + width + over - 40, y + 120), 0),
        "left": ((x - over + 40, y + 120), 0),
        "top": ((x + 100, y - over + 40), 90),
        "bottom": ((x + 40, y + height + over - 40), 90),
    }[side]
    photo = shoot(Shot(bar=(80.0, narrow), middle=middle, turn=turn, tilt=10, size=(1000, 1300)), paint)
    card = see.find_card(photo)
    assert card is not None
    part = see.find_on_card(photo, card)
    assert part is not None
    return photo, card, part


@pytest.mark.parametrize("narrow", [6.0, 30.0])
@pytest.mark.parametrize("over", [3.0, 8.0])
@pytest.mark.parametrize("side", ["right", "left", "top", "bottom"])
def test_over_the_frame_a_size_is_right_or_refused_with_the_reason(
    paint: Paint, side: str, over: float, narrow: float
) -> None:
    photo, card, part = over_the_frame(paint, side, over, narrow)
    size = see.size(photo, card, part)
    if size is None:
        assert "over the card's frame" in see.size_refusal(photo, card, part)
    else:
        assert see.size_refusal(photo, card, part) == ""
        assert (size.length, size.width) == pytest.approx((80, narrow), abs=max(1.2, 2 * size.uncertainty))


@pytest.mark.parametrize("narrow", [6.0, 30.0])
def test_a_little_over_the_frame_where_nothing_is_printed_has_its_size(paint: Paint, narrow: float) -> None:
    size = see.size(*over_the_frame(paint, "right", 3.0, narrow))
    assert size is not None
    assert (size.length, size.width) == pytest.approx((80, narrow), abs=1.2)


def test_a_part_over_the_ruler_is_refused_its_size(paint: Paint) -> None:
    photo, card, part = over_the_frame(paint, "bottom", 20.0, 6.0)
    assert see.size(photo, card, part) is None
    assert "lay it inside the frame" in see.size_refusal(photo, card, part)


def test_a_part_beside_a_bare_card_is_measured_too(paint: Paint) -> None:
    shot = Shot(bar=None)
    light = light_of(shot).copy()
    light[400:600, 60:300] = 0.5
    photo = paint(light)
    card = see.find_card(photo)
    assert card is not None
    part = see.find_on_card(photo, card)
    assert part is not None
    assert part.box == pytest.approx((60, 400, 240, 200), abs=12)
    size = see.size(photo, card, part)
    assert size is not None
    corners = at(np.linalg.inv(pinhole(shot)), np.array([[60.0, 400.0], [300.0, 600.0]]))
    assert (size.length, size.width) == pytest.approx(tuple(corners[1] - corners[0]), abs=4)


def test_a_part_cut_off_by_the_sheet_has_no_size(paint: Paint) -> None:
    photo = shoot(Shot(bar=(330.0, 70.0), middle=(105.0, 150.0), turn=-40), paint)
    card = see.find_card(photo)
    assert card is not None
    part = see.find_on_card(photo, card)
    assert part is not None
    assert see.size(photo, card, part) is None
    assert "edge, so its size is not told" in see.size_refusal(photo, card, part)


def grained(shot: Shot) -> np.ndarray:
    """The light of a shot with the card on dark wood, and a floor beyond the bench's ends."""
    light, grain = light_of(shot).copy(), np.random.default_rng(3).normal(0, 1, (*shot.size[::-1], 1))
    corners = at(pinhole(shot), np.array([[0, 0], [210, 0], [210, 297], [0, 297]]))
    sheet = cv2.fillConvexPoly(np.zeros(light.shape[:2], np.uint8), np.round(corners).astype(np.int32), 1) > 0
    wood = np.array([0.20, 0.13, 0.08]) * np.exp(0.25 * cv2.GaussianBlur(grain, (0, 0), 40, sigmaY=3)[..., None] * 8)
    light[~sheet] = wood[~sheet]
    left, right = (round(float(edge)) for edge in (corners[:, 0].min() - 200, corners[:, 0].max() + 120))
    light[:, :left], light[:, right:] = 0.03, 0.03
    return light


@pytest.mark.parametrize("colour", [OCHRE, GREY], ids=["ochre", "grey"])
@pytest.mark.parametrize(("middle", "bar", "turn"), [((190, 150), (150, 20), 0), ((200, 120), (120, 20), 60)])
def test_a_bar_over_the_sheets_edge_is_refused_its_size(
    paint: Paint, colour: tuple[float, ...], middle: tuple[int, int], bar: tuple[int, int], turn: int
) -> None:
    shot = Shot(bar=None)
    corners = at(pinhole(shot), cv2.boxPoints((middle, bar, turn)).astype(np.float64))
    light = np.ascontiguousarray(grained(shot))
    there = cv2.fillPoly(np.zeros(light.shape[:2], np.uint8), [np.round(corners).astype(np.int32)], 1) > 0
    noise = np.random.default_rng(5).normal(0, 1, (*there.shape, 1))
    uneven = 0.15 * 12 * cv2.GaussianBlur(noise, (0, 0), 6)[..., None]
    light[there] = (np.multiply(colour, 0.8) * np.exp(uneven))[there]
    photo = paint(light)
    card = see.find_card(photo)
    assert card is not None
    part = see.find_on_card(photo, card)
    assert part is not None
    assert see.size(photo, card, part) is None


def test_the_bench_about_a_bare_card_is_no_part(paint: Paint) -> None:
    photo = paint(grained(Shot(bar=None)))
    card = see.find_card(photo)
    assert card is not None
    assert see.find_on_card(photo, card) is None
    assert see.find_each_on_card(photo, card) == ()


@pytest.mark.parametrize(("away", "soft"), [(4.0, 2.0), (8.0, 4.0)])
def test_a_soft_shadow_that_was_taken_in_is_in_the_uncertainty(paint: Paint, away: float, soft: float) -> None:
    """Pale grey, 80 x 30 mm: the outline may take in some of its shadow, but the size says how soft its edge is."""
    shot = Shot(bar=(80.0, 30.0), middle=(105.0, 148.0), turn=20, colour=(0.5, 0.5, 0.5))
    corners = at(pinhole(shot), cv2.boxPoints(((105 + away, 148 + away), (80, 30), 20)).astype(np.float64))
    bar = at(pinhole(shot), cv2.boxPoints((shot.middle, (80, 30), 20)).astype(np.float64))
    light = light_of(shot).copy()
    shade, there = (
        cv2.fillPoly(np.zeros(light.shape[:2], np.float32), [np.round(each).astype(np.int32)], 1.0)
        for each in (corners, bar)
    )
    to_mm = max(np.linalg.norm(bar[1] - bar[0]), np.linalg.norm(bar[2] - bar[1])) / 80  # pixels
    light *= 1 - 0.6 * (cv2.GaussianBlur(shade, (0, 0), soft * to_mm) * (there == 0))[..., None]
    size, sharp = (see.size(*on_its_card(photo)) for photo in (paint(light), shoot(shot, paint)))
    assert size is not None
    assert sharp is not None
    assert (size.length, size.width) == pytest.approx((80, 30), abs=2.5 * size.uncertainty)
    assert sharp.uncertainty < 1.0


def on_its_card(photo: Photo) -> Looked:
    """Photo, card and part."""
    card = see.find_card(photo)
    assert card is not None
    part = see.find_on_card(photo, card)
    assert part is not None
    return photo, card, part


def test_small_parts_are_found_wherever_they_lie_in_the_frame(paint: Paint) -> None:
    for middle in ((50.0, 65.0), (185.0, 150.0), (60.0, 230.0)):
        photo = shoot(Shot(bar=(22.0, 14.0), middle=middle, tilt=20), paint)
        card = see.find_card(photo)
        assert card is not None
        part = see.find_on_card(photo, card)
        assert part is not None
        size = see.size(photo, card, part)
        assert size is not None
        assert (size.length, size.width) == pytest.approx((22, 14), abs=1.2)


SEVERAL = (
    Shot(bar=None, more=((70, 100, 10), (140, 105, 60), (75, 170, 100), (140, 190, 20)), size=(1600, 1200)),
    Shot("letter", 25, 5, bar=None, more=((75, 95, 80), (150, 160, 0), (70, 180, 30)), size=(1600, 1200)),
    Shot(bar=None, more=((70, 100, 10), (140, 160, 60)), colour=GREY, light=ORANGE_LIGHT, size=(1600, 1200)),
)


@pytest.mark.parametrize("shot", SEVERAL, ids=["four", "tilted-letter", "grey-under-a-lamp"])
def test_each_of_several_parts_on_the_card_is_found_and_sized(shot: Shot, paint: Paint) -> None:
    """Nothing printed is among them; every size within its standard uncertainty, under 1.2 mm, of 60 x 18 mm."""
    photo = shoot(shot, paint)
    card = see.find_card(photo)
    assert card is not None
    found = see.find_each_on_card(photo, card)
    assert len(found) == len(shot.more)
    for part in found:
        size = see.size(photo, card, part)
        assert size is not None
        assert size.uncertainty < 1.2
        assert (size.length, size.width) == pytest.approx((60, 18), abs=size.uncertainty)
        x, y, width, height = part.box
        middle = at(card.to_mm, np.array([[x + width / 2, y + height / 2]]))[0]
        assert min(np.hypot(middle[0] - each[0], middle[1] - each[1]) for each in shot.more) < 3


def test_a_bare_card_is_no_part_among_several_nor_hides_those_beside_it(paint: Paint) -> None:
    light = light_of(Shot(bar=None)).copy()
    assert each_beside(paint(light)) == []
    light[200:340, 60:260], light[500:700, 80:240] = 0.5, (0.5, 0.3, 0.1)
    one, two = each_beside(paint(light))
    assert one.box == pytest.approx((60, 200, 200, 140), abs=12)
    assert two.box == pytest.approx((80, 500, 160, 200), abs=12)


def each_beside(photo: Photo) -> list[Part]:
    card = see.find_card(photo)
    assert card is not None
    return list(see.find_each_on_card(photo, card))


def test_greys_that_follow_another_tone_are_said(paint: Paint) -> None:
    photo = shoot(Shot(), paint)
    card = see.find_card(photo)
    assert card is not None
    assert see.card_problems(photo, card) == ()
    flat = paint(0.8 * (photo.linear.astype(float) / 0.8).clip(0) ** 0.3)
    card = see.find_card(flat)
    assert card is not None
    (problem,) = see.card_problems(flat, card)
    assert "greys" in problem


def test_a_photo_without_colour_says_nothing_of_the_cards_paper(paint: Paint) -> None:
    photo = shoot(Shot(), paint)
    card = see.find_card(photo)
    assert card is not None
    assert see.card_problems(replace(photo, coloured=False), card) == ()


@pytest.mark.parametrize("light", [ORANGE_LIGHT, (0.7, 1.0, 0.8), (1.0, 0.7, 1.0)], ids=["lamp", "green", "magenta"])
def test_lightness_is_that_of_the_grey_under_any_light(paint: Paint, light: tuple[float, ...]) -> None:
    """L* of a reflectance of 0.3 against a perfect white is 61.7 (CIE 1976)."""
    told = []
    for each in (light, (1.0, 1.0, 1.0)):
        photo = shoot(Shot(colour=GREY, light=each), paint)
        card = see.find_card(photo)
        assert card is not None
        part = see.find_on_card(photo, card)
        white = see.card_white(photo, card, part)
        assert part is not None
        assert white is not None
        lab = see.lab(see.of_part(photo, part, white))
        assert lab is not None
        told.append(float(lab[0]))
    assert told[0] == pytest.approx(told[1], abs=0.4)
    assert told[1] == pytest.approx(61.7, abs=2.0)


@pytest.mark.parametrize("size", [(1400, 1050), (900, 675), (640, 480)])
@pytest.mark.parametrize("colour", [OCHRE, GREY], ids=["ochre", "grey"])
def test_what_is_printed_on_the_card_is_no_picture_of_few_levels(
    paint: Paint, size: tuple[int, int], colour: tuple[float, float, float]
) -> None:
    uneven = Shot(size=size, colour=colour, shade=lambda x, y: 1 - 0.3 * x - 0.1 * y)
    photo = shoot(uneven, paint)
    card = see.find_card(photo)
    assert card is not None
    part = see.find_on_card(photo, card)
    white = see.card_white(photo, card, part)
    assert not any("few levels" in each for each in see.problems(photo, part, white))


def test_a_blown_out_card_gives_no_white(paint: Paint) -> None:
    photo = shoot(Shot(), paint)
    burnt = paint(photo.linear.astype(float) * 1.6)
    card = see.find_card(burnt)
    assert card is not None
    assert see.card_white(burnt, card, None) is None
    (problem,) = see.card_problems(burnt, card)
    assert "blown out" in problem


# Not there ------------------------------------------------------------------------------------------------------------


def test_no_card_is_none(paint: Paint) -> None:
    light = np.full((600, 800, 3), 0.7)
    light[200:400, 300:500] = OCHRE
    assert see.find_card(paint(light)) is None


@pytest.mark.parametrize("blur", [0.0, 2.0])
@pytest.mark.parametrize("wide", [1.0, 0.5])
def test_a_small_or_blurred_card_is_not_missed_at_a_glance(paint: Paint, wide: float, blur: float) -> None:
    """The sheet takes all or half of a large picture; a glance at half its size decides whether to look at all."""
    seen = light_of(Shot(bar=None, size=(1400, 1050)))
    small = cv2.resize(seen, None, fx=wide, fy=wide, interpolation=cv2.INTER_AREA)
    top, left = (1050 - small.shape[0]) // 2, (1400 - small.shape[1]) // 2
    light = np.full((1050, 1400, 3), 0.2)
    light[top : top + small.shape[0], left : left + small.shape[1]] = small
    light = cv2.resize(light, (2100, 1575), interpolation=cv2.INTER_LINEAR)
    assert see.find_card(paint(cv2.GaussianBlur(light, (0, 0), blur) if blur else light)) is not None


def test_other_markers_are_no_card(paint: Paint) -> None:
    """Four markers of the same dictionary with other numbers, and ours laid out otherwise."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    for numbers in ((1, 2, 3, 4), (171, 173, 172, 174)):
        light = np.full((900, 900), 0.8)
        for number, (y, x) in zip(numbers, ((60, 60), (60, 700), (700, 700), (700, 60)), strict=True):
            light[y : y + 120, x : x + 120] = 0.8 * (cv2.aruco.generateImageMarker(dictionary, number, 120) > 0)
        assert see.find_card(paint(light)) is None


@pytest.mark.parametrize("seen", range(4))
def test_one_marker_is_too_few_and_what_to_do_is_said(paint: Paint, seen: int) -> None:
    rags = ((5, 5, 45, 45), (165, 5, 44, 45), (165, 250, 44, 45), (5, 250, 45, 45))
    card, told = see.look_for_card(shoot(Shot(rags=(*rags[:seen], *rags[seen + 1 :])), paint))
    assert card is None
    assert "one of its four corner markers only" in told
    assert "have the whole card in the picture" in told


@pytest.mark.parametrize("shot", [Shot(), Shot(rags=((5, 5, 45, 45), (165, 5, 44, 45)))], ids=["whole", "two markers"])
def test_of_a_card_that_can_be_used_nothing_is_said(paint: Paint, shot: Shot) -> None:
    card, told = see.look_for_card(shoot(shot, paint))
    assert card is not None
    assert told == ""


def test_without_a_card_nothing_is_said_of_it(paint: Paint) -> None:
    assert see.look_for_card(paint(np.full((400, 600), 0.6))) == (None, "")


def test_a_card_seen_in_a_mirror_is_none(paint: Paint) -> None:
    assert see.find_card(paint(shoot(Shot(), paint).linear[:, ::-1].astype(float))) is None
