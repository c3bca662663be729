"""idkit score: photos whose answer is known."""

from __future__ import annotations

import builtins
import csv
import json
from collections.abc import Sequence
from pathlib import Path

import pytest

from idkit.show import cli

SAMPLES = Path(__file__).resolve().parents[2] / "sample_images"
Captured = pytest.CaptureFixture[str]
Rows = Sequence[Sequence[str]]


def table(path: Path, *rows: Sequence[str], mark: str = ",") -> Path:
    """A csv of these rows."""
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=mark).writerows(rows)
    return path


def called(folder: Path, labels: Path, *more: str) -> int:
    return cli.run(["score", str(folder), "--labels", str(labels), *more])


def scored(folder: Path, labels: Path, capsys: Captured, status: int = 0) -> tuple[dict, str]:  # type: ignore[type-arg]
    """The JSON document and what was said beside it."""
    assert called(folder, labels, "--json") == status
    out = capsys.readouterr()
    return json.loads(out.out), out.err


def test_the_sample_parts_are_scored_from_their_own_table(capsys: Captured, tmp_path: Path) -> None:
    """The truth is in index.csv, under columns of its own with units behind them; all ten piles are settled and right.

    Enough parts for a second process, whose result is the same.
    """
    document, said = scored(SAMPLES, SAMPLES / "index.csv", capsys)
    assert document["parts"] == 10
    assert document["columns_not_read"] == ["notes"]
    assert "notes" in said
    pile = document["scores"]["pile"]
    assert pile["right"]["right"] == pile["right"]["count"] == 10
    assert 0.69 < pile["right"]["low"] < 0.73  # Wilson of 10 of 10: 0.722
    assert document["sure"]["count"] == 10
    assert document["sure"]["wrong_at_most"] == pytest.approx(1 - 0.05 ** (1 / 10))
    assert [each["pattern"] for each in document["likely_sets"]] == ["photo-and-water"]
    material = document["scores"]["material"]
    confusion = material["confusion"]
    right = sum(confusion["true_by_said"][i][i] for i in range(len(confusion["names"])))
    assert right == material["right"]["right"] == sum(each["right"] for each in material["by_name"].values())
    assert document["simulated"] is True


def test_answers_alone_are_scored_and_words_fit_a_terminal(tmp_path: Path, capsys: Captured) -> None:
    """Densities of a handbook: copper 8.93, lead 11.34, aluminium 2.70 g/cm³ (CRC Handbook, from memory)."""
    labels = table(
        tmp_path / "bench.csv",
        ("part", "material", "magnet", "weight-in-water", "scratch colour"),
        ("bus bar", "copper", "none", "8.93 g/cm3", "copper-red"),
        ("sinker", "lead", "none", "11.34 g/cm3", "grey-white"),
        ("bracket", "aluminium-wrought", "none", "2.70 g/cm3", "grey-white"),
    )
    assert called(tmp_path, labels) == 0
    out = capsys.readouterr()
    assert out.err == ""
    assert max(map(len, out.out.splitlines())) <= 80
    words = " ".join(out.out.split())
    assert "Pile: right first" in words
    assert "lead 1 of 1" in words
    assert "answers-and-water" in words
    assert "photos say" not in words  # nothing rests on simulated photographs


def test_several_rows_are_photos_of_one_part_and_colours_may_be_all_that_is_known(
    tmp_path: Path, capsys: Captured
) -> None:
    """Semicolons, as some spreadsheets save them, and a column by another name."""
    labels = table(
        tmp_path / "colours.csv",
        ("file", "part", "colour_family", "magnet"),
        ("tap.jpg", "tap", "brass-yellow", "none"),
        ("hinge.jpg", "leaf", "grey-white", ""),
        ("pump-body.jpg", "leaf", "", ""),
        ("elbow.jpg", "elbow", "", ""),
        mark=";",
    )
    document, said = scored(SAMPLES, labels, capsys)
    assert document["parts"] == 2
    assert set(document["scores"]) == {"family"}
    assert document["scores"]["family"]["right"]["right"] == 2
    assert document["likely_sets"] == []
    assert document["rows_without_answer"] == 1
    assert "left out" in said


