"""The table of looks, and the training rows made of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from idkit import see
from idkit.errors import TableError
from idkit.facts import materials, optics
from idkit.swatches import pieces, rows
from idkit.swatches.bodies import MAKINGS
from idkit.swatches.illuminants import observed
from idkit.swatches.patterns import GRAINS
from idkit.swatches.surfaces import Look
from idkit.vocabulary import FAMILIES, SURFACES, Floats

LOOKS = rows.looks()
GOOD = {
    "material": "copper", "surface": "scratched", "family": "copper-red", "weight": "1", "metal": "copper-querry:0-1",
    "film": "0-0.08", "edge": "530-605", "cover": "", "covered": "", "gloss": "0-0.1",
    "made": "drawn", "grain": "brushed:0.5", "worn": "0-0.9",
}  # fmt: skip


PARTS = {"drawn": 6, "sheet": 3, "cast": 2, "moulded": 3, "filed": 6, "board": 1, "film": 1}


@pytest.fixture(scope="module")
def illuminants() -> Floats:
    pytest.importorskip("colour")
    return observed(next(iter(optics().values())).wavelength)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """A few traced parts of each making, coarsely."""
    pytest.importorskip("mitsuba")
    folder = tmp_path_factory.mktemp("traced")
    for made, count in PARTS.items():
        pieces.save([pieces.one(made, number, 1, 2) for number in range(count)], folder / f"{made}-0.npz")
    return pieces.in_folder(folder)


@pytest.fixture(scope="module")
def made(kept: list[Path], illuminants: Floats) -> rows.Rows:
    return rows.simulate(LOOKS, kept, optics(), illuminants, see.CUES, 1)


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
    for low, high in (look.film, look.edge, look.covered, look.gloss, look.worn):
        assert 0 <= low <= high
    assert look.covered[1] <= 1
    assert bool(look.cover) == (look.covered[1] > 0)
    assert set(look.made) <= set(MAKINGS)
    assert look.grain[0] in ("", *GRAINS)
    assert 0 <= look.grain[1] <= 1


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
        ("grain", "brushed"),
    ],
)
def test_a_bad_row_is_refused_by_its_number(column: str, value: str) -> None:
    assert rows._look(GOOD, 7).material == "copper"
    with pytest.raises(TableError, match=r"looks\.csv: row 7 can't be read"):
        rows._look({**GOOD, column: value}, 7)


def test_a_missing_column_is_refused() -> None:
    with pytest.raises(TableError, match="gloss"):
        rows._look({name: value for name, value in GOOD.items() if name != "gloss"}, 2)


def some(*materials: str, surface: str = "scratched") -> list[Look]:
    return [look for look in LOOKS if look.material in materials and look.surface == surface]


def test_simulated_rows_are_whole(made: rows.Rows) -> None:
    judged = [cue for cue in see.CUES if cue.judged]
    assert made.cues == tuple(cue.name for cue in judged)
    for entries in (made.material, made.surface, made.family, made.weight, made.scene):
        assert len(entries) == len(made.values)
    assert np.isfinite(made.values).mean() > 0.9
    for cue, column in zip(judged, made.values.T, strict=True):
        assert np.nanmin(column) >= cue.low
        assert np.nanmax(column) <= cue.high


def test_every_look_is_on_the_parts_of_its_makings_in_turn(made: rows.Rows) -> None:
    turns = [len(range(at, PARTS[name], len(each.made))) for each in LOOKS for at, name in enumerate(each.made)]
    filed = PARTS["filed"] * sum(each.surface == "scratched" for each in LOOKS)
    assert len(made.values) == sum(turns) + filed
    assert set(made.scene) == {f"{name}-{number}" for name, count in PARTS.items() for number in range(count)}


def test_weights_of_a_material_and_surface_sum_to_one(made: rows.Rows) -> None:
    for surface in SURFACES:
        chosen = [pair == ("carbon-steel", surface) for pair in zip(made.material, made.surface, strict=True)]
        assert made.weight[chosen].sum() == pytest.approx(1)
    looks = some("carbon-steel", surface="as-found")
    rusty = made.weight[
        [
            family == "rust-brown" and steel
            for family, steel in zip(
                made.family,
                (pair == ("carbon-steel", "as-found") for pair in zip(made.material, made.surface, strict=True)),
                strict=True,
            )
        ]
    ].sum()
    in_the_table = sum(look.weight for look in looks if look.family == "rust-brown")
    assert rusty == pytest.approx(in_the_table / sum(look.weight for look in looks))
    assert 0.0 < rusty < 1.0


def test_the_same_number_gives_the_same_rows(kept: list[Path], illuminants: Floats) -> None:
    filed = [path for path in kept if path.stem == "filed-0"]
    one, again, other = (
        rows.simulate(some("copper"), filed, optics(), illuminants, see.CUES, number) for number in (5, 5, 6)
    )
    assert np.array_equal(one.values, again.values, equal_nan=True)
    assert not np.array_equal(one.values, other.values, equal_nan=True)


def of(made: rows.Rows, *materials: str) -> np.ndarray:
    return np.array(
        [id in materials and surface == "scratched" for id, surface in zip(made.material, made.surface, strict=True)]
    )


def test_families_lie_where_their_metals_do(made: rows.Rows) -> None:
    """Medians over scratched parts: copper redder than brass, brass yellower than copper, steel grey."""
    columns = [made.cues.index(name) for name in ("redness", "yellowness")]
    copper, brass, steel = (
        np.nanmedian(made.values[of(made, *ids)][:, columns], axis=0)
        for ids in (("copper",), ("yellow-brass", "red-brass"), ("carbon-steel", "stainless-ferritic", "zinc-die-cast"))
    )
    assert copper[0] > brass[0] + 5
    assert brass[1] > steel[1] + 12
    assert copper[1] > steel[1] + 5
    assert np.abs(steel).max() < 4


def test_saved_rows_are_read_without_objects(made: rows.Rows, tmp_path: Path) -> None:
    rows.save(made, tmp_path / "rows.npz")
    with np.load(tmp_path / "rows.npz", allow_pickle=False) as kept:
        assert tuple(kept["material"].tolist()) == made.material
        assert tuple(kept["cues"].tolist()) == made.cues
        assert kept["values"] == pytest.approx(made.values, rel=1e-5, nan_ok=True)
        assert tuple(kept["scene"].tolist()) == made.scene
        assert kept["weight"] == pytest.approx(made.weight, rel=1e-5)
