"""The table of looks, and the training rows made of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from idkit import see
from idkit.errors import TableError
from idkit.facts import materials, optics
from idkit.swatches import rows
from idkit.swatches.surfaces import Look
from idkit.vocabulary import FAMILIES, SURFACES, Floats

LOOKS = rows.looks()
GOOD = {
    "material": "copper", "surface": "scratched", "family": "copper-red", "weight": "1", "metal": "copper-querry:0-1",
    "film": "0-0.08", "edge": "530-605", "cover": "", "covered": "", "gloss": "0-0.1",
    "made": "drawn",
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


def some(*materials: str, surface: str = "scratched") -> list[Look]:
    return [look for look in LOOKS if look.material in materials and look.surface == surface]


def test_simulated_rows_are_whole(lights: Floats) -> None:
    made = rows.simulate(LOOKS, optics(), lights, see.CUES, 1, 1)
    judged = [cue for cue in see.CUES if cue.judged]
    assert made.cues == tuple(cue.name for cue in judged)
    assert len(made.values) == len(made.material) == len(made.surface) == len(made.family) == len(made.weight)
    assert np.isfinite(made.values).mean() > 0.9
    for cue, column in zip(judged, made.values.T, strict=True):
        assert np.nanmin(column) >= cue.low
        assert np.nanmax(column) <= cue.high


def test_weights_of_a_material_and_surface_sum_to_one(lights: Floats) -> None:
    looks = some("carbon-steel", surface="as-found")
    made = rows.simulate(looks, optics(), lights, see.CUES, 2, 1)
    assert made.weight.sum() == pytest.approx(1)
    rusty = made.weight[[family == "rust-brown" for family in made.family]].sum()
    in_the_table = sum(look.weight for look in looks if look.family == "rust-brown")
    assert rusty == pytest.approx(in_the_table / sum(look.weight for look in looks))
    assert 0.0 < rusty < 1.0


def test_the_same_number_gives_the_same_rows(lights: Floats) -> None:
    one, again, other = (rows.simulate(some("copper"), optics(), lights, see.CUES, 2, number) for number in (5, 5, 6))
    assert np.array_equal(one.values, again.values, equal_nan=True)
    assert not np.array_equal(one.values, other.values, equal_nan=True)


def test_families_lie_where_their_metals_do(lights: Floats) -> None:
    """Medians over scratched parts: copper redder than brass, brass yellower than copper, steel grey."""
    made = rows.simulate(some("copper", "yellow-brass", "carbon-steel"), optics(), lights, see.CUES, 40, 2)
    columns = [made.cues.index(name) for name in ("redness", "yellowness")]
    copper, brass, steel = (
        np.nanmedian(made.values[np.array(made.material) == id][:, columns], axis=0)
        for id in ("copper", "yellow-brass", "carbon-steel")
    )
    assert copper[0] > brass[0] + 5
    assert brass[1] > steel[1] + 12
    assert copper[1] > steel[1] + 5
    assert np.abs(steel).max() < 4


def test_paint_changes_colour_more_and_metal_light(lights: Floats) -> None:
    """What sheet metal mirrors changes from point to point; moulded plastic scatters it."""
    made = rows.simulate(some("galvanised-steel", "rubber"), optics(), lights, see.CUES, 40, 2)
    edges = made.values[:, made.cues.index("light_edges")]
    metal = np.array(made.material) == "galvanised-steel"
    assert np.nanmedian(edges[metal]) > 1.3 * np.nanmedian(edges[~metal])


def test_saved_rows_are_read_without_objects(lights: Floats, tmp_path: Path) -> None:
    made = rows.simulate(some("copper"), optics(), lights, see.CUES, 1, 3)
    rows.save(made, tmp_path / "rows.npz")
    with np.load(tmp_path / "rows.npz", allow_pickle=False) as kept:
        assert tuple(kept["material"].tolist()) == made.material
        assert tuple(kept["cues"].tolist()) == made.cues
        assert kept["values"] == pytest.approx(made.values, rel=1e-5, nan_ok=True)
        assert kept["weight"] == pytest.approx(made.weight, rel=1e-5)
