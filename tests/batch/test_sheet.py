"""The answers file, as spreadsheets save it in many countries."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from idkit.ask import parse_mass
from idkit.batch import Sheet, ToFillIn, WrongCells, read_rows, write_rows
from idkit.batch.sheet import Row
from idkit.batch.tagging import plan
from idkit.errors import CallError
from idkit.flows.spreadsheet import guarded, unguarded
from idkit.vocabulary import Bench


def to_fill_in(photos: dict[str, list[str]]) -> list[ToFillIn]:
    return [ToFillIn(part, tuple(of_part)) for part, of_part in photos.items()]


KITCHEN = Bench(scales={"kitchen": 0.001}, magnet="neodymium")


def saved(folder: Path, text: str, encoding: str = "utf-8") -> Path:
    path = folder / "answers.csv"
    path.write_bytes(text.encode(encoding))
    return path


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize(
    "text",
    [
        "part,magnet,thickness (mm),note\nSäule,none,3.25,old paint\n",
        "part;magnet;thickness (mm);note\nSäule;none;3,25;old paint\n",
        "\npart;magnet;thickness (mm);note\nSäule;none;3,25;old paint\n",
        "sep=;\npart;magnet;Thickness [mm];note\nSäule;none;3,25;old paint\n",
        "part\tmagnet\tthickness\tnote\nSäule\tnone\t3,25 mm\told paint\n",
        "note;part;magnet;thickness\n;;;\nold paint;Säule;none;3,25 mm\n",
    ],
)
def test_the_same_row_however_it_was_saved(tmp_path: Path, text: str, ends: str, encoding: str) -> None:
    (row,) = read_rows(saved(tmp_path, text.replace("\n", ends), encoding), Bench()).rows
    assert (row.part, row.note) == ("Säule", "old paint")
    assert row.typed == {"magnet": "none", "thickness": "3.25 mm"}


@pytest.mark.parametrize(
    ("cell", "grams"),
    [
        ("1,234 kg", 1234),
        ("12,5", 12.5),
        ("1.234,5", 1234.5),
        ("1.000.000", 1e6),
        ("82,4 - 80,1", 2.3),
        ("0.250", 0.25),
        ("1234", 1234),
    ],
)
def test_decimal_commas_are_read_as_such_beside_semicolons(tmp_path: Path, cell: str, grams: float) -> None:
    (row,) = read_rows(saved(tmp_path, f"part;weight (g)\ntap;{cell}\n"), Bench()).rows
    assert parse_mass(row.typed["weight"]).value == pytest.approx(grams / 1000)


@pytest.mark.parametrize(
    ("text", "both"),
    [
        ('part,weight (g)\ntap,"1,234"\n', "1.234 g or 1234 g"),
        ('part\tweight\ntap\t"1,234 g"\n', "1.234 g or 1234 g"),
        ("part;weight (g)\ntap;1.234\n", "1,234 g or 1234 g"),
        ("part;weight\ntap;1.234 kg\n", "1,234 kg or 1234 kg"),
    ],
)
def test_an_amount_that_can_be_read_two_ways_is_refused_with_both(tmp_path: Path, text: str, both: str) -> None:
    """A silent guess would be wrong by a thousand."""
    with pytest.raises(WrongCells) as wrong:
        read_rows(saved(tmp_path, text), Bench())
    assert f"say {both}" in wrong.value.lines[0]


def test_the_bench_adds_its_scale_and_magnet(tmp_path: Path) -> None:
    (row,) = read_rows(saved(tmp_path, "part,weight,scale,magnet\ntap,120 g,kitchen,none\n"), KITCHEN).rows
    assert row.typed["scale"] == "kitchen: 1 g"
    assert row.typed["magnet-kind"] == "neodymium"


def test_every_wrong_cell_is_told_by_row_and_column_at_once(tmp_path: Path) -> None:
    """Rows as a spreadsheet counts them, whatever lines are in a cell or say what stands between cells."""
    text = (
        "sep=,\n"
        "part,magnet,thickness,weight,jar,scale,smell\n"
        "tap,sticky,3,,,,\n"
        "knob,none,,,30 g,bathroom,\n"
        "\n"
        ",none,,,,,\n"
        '"two\nlines",none,,100 g,150 g,,\n'
        "tap,none,,,,,\n"
        "foot,none,,,,,,extra\n"
        "rod,none,,much,30 g,,\n"
    )
    with pytest.raises(WrongCells) as wrong:
        read_rows(saved(tmp_path, text), Bench())
    told = wrong.value.lines
    starts = [
        *("row 1: 'smell' is no column", "row 2, column magnet", "row 2, column thickness", "row 3, column scale"),
        *("row 3, column jar", "row 5, column part", "row 6, column jar", "row 7, column part", "row 8, column 8"),
        "row 9, column weight",  # and not that the jar needs a weight
    ]
    assert len(told) == len(starts)
    for line, start in zip(told, starts, strict=True):
        assert line.startswith(f"answers.csv {start}"), line
    assert "none, weak, strong or in-places" in told[1]
    assert "row 2 already" in told[7]
    assert str(wrong.value).count(" scale,") == 1  # what is known, each once


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("", "empty"),
        ('part,note\ntap,"never closed\n', "row"),
    ],
)
def test_a_wrong_file_is_one_line(tmp_path: Path, text: str, named: str) -> None:
    with pytest.raises(CallError) as wrong:
        read_rows(saved(tmp_path, text), Bench())
    assert named in str(wrong.value)
    assert "\n" not in str(wrong.value)


@pytest.mark.parametrize(
    ("header", "named"),
    [
        ("magnet", ["no column 'part'"]),
        ("part,magnett,thicknes", ["is it 'magnet'?", "is it 'thickness'?"]),
        ("part,magnet,magnet", ["twice"]),
        ("part,how it smells", ["put what it says into note"]),
    ],
)
def test_every_wrong_column_is_told_at_once(tmp_path: Path, header: str, named: list[str]) -> None:
    with pytest.raises(WrongCells) as wrong:
        read_rows(saved(tmp_path, f"{header}\n"), Bench())
    assert len(wrong.value.lines) == len(named)
    for line, name in zip(wrong.value.lines, named, strict=True):
        assert name in line


def test_another_encoding_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(CallError, match="CSV UTF-8"):
        read_rows(saved(tmp_path, "part,note\nSäule,\n", "cp1252"), Bench())


@pytest.mark.parametrize("between", [",", ";"])
def test_what_is_written_is_read_back_and_never_written_over(tmp_path: Path, between: str) -> None:
    photos = {
        "=1+1": ["=1+1.jpg"],
        "x;=1+1": ["x.jpg"],
        "'-x": ["'-x.jpg"],
        "-x": ["-x.jpg"],
        "扳手": ["扳手-1.jpg", "扳手-2.jpg"],
        "u\u0308": ["u\u0308.jpg"],  # the same letter composed and not: two files, two parts
        "\xfc": ["\xfc.jpg"],
    }
    path = tmp_path / "answers.csv"
    write_rows(path, to_fill_in(photos), Sheet(between=between))
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")
    sheet = read_rows(path, Bench())
    assert sheet.between == between
    assert [row.part for row in sheet.rows] == list(photos)
    assert [list(row.photos) for row in sheet.rows] == list(photos.values())
    before = path.read_bytes()
    with pytest.raises(CallError, match="there already"):
        write_rows(path, [], Sheet(between=","))
    assert path.read_bytes() == before


def test_names_that_hold_what_stands_between_names_leave_the_column_empty(tmp_path: Path) -> None:
    """Else the rows with photos would group, and the row without would be of no part. A blank name has no row."""
    photos = {"a": ["a/1|x.jpg", "a/2.jpg"], "b": ["b/1.jpg"], " ": [" .jpg"], "two\nlines": ["two\nlines.jpg"]}
    write_rows(tmp_path / "answers.csv", to_fill_in(photos), Sheet(between=","))
    rows = read_rows(tmp_path / "answers.csv", Bench()).rows
    assert [row.part for row in rows] == ["a", "b", "two\nlines"]
    assert not any(row.photos for row in rows)


def test_what_was_answered_is_written_again(tmp_path: Path) -> None:
    text = "part;ring;thickness (mm);weight\ntap;dull;3,25;1,234 kg\nold;rings;;\n"
    sheet = read_rows(saved(tmp_path, text), Bench())
    parts = [ToFillIn("hinge", ("hinge.jpg",)), ToFillIn("tap", ("tap.jpg",), sheet.rows[0])]
    write_rows(tmp_path / "new.csv", parts, sheet)
    again = read_rows(tmp_path / "new.csv", Bench())
    assert [row.part for row in again.rows] == ["hinge", "tap", "old"]
    assert again.rows[1].typed == sheet.rows[0].typed == {"ring": "dull", "thickness": "3.25 mm", "weight": "1.234 kg"}
    assert again.rows[2].typed == {"ring": "rings"}


@pytest.mark.parametrize(
    "cell",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "\n=1", "＝1+1", "a;=1", "a;b;@x", "a\n=1", "'=1", "a;'=1"],
)
@pytest.mark.parametrize("between", [",", ";"])
def test_no_cell_begins_as_a_formula_however_the_table_is_opened(tmp_path: Path, cell: str, between: str) -> None:
    """OWASP, CSV injection: cells must not begin with = + - @ (full width too), tab or carriage return."""
    assert unguarded(guarded(cell)) == cell
    write_rows(tmp_path / "answers.csv", [ToFillIn(cell, ("tap.jpg",))], Sheet(between=between))
    for opened in (between, ";"):
        with (tmp_path / "answers.csv").open(encoding="utf-8-sig", newline="") as file:
            for row in csv.reader(file, delimiter=opened):
                for text in row:
                    assert not text.strip().startswith(("=", "+", "-", "@", "＝")), row
                    assert not text.startswith(("\t", "\r")), row


def test_a_row_is_of_the_part_that_it_means(tmp_path: Path) -> None:
    """Whatever its capitals, and with the photo's ending; where nothing is meant for sure, it says what is near."""
    for name in ("tap.jpg", "Hinge.jpg", "hinge.png", "valve-1.jpg", "valve-2.jpg"):
        (tmp_path / name).write_bytes(b"\xff\xd8\xff")
    named = ["Tap", "hinge", "HINGE", "Valve-2.jpg", "tap.png", "tapp"]
    found = plan(tmp_path, "name", Sheet("a.csv", ",", tuple(Row(name, line=n) for n, name in enumerate(named, 2))))
    assert {part: row.part for (part, _), row in found.rows.items()} == {
        "tap": "Tap",
        "hinge": "hinge",
        "valve": "Valve-2.jpg",
    }
    assert found.unknown == (
        "HINGE (row 4; is it 'hinge'?)",
        "tap.png (row 6; is it 'tap'?)",
        "tapp (row 7; is it 'tap'?)",
    )


