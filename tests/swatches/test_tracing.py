"""Light about a part: what physics says of simple shapes in simple rooms, and what is kept of it on disk."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from idkit.errors import TableError
from idkit.swatches import pieces, rooms, tracing
from idkit.swatches.rooms import COLUMNS, LIGHTS, ROWS, Room
from idkit.swatches.tracing import SOURCES, Traced, traced
from idkit.vocabulary import Floats

pytest.importorskip("mitsuba")
pytest.importorskip("pyoidn")
UP = np.array([0.0, 0.0, 1.0])
SMALL = 40  # pixels of the frame here


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tracing, "SIDE", SMALL)


def even(view: Floats = UP) -> Room:
    """The same light from everywhere above, from each source alone."""
    return Room(np.ones((len(LIGHTS), ROWS, COLUMNS), np.float32), view)


def lamp(axis: Floats, view: Floats = UP) -> Room:
    """A lamp a few degrees wide."""
    lobe = np.exp(400 * (rooms.directions() @ axis.astype(np.float32) - 1))
    return Room(np.repeat((lobe / rooms.on_ground(lobe))[None], len(LIGHTS), axis=0).astype(np.float32), view)


def leaning(degrees: float) -> Floats:
    return np.array([np.sin(np.radians(degrees)), 0.0, np.cos(np.radians(degrees))])


def middle(part: Traced) -> tuple[slice, slice]:
    return (slice(SMALL // 2 - 3, SMALL // 2 + 3),) * 2


def all_light(part: Traced) -> Floats:
    """Of one sky and the ground as bright as it, over all meetings."""
    return np.asarray(part.mirror[[0, SOURCES.index("ground")]].sum(axis=(0, 1)))


SHAPES: dict[str, Callable[[Floats, Floats], Floats]] = {
    "flat": lambda x, y: 0.2 + 0 * x,
    "ball": lambda x, y: np.sqrt(np.clip(0.64 - x**2 - y**2, 0, None)),
    "groove": lambda x, y: 0.1 + 0.577 * np.abs(x),  # walls 120 degrees apart
}


@pytest.mark.parametrize("name", SHAPES)
def test_in_a_white_furnace_a_perfect_mirror_can_not_be_seen(shape, name: str) -> None:
    """Where as much light comes from everywhere, whatever mirrors all of it looks like everything else: 1.

    A standard check of renderers (white furnace test, see Heitz 2014, "Understanding the masking-shadowing function",
    section 5). A few hundredths are lost to paths of more than three meetings and between facets of the roughness.
    """
    part = traced(shape(SHAPES[name]), even(), 0.05, 32, 1)
    inner = part.cover > 0.999
    assert np.median(all_light(part)[inner]) == pytest.approx(1, abs=0.03)
    assert part.lost == 0


def test_a_convex_part_is_met_once_and_a_groove_twice(shape) -> None:
    """Straight down into walls 120 degrees apart: reflected to 60 degrees off the vertical, it just clears the other
    wall; walls 90 degrees apart send every ray back up after two meetings."""
    ball = traced(shape(SHAPES["ball"]), even(), 0.02, 16, 1)
    assert ball.mirror[0, 1:].max() < 1e-3
    steep = traced(shape(lambda x, y: 0.1 + np.abs(x)), even(), 0.02, 16, 1)
    assert steep.mirror[0, 1][middle(steep)].mean() > 0.9
    assert steep.mirror[0, 0][middle(steep)].mean() < 0.05


def test_a_lamp_is_seen_where_the_part_looks(shape) -> None:
    """A lamp 40 degrees off the vertical is mirrored to a phone overhead by a plane tilted by 20, not by a flat one."""
    tilted, flat, away = (
        traced(shape(lambda x, y, rise=rise: 0.4 - rise * x), lamp(leaning(40)), 0.05, 32, 1)
        for rise in (np.tan(np.radians(20)), 0.0, -np.tan(np.radians(20)))
    )
    bright, dim, dark = (np.median(part.mirror[0, 0][middle(part)]) for part in (tilted, flat, away))
    assert bright > 10
    assert max(dim, dark) < 0.01 * bright


def test_open_white_ground_is_1_and_a_tall_part_throws_a_shadow(shape) -> None:
    part = traced(shape(lambda x, y: 0.8 + 0 * x), lamp(leaning(50)), 0.1, 64, 1)
    ground = part.matt[0][part.cover < 0.001]
    assert np.quantile(ground, 0.9) == pytest.approx(1, abs=0.15)
    assert ground.min() < 0.05


def test_a_matt_plane_gets_light_by_its_cosine(shape) -> None:
    """Lambert 1760: tilted by 20 degrees toward a lamp 40 off the vertical it gets cos 20 / cos 40 of the ground's."""
    part = traced(shape(lambda x, y: 0.4 - np.tan(np.radians(20)) * x), lamp(leaning(40)), 0.1, 256, 1)
    expected = np.cos(np.radians(20)) / np.cos(np.radians(40))
    assert part.matt[0][middle(part)].mean() == pytest.approx(expected, rel=0.03)


