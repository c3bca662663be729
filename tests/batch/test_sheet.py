"""The answers file, as spreadsheets save it in many countries."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from idkit.batch import WrongCells, guarded, read_rows, write_rows
from idkit.errors import CallError
from idkit.vocabulary import Bench

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
        "sep=;\npart;magnet;Thickness [mm];note\nSäule;none;3,25;old paint\n",
        "part\tmagnet\tthickness\tnote\nSäule\tnone\t3,25 mm\told paint\n",
        "note;part;magnet;thickness\n;;;\nold paint;Säule;none;3,25 mm\n",
    ],
)
def test_the_same_row_however_it_was_saved(tmp_path: Path, text: str, ends: str, encoding: str) -> None:
    (row,) = read_rows(saved(tmp_path, text.replace("\n", ends), encoding), Bench()).values()
    assert (row.part, row.note) == ("Säule", "old paint")
    assert row.typed == {"magnet": "none", "thickness": "3.25 mm"}


def test_decimal_commas_are_read_as_such_where_the_comma_parts_nothing_else(tmp_path: Path) -> None:
    """1,234 is refused where it could be read two ways; beside semicolons it can't."""
    rows = read_rows(saved(tmp_path, "part;weight\ntap;1,234 kg\n"), Bench())
    assert rows["tap"].typed["weight"] == "1.234 kg"
    with pytest.raises(WrongCells) as wrong:
        read_rows(saved(tmp_path, 'part,weight\ntap,"1,234 kg"\n'), Bench())
    assert "1.234 kg or 1234 kg" in wrong.value.lines[0]


def test_the_bench_adds_its_scale_and_magnet(tmp_path: Path) -> None:
    rows = read_rows(saved(tmp_path, "part,weight,scale,magnet\ntap,120 g,kitchen,none\n"), KITCHEN)
    assert rows["tap"].typed["scale"] == "kitchen: 1 g"
    assert rows["tap"].typed["magnet-kind"] == "neodymium"


def test_every_wrong_cell_is_told_by_row_and_column(tmp_path: Path) -> None:
    text = (
        "part,magnet,thickness,weight,jar\n"
        "tap,sticky,3,,\n"
        "knob,none,,,30 g\n"
        ",none,,,\n"
        '"two\nlines",none,,100 g,150 g\n'
        "tap,none,,,\n"
        "foot,none,,,,extra\n"
    )
    with pytest.raises(WrongCells) as wrong:
        read_rows(saved(tmp_path, text), Bench())
    told = wrong.value.lines
    starts = [
        *("row 2, column magnet", "row 2, column thickness", "row 3, column jar", "row 4, column part"),
        *("row 6, column jar", "row 7, column part", "row 8, column 6"),  # rows are lines of the file
    ]
    assert len(told) == len(starts)
    for line, start in zip(told, starts, strict=True):
        assert line.startswith(f"answers.csv {start}"), line
    assert "none, weak, strong or in-places" in told[0]
    assert "row 2 already" in told[5]


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("", "empty"),
        ("magnet\nnone\n", "no column 'part'"),
        ("part,magnett\ntap,none\n", "is it 'magnet'?"),
        ("part,magnet,magnet\ntap,none,weak\n", "twice"),
        ('part,note\ntap,"never closed\n', "row"),
    ],
)
def test_a_wrong_file_is_one_line(tmp_path: Path, text: str, named: str) -> None:
    with pytest.raises(CallError) as wrong:
        read_rows(saved(tmp_path, text), Bench())
    assert named in str(wrong.value)
    assert "\n" not in str(wrong.value)


def test_an_unknown_column_is_told_what_is_known_each_once(tmp_path: Path) -> None:
    with pytest.raises(CallError) as wrong:
        read_rows(saved(tmp_path, "part,how it smells\ntap,odd\n"), Bench())
    assert str(wrong.value).count(" scale,") == 1


def test_another_encoding_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(CallError, match="CSV UTF-8"):
        read_rows(saved(tmp_path, "part,note\nSäule,\n", "cp1252"), Bench())


def test_what_is_written_is_read_back_and_never_written_over(tmp_path: Path) -> None:
    photos = {"=1+1": ["=1+1.jpg"], "new\nline": ["new\nline.jpg"], "扳手": ["扳手-1.jpg", "扳手-2.jpg"]}
    path = tmp_path / "answers.csv"
    write_rows(path, photos)
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")
    rows = read_rows(path, Bench())
    assert list(rows) == list(photos)
    assert rows["扳手"].photos == ("扳手-1.jpg", "扳手-2.jpg")
    with pytest.raises(CallError, match="there already"):
        write_rows(path, {})
    assert list(read_rows(path, Bench())) == list(photos)


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"])
def test_no_cell_begins_as_a_formula(tmp_path: Path, cell: str) -> None:
    """OWASP, CSV injection: cells must not begin with = + - @, tab or carriage return."""
    assert guarded(cell)[0] == "'"
    write_rows(tmp_path / "answers.csv", {cell: ["tap.jpg"]})
    with (tmp_path / "answers.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    assert not row["part"].startswith(("=", "+", "-", "@", "\t", "\r"))