def test_two_rows_of_one_part_are_refused_however_they_are_spelt(tmp_path: Path) -> None:
    (tmp_path / "tap.jpg").write_bytes(b"\xff\xd8\xff")
    with pytest.raises(WrongCells) as wrong:
        plan(tmp_path, "name", Sheet("a.csv", ",", (Row("tap", line=2), Row("tap.jpg", line=3))))
    assert wrong.value.lines == ("a.csv row 3, column part: 'tap.jpg' is the part of row 2 already",)


def test_a_row_with_the_ending_of_a_photo_is_of_that_photo_alone(tmp_path: Path) -> None:
    for name in ("tap-1.jpg", "tap-2.jpg", "tap-1-1.jpg", "knob.jpg"):
        (tmp_path / name).write_bytes(b"\xff\xd8\xff")
    rows = (Row("tap-1.jpg", line=2), Row("knob.png", line=3))
    found = plan(tmp_path, "name", Sheet("a.csv", ",", rows))
    assert {part: row.part for (part, _), row in found.rows.items()} == {"tap": "tap-1.jpg"}
    assert found.unknown == ("knob.png (row 3; is it 'knob'?)",)


def test_with_each_a_name_that_is_a_photo_and_a_part_is_told_by_its_photo(tmp_path: Path) -> None:
    """tray-2 may be the second part of tray.jpg, or all of tray-2.jpg."""
    for name in ("tray.jpg", "tray-2.jpg"):
        (tmp_path / name).write_bytes(b"\xff\xd8\xff")
    with pytest.raises(WrongCells, match="1 cell") as wrong:
        plan(tmp_path, "each", Sheet("a.csv", ",", (Row("tray-2", line=2),)))
    assert "may be tray-2 or part 2 of tray; name its photo" in wrong.value.lines[0]
    rows = (Row("tray-2", photos=("tray.jpg",), line=2), Row("tray-2", photos=("tray-2.jpg",), line=3))
    found = plan(tmp_path, "each", Sheet("a.csv", ",", rows))
    assert {place: row.line for place, row in found.rows.items()} == {("tray", 2): 2, ("tray-2", 0): 3}
    (tmp_path / "tray-2.jpg").unlink()
    found = plan(tmp_path, "each", Sheet("a.csv", ",", rows[1:]))
    assert not found.rows
    assert len(found.unknown) == 1


@pytest.mark.parametrize("name", ["tray-0", "tray-" + 5000 * "9", "tray-x", "tray-"])
def test_no_number_of_a_part_is_an_unknown_row(tmp_path: Path, name: str) -> None:
    (tmp_path / "tray.jpg").write_bytes(b"\xff\xd8\xff")
    found = plan(tmp_path, "each", Sheet("a.csv", ",", (Row(name, line=2),)))
    assert not found.rows
    assert len(found.unknown) == 1