def test_the_ground_lights_flanks_and_not_the_top(shape) -> None:
    part = traced(shape(SHAPES["ball"]), even(), 0.1, 32, 1)
    below = part.matt[SOURCES.index("ground")]
    assert below[middle(part)].mean() < 0.02
    assert below[(part.cover > 0.99) & (part.cosine < 0.6)].mean() > 0.1


def test_where_it_faces(shape) -> None:
    """A ball's surface faces the phone in its middle, and less toward its edge."""
    part = traced(shape(SHAPES["ball"]), even(), 0.1, 4, 1)
    assert part.cosine[middle(part)].min() > 0.97
    assert part.cosine[(part.cover > 0.99)].min() < 0.6
    inner = part.cover > 0.99
    assert np.linalg.norm(part.facing, axis=0)[inner] == pytest.approx(1, abs=1e-3)
    assert part.facing[2][inner] == pytest.approx(part.cosine[inner], abs=0.06)  # the phone is right above


def test_more_samples_tell_the_same(shape) -> None:
    """The mean light is the same within a hundredth: tracing is fair."""
    few, many = (traced(shape(SHAPES["groove"]), lamp(leaning(20)), 0.2, samples, 3) for samples in (16, 128))
    assert few.mirror[0].sum() == pytest.approx(many.mirror[0].sum(), rel=0.02)


def test_pieces_are_kept_found_and_refused_where_broken(monkeypatch: pytest.MonkeyPatch, tmp_path) -> None:
    monkeypatch.setattr(pieces, "A_PIECE", 2)
    monkeypatch.setattr(pieces, "SAMPLES", 1)
    monkeypatch.setattr(pieces, "PIECES", {"sheet": 2, "filed": 1})
    monkeypatch.setattr(pieces.one, "__defaults__", (1,))
    first = pieces.trace(tmp_path, 5)
    assert [path.name for path in first] == ["filed-0.npz", "sheet-0.npz", "sheet-1.npz"]
    first[1].unlink()
    kept = first[2].stat().st_mtime_ns
    again = pieces.trace(tmp_path, 5)
    assert first[2].stat().st_mtime_ns == kept
    anew, drawn = pieces.load(again[1])[1], pieces.one("sheet", 1, 5)
    assert anew.mirror == pytest.approx(drawn.mirror, rel=1e-3, abs=1e-3)
    assert anew.roughness == pytest.approx(drawn.roughness, rel=1e-3)
    again[0].write_bytes(again[0].read_bytes()[:1000])
    with pytest.raises(TableError, match=r"filed-0\.npz: can't be read .* trace it again"):
        pieces.load(again[0])


def test_rooms_are_bright_to_open_ground_and_differ() -> None:
    for seed in range(5):
        room = rooms.room(np.random.default_rng(seed))
        assert [rooms.on_ground(panorama) for panorama in room.panoramas] == pytest.approx([1] * len(LIGHTS), rel=1e-4)
        assert (room.panoramas >= 0).all()
        assert np.linalg.norm(room.view) == pytest.approx(1)
        assert room.view[2] > 0.8
    assert not np.array_equal(*(rooms.room(np.random.default_rng(seed)).panoramas for seed in (1, 2)))