def test_both_photos_of_a_part_are_read(tmp_path: Path, capsys: Captured) -> None:
    labels = table(
        tmp_path / "two.csv",
        ("photo", "part", "material", "group"),
        ("tap.jpg", "tap", "yellow-brass", "shed"),
        ("elbow.jpg", "tap", "yellow-brass", "shed"),
        ("hinge.jpg", "hinge", "zinc-die-cast", "house"),
    )
    document, _ = scored(SAMPLES, labels, capsys)
    assert document["parts"] == 2
    material = document["scores"]["material"]
    assert material["intervals_by_group"] is True
    assert material["right"]["high"] - material["right"]["low"] > 0.5  # two parts tell next to nothing
    alone = table(tmp_path / "one.csv", ("photo", "material"), ("tap.jpg", "yellow-brass"))
    one, _ = scored(SAMPLES, alone, capsys)
    both = next(each for each in document["each"] if each["part"] == "tap")
    assert both["chance_of_truth"]["material"] != one["each"][0]["chance_of_truth"]["material"]


WRONG = (
    ("photo", "part", "material", "pile", "family", "magnet", "thickness_mm", "form", "jar"),
    ("tap.jpg", "tap", "yelow-brass", "", "", "none", "3.5", "fitting", ""),
    ("hinge.jpg", "hinge", "zinc-die-cast", "zink", "", "sticky", "5.2", "casting", ""),
    ("rail.jpg", "rail", "", "", "two-tone", "none", "thin", "blob", ""),
    ("elbow.jpg", "elbow", "copper", "", "", "none", "", "", "20 g"),
)


def test_every_wrong_cell_is_said_at_once_by_row_and_column(tmp_path: Path, capsys: Captured) -> None:
    labels = table(tmp_path / "wrong.csv", *WRONG)
    assert called(SAMPLES, labels) == 2
    out = capsys.readouterr()
    assert out.out == ""
    lines = out.err.strip().splitlines()
    places = [line.split(":")[0] for line in lines]
    assert places == [
        "wrong.csv, row 2, column material",
        "wrong.csv, row 3, column pile",
        "wrong.csv, row 3, column magnet",
        "wrong.csv, row 4, column family",
        "wrong.csv, row 4, column thickness_mm",
        "wrong.csv, row 4, column form",
        "wrong.csv, row 5",
    ]
    assert "did you mean yellow-brass" in lines[0]


@pytest.mark.parametrize(
    ("rows", "named"),
    [
        ([("photo", "magnet"), ("tap.jpg", "none")], "material, category or family"),
        ([("photo", "file", "material"), ("tap.jpg", "tap.jpg", "copper")], "mean the same"),
        ([("material",), ("copper",)], "no column photo"),
        ([("photo", "material"), ("tap.jpg", "copper", "more")], "row 2"),
        ([("photo", "material"), ("tap.jpg", "")], "no row with a known answer"),
        ([("photo", "photo"), ("tap.jpg", "a")], "each once"),
        ([("photo", "material", "jar"), ("tap.jpg", "copper", "20 g")], "--weight"),
        ([("photo", "part", "material"), ("tap.jpg", "a", "copper"), ("tap.jpg", "b", "lead")], "row 2"),
        ([("photo", "part", "material"), ("tap.jpg", "a", "copper"), ("rail.jpg", "a", "lead")], "'copper'"),
        ([("photo", "material"), ("", "copper")], "neither a photo nor an answer"),
    ],
)
def test_a_table_that_cannot_be_is_refused(rows: Rows, named: str, tmp_path: Path, capsys: Captured) -> None:
    assert called(SAMPLES, table(tmp_path / "wrong.csv", *rows)) == 2
    out = capsys.readouterr()
    assert out.out == ""
    assert named in out.err
    assert "report it" not in out.err


