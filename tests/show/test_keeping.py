"""Records and samples from the command line: kept, confirmed, listed, added and told, with the promised exit status."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit import flows, keep
from idkit.keep import store
from idkit.show import cli

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "sample_images"
TAP, HINGE, BOLT = (str(SAMPLES / name) for name in ("tap.jpg", "hinge.jpg", "gate-bolt.jpg"))
Captured = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    return tmp_path / "idkit"


def told(capsys: Captured, *arguments: str, status: int = 0) -> str:
    """What is printed, on both streams; the status must be the one that is expected."""
    assert cli.run([*arguments]) == status
    both = capsys.readouterr()
    return both.out + both.err


def document(capsys: Captured, *arguments: str) -> dict:  # type: ignore[type-arg]
    assert cli.run([*arguments, "--json"]) == 0
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


def test_a_verdict_is_kept_confirmed_and_shown_with_both_words_apart(capsys: Captured) -> None:
    (part,) = document(capsys, "identify", TAP, "--magnet", "none", "--keep")["parts"]
    assert part["record"] == 1
    assert "Kept as record 2" in told(capsys, "identify", HINGE, "--keep", "--with-photo")
    assert "says red brass" in told(capsys, "confirm", "1", "Red brass", "--yard", "North", "--note", "by the gun")
    (again,) = document(capsys, "records", "show", "1")["parts"]
    assert again["materials"] == part["materials"]
    assert again["label"]["materials"] == ["red-brass"]
    assert again["label"]["note"] == "by the gun"
    shown = told(capsys, "records", "show", "1")
    assert "What the machine said" in shown
    assert "the yard North says red brass: by the gun (this one counts)" in shown
    assert "Confirm at the yard" in shown
    assert keep.show(2).photos[0].original == Path(HINGE).read_bytes()
    assert keep.show(1).photos[0].original is None
    assert max(len(line) for line in shown.splitlines()) <= 80


def test_nothing_is_kept_unless_it_is_asked_for(capsys: Captured, own_home: Path) -> None:
    told(capsys, "identify", TAP)
    told(capsys, "records", "list")
    told(capsys, "samples", "report")
    assert not own_home.exists()


def test_each_part_of_a_photo_is_a_record(capsys: Captured, tmp_path: Path) -> None:
    parts = [cv2.resize(cv2.imread(path), (380, 290)) for path in (TAP, HINGE)]
    assert cv2.imwrite(str(tmp_path / "two.jpg"), np.hstack(parts))
    found = document(capsys, "identify", str(tmp_path / "two.jpg"), "--each", "--keep")["parts"]
    assert [part["record"] for part in found] == list(range(1, len(found) + 1))
    assert len({sample.group for sample in keep.samples()}) <= 1


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["confirm", "9", "lead", "--by", "yard"], "record: got 9, which is not kept"),
        (["confirm", "x", "lead", "--by", "yard"], "record: got 'x'"),
        (["confirm", "1-99999999", "lead", "--by", "yard"], "record: got '1-99999999'"),
        (["confirm", "1", "leed", "--by", "yard"], "right is lead"),
        (["confirm", "1", "lead"], "--by: got ''"),
        (["confirm", "1", "--by", "yard"], "neither a material nor --category"),
        (["confirm", "1", "lead", "--category", "lead", "--by", "yard"], "got both"),
        (["confirm", "1", "lead", "--by", "self", "--yard", "North"], "--yard: got 'North'"),
        (["confirm", "1", "--category", "shiny", "--by", "yard"], "pile: got 'shiny'"),
        (["confirm", "1", "--withdraw", "--by", "yard"], "--withdraw: got record 1, of which the yard said nothing"),
        (["records", "show", "9"], "record: got 9"),
        (["records", "list", "--since", "soon"], "--since: got 'soon'"),
        (["samples", "remove", "9"], "record: got 9"),
        (["samples", "pick", "0"], "count: got 0"),
        (["samples", "export", "out.txt"], "is no name for a package"),
        (["samples", "import", "none.zip"], "none.zip: can't be read"),
        (["samples", "import", "none.zip", "--weight", "3"], "--weight: got 3"),
        (["samples", "add", "nowhere"], "nowhere: can't be read"),
        (
            ["samples", "downgrade", "1", "--claimed", "lead", "--paid", "zinc", "--reason", " "],
            "--reason: got nothing",
        ),
        (
            [
                "samples",
                "downgrade",
                "1",
                "--claimed",
                "lead",
                "--paid",
                "zinc",
                "--reason",
                "x",
                "--culprit",
                "99",
                "--is",
                "tin",
            ],
            "got 99",
        ),
        (
            ["samples", "downgrade", "1", "--claimed", "lead", "--paid", "lead", "--reason", "x"],
            "which is what was claimed",
        ),
    ],
)
def test_a_wrong_call_is_one_line(capsys: Captured, arguments: list[str], words: str) -> None:
    told(capsys, "identify", "--magnet", "none", "--keep")
    line = told(capsys, *arguments, status=2)
    assert words in line
    assert len(line.strip().splitlines()) == 1


def test_a_pile_is_a_set_of_materials_by_the_parts_own_answers(capsys: Captured) -> None:
    told(capsys, "identify", "--magnet", "none", "--form", "casting", "--keep")
    told(capsys, "confirm", "1", "--category", "zinc", "--by", "yard")
    (sample,) = keep.samples()
    assert "zinc-die-cast" in sample.materials
    assert "aluminium-cast" not in sample.materials
    assert len(sample.materials) > 1
    assert sample.label.pile == "zinc"


def test_a_word_taken_back_stays_in_the_store(capsys: Captured) -> None:
    told(capsys, "identify", "--magnet", "none", "--keep")
    told(capsys, "confirm", "1", "lead", "--by", "analyser")
    told(capsys, "confirm", "1", "tin", "--by", "yard")
    assert "Taken back: 1" in told(capsys, "confirm", "1", "--withdraw", "--by", "analyser")
    assert keep.samples()[0].materials == ("tin",)
    assert len(keep.show(1).labels) == 3


def test_folders_of_materials_are_added_once_whatever_was_done_to_the_photos(capsys: Captured, tmp_path: Path) -> None:
    brass, zinc = tmp_path / "mine" / "yellow-brass", tmp_path / "mine" / "Zinc die casting"
    brass.mkdir(parents=True)
    zinc.mkdir()
    shutil.copy(TAP, brass)
    (zinc / "bolt").mkdir()
    shutil.copy(BOLT, zinc / "bolt" / "whole.jpg")
    (zinc / "broken.jpg").write_bytes(b"not a photo")
    said = told(capsys, "samples", "add", str(tmp_path / "mine"), "--by", "yard", "--yard", "North", status=1)
    assert "broken.jpg: is not a photo" in said
    assert "2 new of 3 parts" in said
    assert cv2.imwrite(str(brass / "turned.jpg"), np.rot90(cv2.imread(TAP)).copy(), [cv2.IMWRITE_JPEG_QUALITY, 50])
    (zinc / "broken.jpg").unlink()
    again = told(capsys, "samples", "add", str(tmp_path / "mine"), "--by", "yard")
    assert "turned: the same photo as record 2: not added again" in again
    assert "0 new of 3 parts" in again
    labels = [(sample.part, sample.materials) for sample in keep.samples()]
    assert labels == [("bolt", ("zinc-die-cast",)), ("tap", ("yellow-brass",))]
    shutil.move(brass / "turned.jpg", zinc / "turned.jpg")
    against = told(capsys, "samples", "add", str(tmp_path / "mine"))
    assert "which was said to be yellow-brass: not added" in " ".join(against.split())
    assert len(keep.samples()) == 2


def test_a_yard_is_the_one_in_use_or_known_by_its_name(capsys: Captured) -> None:
    told(capsys, "identify", "--magnet", "none", "--keep")
    told(capsys, "confirm", "1", "lead", "--by", "yard")  # before any yard is in use
    told(capsys, "yard", "new", "Old Quay Metals")
    for named in ((), ("--yard", "old quay  metals"), ("--yard", "North Gate")):
        told(capsys, "confirm", "1", "lead", "--by", "yard", *named)
    assert [label.yard for label in keep.show(1).labels] == ["", "Old Quay Metals", "Old Quay Metals", "North Gate"]
    line = told(capsys, "confirm", "1", "lead", "--by", "yard", "--yard", "Old Quay Metal", status=2)
    assert "which is no yard; right is Old Quay Metals" in line
    told(capsys, "confirm", "1", "--withdraw", "--by", "yard")
    told(capsys, "confirm", "1", "--withdraw", "--by", "yard")  # what was said before a yard was in use
    assert {label.yard for label in flows.standing_of(keep.show(1).labels)} == {"North Gate"}
    line = told(capsys, "confirm", "1", "--withdraw", "--by", "yard", status=2)
    assert "said nothing that stands" in line


def test_a_photo_kept_twice_is_said(capsys: Captured, tmp_path: Path) -> None:
    told(capsys, "identify", TAP, "--no-ask", "--keep")
    twice = " ".join(told(capsys, "identify", TAP, "--magnet", "none", "--keep").split())
    assert "record 1 holds the same photo already" in twice
    assert "idkit samples remove 2" in twice
    shutil.copy(TAP, tmp_path / "tap.jpg")
    shutil.copy(BOLT, tmp_path / "bolt.jpg")
    tagged = " ".join(told(capsys, "tag", str(tmp_path), "--keep").split())
    assert "Records: 2 kept" in tagged
    assert "The photo of record 4 is in another record too" in tagged
    assert "in another record" not in told(capsys, "tag", str(tmp_path), "--keep")


def test_a_table_of_labels_brings_answers_and_parts_of_several_photos(capsys: Captured, tmp_path: Path) -> None:
    table = tmp_path / "labels.csv"
    table.write_text(
        "file,part,material,by,magnet,thickness,surface,note\n"
        "tap.jpg,garden tap,yellow brass,analyser,none,3.5 mm,scratched,old paint\n"
        "elbow.jpg,garden tap,yellow brass,analyser,none,3.5 mm,scratched,\n"
        "hinge.jpg,,zinc-die-cast,,,,,\n",
        "utf-8",
    )
    assert "2 new of 2 parts" in told(capsys, "samples", "add", str(SAMPLES), "--labels", str(table))
    tap, hinge = keep.samples()
    assert (tap.part, len(tap.photos), tap.weight, tap.surface) == ("garden tap", 2, 1.0, "scratched")
    assert tap.answers["thickness"].value == pytest.approx(0.0035)
    assert (hinge.part, hinge.weight, hinge.tests) == ("hinge", 0.3, False)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("photo,material\ntap.jpg,lead\n", "has a column 'photo'"),
        ("file\ntap.jpg\n", "has the columns file"),
        ("file,material\ntap.jpg,leed\n", "row 2: material: got 'leed'"),
        ("file,material\ntap.jpg,\n", "row 2: material: got ''"),
        ("file,material,magnet\ntap.jpg,lead,none\nhinge.jpg,lead,sticky\n", "row 3: --magnet: got 'sticky'"),
        ("file,material,by\ntap.jpg,lead,uncle\n", "row 2: by: got 'uncle'"),
        ("file,part,material\ntap.jpg,a,lead\nhinge.jpg,a,tin\n", "row 3: the part 'a': got another label"),
        ("", "a row of column names, each once"),
    ],
)
def test_a_wrong_table_is_refused_before_anything_is_kept(
    capsys: Captured, tmp_path: Path, own_home: Path, text: str, words: str
) -> None:
    (tmp_path / "labels.csv").write_text(text, "utf-8")
    line = told(capsys, "samples", "add", str(SAMPLES), "--labels", str(tmp_path / "labels.csv"), status=2)
    assert words in line
    *rows, last = line.strip().splitlines()
    assert len(rows) == ("so nothing is kept" in last)
    assert not own_home.exists()


def test_photos_that_lie_loose_are_told_where_to_go(capsys: Captured, tmp_path: Path) -> None:
    shutil.copy(TAP, tmp_path / "tap.jpg")
    (tmp_path / "idkit-tags").mkdir()
    line = told(capsys, "samples", "add", str(tmp_path), status=2)
    assert "holds photos themselves, such as tap.jpg; right is a folder a material" in line


def test_every_wrong_row_of_a_table_is_told_at_once(capsys: Captured, tmp_path: Path, own_home: Path) -> None:
    table = tmp_path / "labels.csv"
    table.write_text("file,material,by\ntap.jpg,leed,\n,,\nelbow.jpg,copper,nobody\nbolt.jpg,steel wool,\n", "utf-8")
    *rows, last = told(capsys, "samples", "add", str(SAMPLES), "--labels", str(table), status=2).strip().splitlines()
    assert [row.partition(":")[0] for row in rows] == [f"labels.csv, row {row}" for row in (2, 4, 5)]
    assert "3 rows can't be read, so nothing is kept" in last
    assert not own_home.exists()


def test_removed_undone_and_purged(capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    for _ in range(3):
        told(capsys, "identify", "--magnet", "none", "--keep")
    assert "2 removed" in told(capsys, "samples", "remove", "1-2")
    assert "1 put back" in told(capsys, "samples", "remove", "1", "--undo")
    monkeypatch.setattr("sys.stdin.readline", lambda: "n\n", raising=False)
    assert "Nothing was deleted" in told(capsys, "samples", "purge")
    assert "1 deleted for good" in told(capsys, "samples", "purge", "--yes")
    rows = document(capsys, "records", "list")["records"]
    assert [row["record"] for row in rows] == [3, 1]


def test_the_report_by_hand(capsys: Captured) -> None:
    """Worked by hand: of three parts that the yard North named, the machine had named one; one mistake, one dispute."""
    told(capsys, "identify", TAP, "--magnet", "none", "--keep")  # the machine: yellow brass
    told(capsys, "identify", TAP, "--magnet", "none", "--keep")
    told(capsys, "identify", BOLT, "--keep")  # the machine: carbon steel, on light iron
    first = [keep.show(number).kept.material for number in (1, 2, 3)]
    assert first[:2] == ["yellow-brass", "yellow-brass"]
    told(capsys, "confirm", "1", "yellow-brass", "--yard", "North")
    told(capsys, "confirm", "2", "red-brass", "--yard", "North")
    told(capsys, "confirm", "3", "zinc-die-cast", "--yard", "North")
    told(capsys, "confirm", "3", "--category", "aluminium-cast", "--yard", "South")
    told(capsys, "confirm", "3", "zinc-die-cast", "--yard", "North")
    report = document(capsys, "samples", "report")
    north = {row["what"]: row for row in report["agreements"] if row["yard"] == "North"}
    assert {what: (row["parts"], row["materials"], row["piles"]) for what, row in north.items()} == {
        "yellow-brass": (1, 1, 1),
        "red-brass": (1, 0, 1 if keep.show(2).kept.pile == keep.show(2).labels[0].pile else 0),
        "zinc-die-cast": (1, 0, 0),
    }
    (worst, *_) = report["mistakes"]
    assert worst["record"] == 3
    pile_chance = sum(row["chance"] for row in keep.show(3).document["categories"] if row["id"] == "zinc")
    assert worst["lost"] == pytest.approx(1 - pile_chance, abs=1e-4)
    assert worst["check"] == "magnet"  # steel pulls and zinc does not: nothing is quicker
    assert [row["record"] for row in report["disputed"]] == [3]
    assert sum(row["parts"] for row in report["outcomes"]) == 3
    assert report["at_random"] == []
    words = told(capsys, "samples", "report")
    assert "Yards disagree on record 3" in words
    assert "magnet would have caught it" in words
    assert max(len(line) for line in words.splitlines()) <= 80


def test_a_look_alike_of_a_past_mistake_is_warned_about(capsys: Captured, tmp_path: Path) -> None:
    told(capsys, "identify", BOLT, "--keep")
    assert document(capsys, "identify", BOLT)["parts"][0]["warnings"] == []
    told(capsys, "confirm", "1", "zinc-die-cast", "--yard", "North")
    assert cv2.imwrite(str(tmp_path / "again.jpg"), cv2.imread(BOLT)[:, ::-1].copy(), [cv2.IMWRITE_JPEG_QUALITY, 85])
    (warning,) = document(capsys, "identify", str(tmp_path / "again.jpg"))["parts"][0]["warnings"]
    assert "record 1 (gate-bolt), put on" in warning
    assert "the yard North called zinc die casting" in warning
    assert "Careful: it looks like record 1" in told(capsys, "identify", str(tmp_path / "again.jpg"))
    assert document(capsys, "identify", TAP)["parts"][0]["warnings"] == []
    told(capsys, "confirm", "1", "--withdraw", "--yard", "North")
    assert document(capsys, "identify", BOLT)["parts"][0]["warnings"] == []


def test_a_verdict_that_cannot_be_kept_is_still_said(
    capsys: Captured, own_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own_home.mkdir()
    (own_home / store.FILE).write_text("a shopping list " * 100, "utf-8")
    assert cli.run(["identify", "--magnet", "none", "--keep"]) == 3
    both = capsys.readouterr()
    assert "Confirm at the yard" in both.out
    assert "not kept: " in both.err
    assert "is no store of idkit" in both.err


def test_a_downgraded_line_moves_no_other_parts_chances(capsys: Captured) -> None:
    found = flows.identify([], {"magnet": "none"})
    for _ in range(3):
        flows.keep_record(found, lambda record: {"part": record.part})
    before = {number: keep.show(number).chances for number in (1, 2, 3)}
    line = ["1-3", "--claimed", "yellow-brass", "--paid", "zinc", "--reason", "zinc in it", "--yard", "North"]
    assert "No part has a new label" in told(capsys, "samples", "downgrade", *line)
    assert keep.samples() == ()
    told(capsys, "samples", "downgrade", *line, "--culprit", "2", "--is", "zinc-die-cast")
    assert [(sample.record, sample.materials) for sample in keep.samples()] == [(2, ("zinc-die-cast",))]
    assert {number: keep.show(number).chances for number in (1, 2, 3)} == before
    assert flows.identify([], {"magnet": "none"}).record.verdict.chances == found.record.verdict.chances


def test_a_part_that_was_kept_again_counts_once(capsys: Captured) -> None:
    for _ in range(3):
        told(capsys, "identify", TAP, "--magnet", "none", "--keep")
    told(capsys, "confirm", "1-3", "yellow-brass", "--yard", "North")
    assert [sample.record for sample in keep.samples()] == [3]
    assert document(capsys, "samples", "report")["agreements"][0]["parts"] == 1


def test_a_yards_word_on_what_one_had_named_oneself_is_added(capsys: Captured, tmp_path: Path) -> None:
    (tmp_path / "parts" / "yellow-brass").mkdir(parents=True)
    shutil.copy(TAP, tmp_path / "parts" / "yellow-brass")
    told(capsys, "samples", "add", str(tmp_path / "parts"))
    assert "one more" in told(capsys, "samples", "add", str(tmp_path / "parts"), "--by", "yard", "--yard", "North")
    assert {label.by for label in keep.show(1).labels} == {"self", "yard"}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes")
def test_a_pipe_is_no_photo_and_no_package(tmp_path: Path, capsys: Captured) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    assert cli.run(["identify", str(tmp_path / "pipe.jpg")]) == 3
    assert cli.run(["samples", "import", str(tmp_path / "pipe.jpg")]) == 2
    assert capsys.readouterr().err.count("is no file") == 2
