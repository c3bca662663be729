"""A bad table is refused by file, row and column, with what it got and what is right."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import FrozenInstanceError
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from idkit import facts
from idkit.errors import CallError, TableError
from idkit.facts.categories import read_categories
from idkit.facts.cautions import read_cautions
from idkit.facts.check_pieces import read_check_pieces
from idkit.facts.dangers import read_dangers
from idkit.facts.forms import read_forms
from idkit.facts.marks import read_marks
from idkit.facts.materials import read_materials
from idkit.facts.optics import read_optics
from idkit.facts.origins import read_origins
from idkit.facts.tables import TRUST

READERS: Mapping[str, Callable[[Path], Mapping[str, Any]]] = {
    "materials.csv": read_materials,
    "optics.csv": read_optics,
    "forms.csv": read_forms,
    "categories.csv": read_categories,
    "cautions.csv": read_cautions,
    "do-not.csv": read_dangers,
    "check-pieces.csv": read_check_pieces,
    "objects.csv": read_origins,
    "marks.csv": read_marks,
}
TABLES: Mapping[str, Callable[[], Mapping[str, Any]]] = {
    "materials": facts.materials,
    "optics": facts.optics,
    "forms": facts.forms,
    "categories": facts.categories,
    "cautions": facts.cautions,
    "dangers": facts.dangers,
    "check pieces": facts.check_pieces,
    "origins": facts.origins,
    "marks": facts.marks,
}

BAD = [
    ("materials.csv", "copper", "name", "", "some text"),
    ("materials.csv", "copper", "family", "pinkish", "copper-red, orange-gold"),
    ("materials.csv", "copper", "skin", "gold", "nothing, chrome, tin"),
    ("materials.csv", "copper", "density_low_kg_m3", "8.89 g/cm3", "a number from 100 to 25000"),
    ("materials.csv", "copper", "density_low_kg_m3", "8.89", "a number from 100 to 25000"),
    ("materials.csv", "copper", "density_typical_kg_m3", "8880", "at least 8890"),
    ("materials.csv", "copper", "density_high_kg_m3", "8900", "at least 8930"),
    ("materials.csv", "copper", "density_high_kg_m3", "nan", "a number from 100 to 25000"),
    ("materials.csv", "copper", "magnet_none", "1", "a number from 0.001 to 0.999"),
    ("materials.csv", "copper", "magnet_strong", "0", "a number from 0.001 to 0.999"),
    ("materials.csv", "copper", "magnet_strong", "0.5", "none + weak + strong = 1"),
    ("materials.csv", "copper", "thickness_high_mm", "0.2", "at least 0.5"),
    ("materials.csv", "copper", "thickness_high_mm", "", "a number from 0.01 to 1000"),
    ("materials.csv", "copper", "look_alikes", "red-bras", "did you mean red-brass?"),
    ("materials.csv", "copper", "look_alikes", "copper", "other than the row's own"),
    ("materials.csv", "copper", "look_alikes", "lead;lead", "each name once"),
    ("materials.csv", "copper", "optics", "copper-querri", "did you mean copper-querry?"),
    ("materials.csv", "copper", "source", "", "some text"),
    ("materials.csv", "copper", "trust", "X", "V, S, M, C, D"),
    ("materials.csv", "copper", "id", "lead", "an id of its own"),
    ("materials.csv", "copper", "core", "red", "nothing, copper-red"),
    ("materials.csv", "copper", "hardness_high_hb", "30", "at least 40"),
    ("materials.csv", "copper", "hardness_low_hb", "", "a number from 1 to 1000"),
    ("materials.csv", "copper", "yields_to", "knife", "nothing, where a hardness is given"),
    ("materials.csv", "plastic", "yields_to", "thumb", "nothing, nail, knife"),
    ("materials.csv", "copper", "iacs_high", "10000", "a number from 0 to 110"),
    ("materials.csv", "copper", "filings", "dust", "nothing, curls, clogs"),
    ("materials.csv", "copper", "spark", "white", "nothing, long-white"),
    ("materials.csv", "copper", "dulls", "0", "a number from 0.001 to 0.999"),
    ("materials.csv", "copper", "bench_trust", "X", "V, S, M, C, D"),
    ("optics.csv", "iron", "n", "metal", "a number from 0.001 to 20"),
    ("optics.csv", "iron", "k", "-1", "a number from 0 to 40"),
    ("forms.csv", "casting", "looks", "", "some text"),
    ("forms.csv", "casting", "likely", "aluminium-cast:21", "a weight from 1 to 20 for aluminium-cast"),
    ("forms.csv", "casting", "likely", "aluminium-cast:0.5", "a weight from 1 to 20 for aluminium-cast"),
    ("forms.csv", "casting", "likely", "aluminium-cast", "a weight from 1 to 20 for aluminium-cast"),
    ("forms.csv", "casting", "likely", "aluminum-cast:9", "did you mean aluminium-cast?"),
    ("forms.csv", "casting", "source", "", "some text"),
    ("categories.csv", "lead", "materials", "led", "did you mean lead?"),
    ("categories.csv", "cans", "materials", "", "a material beside the words"),
    ("categories.csv", "lead", "buyer", "shop", "yard, board buyer, recycling point, bin"),
    ("categories.csv", "lead", "forms", "lump", "known ids, not 'lump'"),
    ("categories.csv", "heavy-steel", "thickness_from_mm", "1/4 in", "a number from 0.01 to 1000"),
    ("categories.csv", "heavy-steel", "thickness_below_mm", "6", "more than thickness_from_mm"),
    ("categories.csv", "lead", "belongs", "", "some text"),
    ("cautions.csv", "filing", "checks", "", "one of materials, forms, words, checks filled"),
    ("cautions.csv", "lead", "materials", "leads", "did you mean lead?"),
    ("cautions.csv", "filing", "message", "", "some text"),
    ("objects.csv", "gutter", "objects", "", "words for an object"),
    ("objects.csv", "gutter", "likely", "lead:40", "a weight from 1 to 20 for lead"),
    ("objects.csv", "gutter", "likely", "led:4", "did you mean lead?"),
    ("objects.csv", "gutter", "cautions", "leads", "did you mean lead?"),
    ("objects.csv", "gutter", "id", "bolt", "an id of its own"),
    ("marks.csv", "lead", "pattern", "", "some text"),
    ("marks.csv", "lead", "pattern", "PB(", "a regular expression ("),
    ("marks.csv", "lead", "pattern", "(?:PB)?", "which some letters meet and none does not"),
    ("marks.csv", "lead", "pattern", "Pb", "over capitals"),
    ("marks.csv", "lead", "materials", "", "the materials that the mark names"),
    ("marks.csv", "lead", "materials", "leed", "did you mean lead?"),
    ("marks.csv", "lead", "standard", "", "some text"),
]


@pytest.mark.parametrize(("table", "id", "column", "value", "right"), BAD)
def test_a_bad_field_is_refused(spoil: Any, table: str, id: str, column: str, value: str, right: str) -> None:
    path, line = spoil(table, id, column, value)
    if column == "id":  # it is the later of the two that is one too many
        line = path.read_text(encoding="utf-8").splitlines().index(_row_of(table, value)) + 1
    with pytest.raises(TableError) as refused:
        READERS[table](path)
    message = str(refused.value)
    assert message.startswith(f"{table}, row {line}, column {column}: got {value!r}; right is ")
    assert right in message


def _row_of(table: str, id: str) -> str:
    lines = (files("idkit.facts") / table).read_text(encoding="utf-8").splitlines()
    return next(line for line in lines if line.startswith(f"{id},"))


def test_wavelengths_rise_and_are_the_same_for_all(spoil: Any) -> None:
    path, line = spoil("optics.csv", "iron", "wavelength_nm", "395")
    with pytest.raises(TableError, match=f"row {line + 1}, column wavelength_nm: .* above 395"):
        read_optics(path)
    path, line = spoil("optics.csv", "iron", "wavelength_nm", "381")
    with pytest.raises(TableError, match=f"row {line}, column wavelength_nm: .* same wavelengths"):
        read_optics(path)


def test_a_set_has_one_source_and_stands_together(spoil: Any) -> None:
    path, line = spoil("optics.csv", "iron", "source", "somebody else")
    with pytest.raises(TableError, match=f"row {line + 1}, column source: .* one source a set: 'somebody else'"):
        read_optics(path)
    path, line = spoil("optics.csv", "iron", "id", "copper-johnson")
    with pytest.raises(TableError, match=f"row {line}, column id: .* the rows of one set together"):
        read_optics(path)


@pytest.mark.parametrize("table", READERS)
def test_a_column_that_is_missing_or_unknown_is_named(table: str, tmp_path: Path) -> None:
    text = (files("idkit.facts") / table).read_text(encoding="utf-8")
    path = tmp_path / table
    path.write_text(text.replace(",source,", ",sauce,", 1), encoding="utf-8")
    with pytest.raises(TableError, match=f"^{table}, row [0-9]+, column source: the column is missing"):
        READERS[table](path)
    path.write_text(text.replace(",source,", ",source,sauce,", 1), encoding="utf-8")
    with pytest.raises(TableError, match=f"^{table}, row [0-9]+, column sauce: got 'sauce'"):
        READERS[table](path)


def test_a_row_with_a_field_too_many_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "forms.csv"
    path.write_text(
        "# forms\nid,looks,likely,category,always,source,trust\nblob,round, soft,,,,memory,M\n", encoding="utf-8"
    )
    with pytest.raises(TableError, match=r"^forms.csv, row 3, column trust: got 8 fields; right is 7 fields"):
        read_forms(path)


@pytest.mark.parametrize("content", [b"", b"# only a title\n", b"id,\xff\n"])
def test_a_file_that_is_no_table_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "forms.csv"
    path.write_bytes(content)
    with pytest.raises(TableError, match=r"forms\.csv"):
        read_forms(path)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(TableError, match="can't be read"):
        read_forms(tmp_path / "none.csv")


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_its_source_and_trust(table: str) -> None:
    for id, member in TABLES[table]().items():
        assert member.id == id
        assert member.source
        assert member.trust in TRUST


@pytest.mark.parametrize("table", TABLES)
def test_what_is_known_does_not_change(table: str) -> None:
    known = TABLES[table]()
    assert TABLES[table]() is known
    first = next(iter(known.values()))
    with pytest.raises(TypeError):
        known["x"] = first  # type: ignore[index]
    with pytest.raises(FrozenInstanceError):
        first.source = ""
    with pytest.raises(ValueError, match="read-only"):
        facts.optics()["iron"].n[0] = 1.0
    with pytest.raises(TypeError):
        facts.material("copper").magnet["none"] = 0.5  # type: ignore[index]


def test_an_unknown_id_is_answered_with_near_ones() -> None:
    with pytest.raises(CallError, match="material: got 'yelow-brass'.*did you mean yellow-brass"):
        facts.material("yelow-brass")
    with pytest.raises(CallError, match="form: got 'castin'.*did you mean casting"):
        facts.form("castin")


def test_no_text_runs_on() -> None:
    """What is read at a bench is short: 180 characters for a caution, 100 for an appearance."""
    for path in files("idkit.facts").iterdir():
        if path.name.endswith(".csv"):
            assert "  " not in path.read_text(encoding="utf-8")
    for caution in facts.cautions().values():
        assert len(caution.message) <= 180
    for material in facts.materials().values():
        assert max(len(material.fresh), len(material.aged)) <= 100