@pytest.mark.parametrize("what", ["missing", "folder", "latin", "no folder", "empty"])
def test_files_that_cannot_be_read_are_one_line(what: str, tmp_path: Path, capsys: Captured) -> None:
    labels, folder = tmp_path / "labels.csv", SAMPLES
    if what == "folder":
        labels.mkdir()
    if what in ("latin", "empty"):
        labels.write_bytes("photo,material\nrücklicht.jpg,copper\n".encode("latin-1") if what == "latin" else b"")
    if what == "no folder":
        folder = tmp_path / "nowhere"
    assert called(folder, labels) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1


def test_one_photo_that_cannot_be_read_is_a_line_and_the_rest_are_scored(tmp_path: Path, capsys: Captured) -> None:
    labels = table(
        tmp_path / "labels.csv",
        ("photo", "material"),
        ("tap.jpg", "yellow-brass"),
        ("gone.jpg", "copper"),
    )
    document, said = scored(SAMPLES, labels, capsys, status=1)
    assert document["parts"] == 1
    (line,) = document["unread"]
    assert "gone.jpg" in line
    assert line in said


def test_nothing_readable_is_nothing_done(tmp_path: Path, capsys: Captured) -> None:
    labels = table(tmp_path / "labels.csv", ("photo", "material"), ("gone.jpg", "copper"))
    assert called(SAMPLES, labels) == 3
    out = capsys.readouterr()
    assert out.out == ""
    assert "gone.jpg" in out.err


def test_a_pile_that_hangs_on_a_thickness_nobody_gave_is_not_scored(tmp_path: Path, capsys: Captured) -> None:
    """Steel bar is light or heavy by its thickness: the line of 1/4 in, which lies at 6.35 mm."""
    columns = ("part", "material", "magnet", "form", "thickness")
    thick = ("rod", "carbon-steel", "strong", "bar", "12 mm")
    labels = table(tmp_path / "steel.csv", columns, thick, ("bar", "carbon-steel", "strong", "bar", ""))
    document, _ = scored(tmp_path, labels, capsys)
    assert document["scores"]["pile"]["right"]["count"] == 1
    assert list(document["scores"]["pile"]["by_name"]) == ["heavy-steel"]
    assert document["scores"]["material"]["right"]["count"] == 2


def test_pictures_are_drawn(tmp_path: Path, capsys: Captured) -> None:
    labels = table(tmp_path / "labels.csv", ("photo", "material"), ("tap.jpg", "yellow-brass"))
    assert called(SAMPLES, labels, "--pictures", str(tmp_path / "seen")) == 0
    names = sorted(path.name for path in (tmp_path / "seen").iterdir())
    assert names == ["material-confusion.png", "material-reliability.png", "pile-confusion.png", "pile-reliability.png"]
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in (tmp_path / "seen").iterdir())


def test_without_matplotlib_pictures_are_refused_before_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    real = builtins.__import__

    def without(name: str, *rest: object, **more: object) -> object:
        if name.startswith("matplotlib"):
            raise ImportError(name)
        return real(name, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", without)
    labels = table(tmp_path / "labels.csv", ("photo", "material"), ("tap.jpg", "yellow-brass"))
    assert called(SAMPLES, labels, "--pictures", str(tmp_path / "seen")) == 3
    out = capsys.readouterr()
    assert out.out == ""
    assert "-m pip install '.[report]'" in out.err
    assert not (tmp_path / "seen").exists()


def test_a_photo_under_two_names_is_said_to_count_twice(tmp_path: Path, capsys: Captured) -> None:
    for name in ("one.jpg", "two.jpg"):
        (tmp_path / name).write_bytes((SAMPLES / "tap.jpg").read_bytes())
    rows = [("photo", "material"), ("one.jpg", "yellow-brass"), ("two.jpg", "yellow-brass")]
    document, said = scored(tmp_path, table(tmp_path / "labels.csv", *rows), capsys)
    assert "two is the same photo as one" in said
    assert document["parts"] == 2
