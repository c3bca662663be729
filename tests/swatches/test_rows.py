"""The table of looks, and the training rows made of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from idkit import see
from idkit.errors import TableError
from idkit.facts import materials, optics
from idkit.swatches import rows
from idkit.vocabulary import FAMILIES, SURFACES, Floats

LOOKS = rows.looks()
GOOD = {
    "material": "copper", "surface": "scratched", "family": "copper-red", "weight": "1", "metal": "copper-querry:0-1",
    "film": "0-0.08", "edge": "530-605", "cover": "", "covered": "", "gloss": "0-0.1",
}  # fmt: skip


@pytest.fixture(scope="module")
def lights() -> Floats:
    pytest.importorskip("colour")
    return rows.lights(next(iter(optics().values())).wavelength)


def test_every_material_has_looks_on_both_surfaces() -> None:
    """All but something-else, which is none of them."""
    wanted = {(id, surface) for id in materials() if id != "something-else" for surface in SURFACES}
    assert {(look.material, look.surface) for look in LOOKS} == wanted


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: f"{look.material} {look.surface} {look.cover or 'bare'}")
def test_a_look_rests_on_what_is_known(look) -> None:
    assert look.family in FAMILIES
    assert look.weight > 0
    assert look.metal or look.cover
    assert {name for name, _, _ in look.metal} <= optics().keys()
    assert all(0 <= low <= high for _, low, high in look.metal)
    assert not look.metal or any(high > 0 for _, _, high in look.metal)
    for low, high in (look.film, look.edge, look.covered, look.gloss):
        assert 0 <= low <= high
    assert look.covered[1] <= 1
    assert bool(look.cover) == (look.covered[1] > 0)


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("weight", "often"),
        ("weight", ""),
        ("film", "0.2"),
        ("film", "a-b"),
        ("metal", "copper-querry"),
        ("metal", "copper-querry:1"),
        ("gloss", "0-0.1-0.2"),
        ("covered", "most"),
    ],
)
def test_a_bad_row_is_refused_by_its_number(column: str, value: str) -> None:
    assert rows._look(GOOD, 7).material == "copper"
    with pytest.raises(TableError, match=r"looks\.csv: row 7 can't be read"):
        rows._look({**GOOD, column: value}, 7)


def test_a_missing_column_is_refused() -> None:
    with pytest.raises(TableError, match="gloss"):
        rows._look({name: value for name, value in GOOD.items() if name != "gloss"}, 2)


def test_white_is_white_under_every_light(lights: Floats) -> None:
    assert lights.sum(axis=1) == pytest.approx(np.ones((len(lights), 3)))


def test_simulated_rows_are_whole(lights: Floats) -> None:
    made = rows.simulate(optics(), lights, see.CUES, 4, 1)
    judged = [cue for cue in see.CUES if cue.judged]
    assert made.cues == tuple(cue.name for cue in judged)
    assert len(made.values) == len(made.material) == len(made.surface) == len(made.family)
    assert np.isfinite(made.values).mean() > 0.95
    for cue, column in zip(judged, made.values.T, strict=True):
        assert np.nanmin(column) >= cue.low
        assert np.nanmax(column) <= cue.high


def test_the_same_number_gives_the_same_rows(lights: Floats) -> None:
    one, again, other = (rows.simulate(optics(), lights, see.CUES, 2, number) for number in (5, 5, 6))
    assert np.array_equal(one.values, again.values, equal_nan=True)
    assert not np.array_equal(one.values, other.values, equal_nan=True)


def test_families_lie_where_their_metals_do(lights: Floats) -> None:
    """Medians over scratched parts: copper redder than brass, brass yellower than copper, steel grey."""
    made = rows.simulate(optics(), lights, see.CUES, 60, 2)
    where = np.array(made.material), np.array(made.surface)
    columns = [made.cues.index(name) for name in ("red_green", "blue_green")]
    copper, brass, steel = (
        np.nanmedian(made.values[(where[0] == id) & (where[1] == "scratched")][:, columns], axis=0)
        for id in ("copper", "yellow-brass", "carbon-steel")
    )
    assert copper[0] > brass[0] + 0.1
    assert brass[1] < steel[1] - 0.3
    assert copper[1] < steel[1] - 0.2
    assert np.abs(steel).max() < 0.15


def test_saved_rows_are_read_without_objects(lights: Floats, tmp_path: Path) -> None:
    made = rows.simulate(optics(), lights, see.CUES, 1, 3)
    rows.save(made, tmp_path / "rows.npz")
    with np.load(tmp_path / "rows.npz", allow_pickle=False) as kept:
        assert tuple(kept["material"].tolist()) == made.material
        assert tuple(kept["cues"].tolist()) == made.cues
        assert kept["values"] == pytest.approx(made.values, rel=1e-5, nan_ok=True)
