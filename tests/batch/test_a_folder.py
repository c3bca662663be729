"""idkit tag, start to end, in this process: what it says, what it leaves behind, and that it touches no photo."""

from __future__ import annotations

import csv
import hashlib
import json
import os
import re
import shutil
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest

from idkit import batch
from idkit.show import cli

Captured = pytest.CaptureFixture[str]
Paint = Callable[[Path, int], Path]
PARTS = ["bolt", "door/hinge", "elbow", "foot", "grip", "hook", "valve"]
RESULTS = ("tags.jsonl", "tags.csv", "problems.csv", "pictures.html")


@pytest.fixture(autouse=True)
def _own_bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "home"))


def run(folder: Path, *more: str) -> int:
    return cli.run(["tag", str(folder), "--jobs", "1", *more])


def tags(folder: Path) -> dict[str, dict[str, Any]]:
    lines = (folder / "idkit-tags" / "tags.jsonl").read_text("utf-8").splitlines()
    return {part["part"]: part for part in map(json.loads, lines)}


def hashes(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.rglob("*.jpg")
    }


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


class Page(HTMLParser):
    """What a page loads, and what it says."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.loads: list[str] = []
        self.tags: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.said = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.append(tag)
        self.ids += [given["id"]] if "id" in given else []
        self.links += [given["href"]] if "href" in given else []
        self.loads += [given[name] for name in ("src", "srcset", "data", "action", "poster") if name in given]

    def handle_data(self, data: str) -> None:
        self.said += data


def test_every_part_is_tagged_one_bad_photo_is_one_line_and_no_photo_is_touched(bench: Path, capsys: Captured) -> None:
    before = hashes(bench)
    assert run(bench) == 1
    out = capsys.readouterr()
    assert "share a name" in out.out
    assert "Confirm at the yard" in " ".join(out.out.split()) or "confirm at the yard" in " ".join(out.out.split())
    assert len([line for line in out.out.splitlines() if "torn.jpg" in line]) == 1
    assert hashes(bench) == before
    found = tags(bench)
    assert list(found) == PARTS
    assert [photo["file"] for photo in found["hook"]["photos"]] == ["hook-1.jpg", "hook-2.jpg"]
    for part in found.values():
        assert sum(row["chance"] for row in part["materials"]) == pytest.approx(1, abs=1e-6)
        assert all(photo["sha256"] == before[photo["file"]] for photo in part["photos"])
    (problem,) = table(bench / "idkit-tags" / "problems.csv")
    assert problem["photo"] == "torn.jpg"
    rows = table(bench / "idkit-tags" / "tags.csv")
    assert [row["part"] for row in rows] == PARTS


def test_a_part_says_what_identify_says_of_the_same_photos(tagged: Path, capsys: Captured) -> None:
    photos = [str(tagged / f"hook-{number}.jpg") for number in (1, 2)]
    assert cli.run(["identify", *photos, "--json"]) == 0
    (part,) = json.loads(capsys.readouterr().out)["parts"]
    found = tags(tagged)["hook"]
    for field in (
        "materials",
        "likely",
        "sure",
        "next_check",
        "category",
        "categories",
        "cautions",
        "confirm",
        "model",
    ):
        assert found[field] == part[field]


def test_answers_reach_their_parts_and_a_danger_comes_first(bench: Path, capsys: Captured) -> None:
    answers = bench / "answers.csv"
    answers.write_text(
        "part;magnet;form;weight;jar;came-out-of;note\n"
        "bolt;strong;bar;;;;\n"
        "hook;none;casting;235,0 g;35,5 g;;\n"
        "valve;;;;;camping gas bottle;half full\n"
        "nobody;none;;;;;\n"
    )
    assert run(bench, "--answers", str(answers)) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "no part in the folder (1): nobody" in out
    assert "valve: Leave it closed" in out
    found = tags(bench)
    assert found["bolt"]["answers"]["magnet"]["value"] == "strong"
    assert found["hook"]["density"]["value"] == pytest.approx(6600, abs=60)  # 235 g / 35.5 g, in water of 998 kg/m³
    assert found["valve"]["leave_closed"]
    page = Page((bench / "idkit-tags" / "pictures.html").read_text("utf-8"))
    assert page.ids.index("leave-alone") < page.ids.index("plan")
    assert page.said.index("never cut, drill") < page.said.index("At the bench")
    assert "nobody" in page.said


def test_the_page_stands_alone_and_needs_no_script(tagged: Path) -> None:
    text = (tagged / "idkit-tags" / "pictures.html").read_text("utf-8")
    page = Page(text)
    assert not {"script", "link", "iframe", "object", "embed", "form"} & set(page.tags)
    assert len(page.loads) == 8  # a picture of every photo that could be read
    assert all(load.startswith("data:image/jpeg;base64,") for load in page.loads)
    assert "url(" not in text
    assert "@import" not in text
    assert all(link.startswith("#") and link[1:] in page.ids for link in page.links)
    plan = page.said[page.said.index("At the bench") :]
    assert re.search(r"these \d+, about", plan)


def test_contrast_of_the_page_is_enough() -> None:
    """WCAG 2.2, 1.4.3: at least 4.5 to 1, relative luminance as defined there."""
    template = Path(cli.__file__).with_name("pages") / "pictures.html"
    colours = dict(re.findall(r"--(\w+): #([0-9a-f]{6})", template.read_text("utf-8")))

    def luminance(code: str) -> float:
        channels = [int(code[i : i + 2], 16) / 255 for i in (0, 2, 4)]
        light = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]

    for name in ("ink", "quiet", "good", "doubt", "warn"):
        assert (luminance(colours["paper"]) + 0.05) / (luminance(colours[name]) + 0.05) >= 4.5, name


def test_names_are_shown_as_text_whatever_they_are(tmp_path: Path, paint: Paint) -> None:
    folder = tmp_path / "odd"
    names = ["<script>alert(1)<", "=cmd", "two\nlines", "Ünder 扳手"]
    for number, name in enumerate(names):
        paint(folder / f"{name}.jpg", number)
    if os.name == "posix":
        os.rename(paint(folder / "x.jpg", 9), os.fsencode(folder) + b"/caf\xe9.jpg")  # noqa: PTH104
    assert run(folder) == 0
    assert set(tags(folder)) >= set(names)
    text = (folder / "idkit-tags" / "pictures.html").read_text("utf-8")
    assert "<script" not in text
    assert "&lt;script&gt;" in text
    assert {row["part"] for row in table(folder / "idkit-tags" / "tags.csv")} >= {"'=cmd", "two\nlines"}


def test_a_second_run_does_nothing_anew_and_leaves_the_same(tagged: Path, capsys: Captured) -> None:
    out = tagged / "idkit-tags"
    first, journal = {name: (out / name).read_bytes() for name in RESULTS}, (out / "journal.txt").read_bytes()
    assert run(tagged) == 1
    assert "8 done before" in capsys.readouterr().out
    assert {name: (out / name).read_bytes() for name in RESULTS} == first
    assert (out / "journal.txt").read_bytes() == journal


def done_anew(bench: Path, *more: str) -> list[str]:
    """The parts that another run writes down."""
    journal = bench / "idkit-tags" / "journal.txt"
    before = journal.stat().st_size
    run(bench, *more)
    with journal.open("rb") as file:
        file.seek(before)
        return [json.loads(line[9:].split(b"\t")[0])["part"] for line in file]


def test_what_changed_is_done_anew_and_nothing_else(
    tagged: Path, paint: Paint, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("foot", "grip", "valve"):
        (tagged / f"{name}.jpg").unlink()
    os.utime(tagged / "bolt.jpg", (1, 1))  # touched, not changed
    assert done_anew(tagged) == []
    paint(tagged / "hook-2.jpg", 30)
    assert done_anew(tagged) == ["hook"]
    paint(tagged / "bolt-3.jpg", 31)
    assert done_anew(tagged) == ["bolt"]
    answers = tagged / "answers.csv"
    answers.write_text("part,magnet\nelbow,strong\n")
    assert done_anew(tagged, "--answers", str(answers)) == ["elbow"]
    assert len(done_anew(tagged, "--answers", str(answers), "--prior", "even")) == 5
    monkeypatch.setattr("idkit.flows.digest", lambda: "another model")
    assert len(done_anew(tagged, "--answers", str(answers), "--prior", "even")) == 5
    assert "grip" not in tags(tagged)


def test_a_moved_folder_goes_on(tagged: Path, capsys: Captured) -> None:
    moved = tagged.rename(tagged.with_name("moved"))
    run(moved)
    assert "8 done before" in capsys.readouterr().out


def test_wrong_cells_are_told_before_any_photo_is_read(bench: Path, capsys: Captured) -> None:
    answers = bench / "answers.csv"
    answers.write_text("part,photos,magnet\nbolt,gone.jpg,none\nelbow,foot.jpg | bolt.jpg,none\nfoot,foot.jpg,none\n")
    assert run(bench, "--answers", str(answers)) == 2
    told = capsys.readouterr().err.splitlines()
    starts = [
        "answers.csv row 2, column photos: 'gone.jpg' is no photo",
        "answers.csv row 4, column photos: 'foot.jpg' b",
    ]
    assert [line.startswith(start) for line, start in zip(told, starts, strict=False)] == [True, True]
    assert not (bench / "idkit-tags").exists()


def test_answers_that_a_later_run_leaves_out_are_told(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    folder, rows = paint(tmp_path / "bench" / "hook.jpg", 2).parent, tmp_path / "answers.csv"
    rows.write_text("part,magnet\nhook,none\n", "utf-8")
    assert run(folder, "--answers", str(rows)) == 0
    assert "in the run before" not in capsys.readouterr().out
    assert run(folder) == 0
    assert "1 part had answers in the run before and has none in this one" in " ".join(capsys.readouterr().out.split())


def test_answers_to_fill_in_are_written_and_name_the_parts(tagged: Path, tmp_path: Path, capsys: Captured) -> None:
    sheet = tmp_path / "fill in.csv"
    assert run(tagged, "--write-answers", str(sheet)) == 0
    assert [row["part"] for row in table(sheet)] == sorted([*PARTS, "torn"])
    capsys.readouterr()
    assert run(tagged, "--answers", str(sheet)) == 1
    assert "8 done before" in capsys.readouterr().out  # an empty row changes nothing
    assert run(tagged, "--write-answers", str(sheet)) == 2


def test_sorted_copies_are_copies_and_nothing_is_written_over(tagged: Path, capsys: Captured) -> None:
    before, heaps = hashes(tagged), tagged / "sorted"
    batch.make(heaps, "--sort", batch.COPIES)
    (heaps / "check-first").mkdir(parents=True)
    (heaps / "check-first" / "bolt.jpg").write_bytes(b"mine")
    (heaps / "spring").mkdir()
    shutil.copy(tagged / "elbow.jpg", heaps / "spring")  # a folder of one's own there is no pile
    run(tagged, "--sort", str(heaps))
    assert "earlier copy" not in capsys.readouterr().out
    copies = {path.name: path for path in heaps.rglob("*.jpg")}
    assert len(copies) == 9
    assert (heaps / "check-first" / "bolt.jpg").read_bytes() == b"mine"
    assert any(path.read_bytes() == (tagged / "bolt.jpg").read_bytes() for path in copies.values())
    capsys.readouterr()
    run(tagged, "--sort", str(heaps))
    assert "0 photos copied, 8 lay there already" in " ".join(capsys.readouterr().out.split())
    assert {name: code for name, code in hashes(tagged).items() if not name.startswith("sorted")} == before


def test_each_names_every_part_of_every_photo(tmp_path: Path, paint: Paint) -> None:
    paint(tmp_path / "tray" / "one.jpg", 1)
    paint(tmp_path / "tray" / "two.jpg", 2)
    assert run(tmp_path / "tray", "--each") == 0
    assert list(tags(tmp_path / "tray")) == ["one-1", "two-1"]


def test_each_part_of_a_photo_is_answered_by_its_own_row(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    tray, sheet = tmp_path / "tray", tmp_path / "answers.csv"
    paint(tray / "one.jpg", 1)
    paint(tray / "two.jpg", 2)
    assert run(tray, "--each") == 0
    assert run(tray, "--each", "--write-answers", str(sheet)) == 0
    assert [row["part"] for row in table(sheet)] == ["one-1", "two-1"]
    sheet.write_text("part,magnet,note\none,none,from a lamp\none-1,weak,bent\ntwo-1,strong,\ntwo-7,none,\n")
    assert done_anew(tray, "--each", "--answers", str(sheet)) == ["one", "two"]
    found = tags(tray)
    assert found["one-1"]["answers"]["magnet"]["value"] == "weak"
    assert found["one-1"]["note"] == "from a lamp; bent"
    assert found["two-1"]["answers"]["magnet"]["value"] == "strong"
    out = " ".join(capsys.readouterr().out.split())
    assert "not found in the photo: two-7 (found in that photo: 1)" in out
    assert "two-7" in Page((tray / "idkit-tags" / "pictures.html").read_text("utf-8")).said
    sheet.write_text("part,magnet,note\none,none,from a lamp\none-1,weak,bent\ntwo-1,weak,\n")
    assert done_anew(tray, "--each", "--answers", str(sheet)) == ["two"]


def everything(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize(
    "option",
    [
        *(["--out", "."], ["--out", ".."], ["--out", "door"], ["--out", "../mine"], ["--out", "bolt.jpg"]),
        *(
            ["--sort", "."],
            ["--sort", ".."],
            ["--sort", "door"],
            ["--sort", "../mine"],
            ["--out", "../mine", "--fresh"],
        ),
        *(["--sort", "idkit-tags"], ["--out", "new", "--sort", "new"]),
    ],
)
def test_a_folder_that_is_not_idkits_is_refused_before_any_work(
    bench: Path, option: list[str], monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    """Neither written into, nor hidden from the next run."""
    mine = bench.parent / "mine"
    mine.mkdir()
    for name in ("journal.txt", "tags.csv", "pictures.html"):
        (mine / name).write_text("my own words, without an end of line")
    monkeypatch.chdir(bench)
    batch.make(bench / "idkit-tags", "--out", batch.RESULTS)
    before = everything(bench.parent)
    assert cli.run(["tag", ".", "--jobs", "1", *option]) == 2
    assert option[-2 if option[-1] != "--fresh" else 0] in capsys.readouterr().err
    assert everything(bench.parent) == before


def test_a_table_that_was_filled_in_is_put_aside_and_said(tagged: Path, capsys: Captured) -> None:
    out = tagged / "idkit-tags"
    whole = (out / "tags.csv").read_bytes()
    for words in (b"and a note of mine\n", b"and another\n"):
        (out / "tags.csv").write_bytes(whole + words)
        run(tagged)
        assert (out / "tags.csv").read_bytes() == whole
        assert "is what you had changed" in " ".join(capsys.readouterr().out.split())
    assert (out / "tags (changed 1).csv").read_bytes().endswith(b"of mine\n")
    assert (out / "tags (changed 2).csv").read_bytes().endswith(b"another\n")
    sums = dict(line.split("  ")[::-1] for line in (out / "written.txt").read_text().splitlines())
    assert sums["tags.csv"] == hashlib.sha256(whole).hexdigest()
    (out / "written.txt").unlink()
    (out / "tags.csv").write_bytes(whole + b"and a third\n")
    run(tagged)
    assert (out / "tags (changed 3).csv").read_bytes().endswith(b"third\n")


def test_tables_are_as_the_spreadsheet_at_the_bench_has_them(tagged: Path, tmp_path: Path) -> None:
    assert cli.run(["bench", "cells", "semicolon"]) == 0
    run(tagged, "--write-answers", str(tmp_path / "answers.csv"))
    assert (tmp_path / "answers.csv").read_text("utf-8-sig").startswith("part;photos;magnet")
    run(tagged)
    assert "tags (changed 1).csv" not in [path.name for path in (tagged / "idkit-tags").iterdir()]
    assert (tagged / "idkit-tags" / "tags.csv").read_text("utf-8-sig").startswith("part;photos;")
    assert cli.run(["bench", "cells", "comma"]) == 0
    run(tagged, "--answers", str(tmp_path / "answers.csv"))  # as the answers are
    assert (tagged / "idkit-tags" / "tags.csv").read_text("utf-8-sig").startswith("part;photos;")


def test_answers_given_before_go_into_the_new_file(tagged: Path, tmp_path: Path, paint: Paint) -> None:
    (tmp_path / "old.csv").write_text("part,magnet,ring\nBolt,strong,\ngone,none,dull\n")
    paint(tagged / "axle.jpg", 40)
    run(tagged, "--answers", str(tmp_path / "old.csv"), "--write-answers", str(tmp_path / "new.csv"))
    rows = {row["part"]: row for row in table(tmp_path / "new.csv")}
    assert list(rows) == sorted([*PARTS, "torn", "axle"]) + ["gone"]
    assert rows["bolt"]["magnet"] == "strong"
    assert rows["gone"]["ring"] == "dull"


def test_a_name_that_is_too_long_costs_no_other(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    folder, copies = tmp_path / "long", tmp_path / "copies"
    long = "x" * (os.pathconf(tmp_path, "PC_NAME_MAX") - 4) if os.name == "posix" else "x" * 200
    paint(folder / f"{long}.jpg", 1)
    paint(folder / "zinc.jpg", 2)
    assert run(folder, "--sort", str(copies)) == 0
    assert len(list(copies.rglob("*.jpg"))) == 2
    capsys.readouterr()
    assert run(folder, "--sidecars") == (1 if os.name == "posix" else 0)
    out = " ".join(capsys.readouterr().out.split())
    assert "Sidecars: 1 written, 0 as they were" in out
    assert (folder / "zinc.jpg.xmp").exists()


def test_the_same_photo_twice_counts_once_and_is_said(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    paint(tmp_path / "tap" / "tap-1.jpg", 1)
    shutil.copy(tmp_path / "tap" / "tap-1.jpg", tmp_path / "tap" / "tap-2.jpg")
    assert run(tmp_path / "tap") == 0
    assert "tap-2.jpg is the same photo as tap-1.jpg" in " ".join(capsys.readouterr().out.split())
    assert run(tmp_path / "tap", "--sidecars", "--sort", str(tmp_path / "sorted")) == 0  # both are of that part
    assert (tmp_path / "tap" / "tap-2.jpg.xmp").exists()
    assert table(tmp_path / "tap" / "idkit-tags" / "tags.csv")[0]["photos"] == "tap-1.jpg | tap-2.jpg"
    assert "same photo" in tags(tmp_path / "tap")["tap"]["reasons"][0]


def test_names_do_not_steer_the_terminal(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    (tmp_path / "odd").mkdir()
    (tmp_path / "odd" / "a\x1b[2J\x07\u202e.jpg").write_bytes(b"\xff\xd8\xff")
    paint(tmp_path / "odd" / "b\x1b[31m.jpg", 1)
    assert run(tmp_path / "odd") == 1
    said = "".join(capsys.readouterr())
    assert "\x1b" not in said
    assert "\x07" not in said
    assert "\u202e" not in said
    assert r"a\x1b[2J" in said


@pytest.mark.skipif(os.name != "posix", reason="needs symbolic links")
def test_nothing_is_written_through_a_link(tagged: Path, tmp_path: Path) -> None:
    """Links that lie where idkit puts files until they are whole, and where copies go."""
    mine, heaps = tmp_path / "mine", tmp_path / "heaps"
    mine.mkdir()
    batch.make(heaps, "--sort", batch.COPIES)
    out = tagged / "idkit-tags"
    (heaps / "leave-alone").mkdir()
    links = [out / ".tags.csv.new", out / ".written.txt.new", tagged / ".bolt.jpg.xmp.new"]
    for number, link in enumerate(links):
        (mine / str(number)).write_text("precious")
        link.symlink_to(mine / str(number))
    (mine / "heap").mkdir()
    (heaps / "check-first").symlink_to(mine / "heap")
    run(tagged, "--sidecars", "--sort", str(heaps))
    assert [(mine / str(number)).read_text() for number in range(3)] == 3 * ["precious"]
    assert not list((mine / "heap").iterdir())
    (heaps / "check-first").unlink()
    (heaps / "check-first").mkdir()
    (heaps / "check-first" / "bolt.jpg").symlink_to(mine / "gone")  # of the user's, on a disk that is not there now
    (heaps / "check-first" / ".idkit-copying").symlink_to(mine / "0")
    run(tagged, "--sort", str(heaps))
    assert (heaps / "check-first" / "bolt.jpg").is_symlink()
    assert (heaps / "check-first" / "bolt (2).jpg").read_bytes() == (tagged / "bolt.jpg").read_bytes()
    assert (mine / "0").read_text() == "precious"
    (mine / "journal").write_text("my own, without an end")
    (out / "journal.txt").unlink()
    (out / "journal.txt").symlink_to(mine / "journal")
    assert run(tagged, "--fresh") == 3
    assert (mine / "journal").read_text() == "my own, without an end"


def test_copies_that_are_of_no_photo_of_this_run_are_named(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    folder, heaps = tmp_path / "bench", tmp_path / "heaps"
    paint(folder / "a" / "tap.jpg", 1)
    paint(folder / "b" / "tap.jpg", 2)
    shutil.copy(folder / "a" / "tap.jpg", folder / "twin.jpg")
    (tmp_path / "none.csv").write_text("part,note\ntwin,under pressure\n")
    assert run(folder, "--sort", str(heaps), "--parts", "photo", "--answers", str(tmp_path / "none.csv")) == 0
    assert "earlier copy" not in capsys.readouterr().out  # the twin lies on another pile, as it should
    (tmp_path / "some.csv").write_text("part,note\ntwin,under pressure\nb/tap,under pressure\n")
    assert run(folder, "--sort", str(heaps), "--parts", "photo", "--answers", str(tmp_path / "some.csv")) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "check-first/tap (2).jpg (now leave-alone)" in out


def test_photos_that_changed_names_are_read_anew(tmp_path: Path) -> None:
    """Of one size, and made at one time, as from a scanner."""
    folder = tmp_path / "scans"
    for number, colour in enumerate(((98, 148, 172), (96, 122, 168))):
        picture = np.full((150, 200, 3), 224, np.uint8)
        cv2.circle(picture, (100, 75), 40, colour, cv2.FILLED)
        folder.mkdir(exist_ok=True)
        cv2.imwrite(str(folder / f"{number}.bmp"), picture)
        os.utime(folder / f"{number}.bmp", (1_700_000_000, 1_700_000_000))
    run(folder)
    before = {name: part["photos"][0]["sha256"] for name, part in tags(folder).items()}
    (folder / "0.bmp").rename(folder / "x")
    (folder / "1.bmp").rename(folder / "0.bmp")
    (folder / "x").rename(folder / "1.bmp")
    run(folder)
    after = {name: part["photos"][0]["sha256"] for name, part in tags(folder).items()}
    assert after == {"0": before["1"], "1": before["0"]}


def test_a_danger_said_of_a_whole_photo_is_in_the_file_that_is_written_anew(tmp_path: Path, paint: Paint) -> None:
    tray, old, new = tmp_path / "tray", tmp_path / "old.csv", tmp_path / "new.csv"
    paint(tray / "one.jpg", 1)
    old.write_text("part,note\none,came from a gas cylinder under pressure\none-9,bent\n")
    assert run(tray, "--each", "--answers", str(old)) == 0
    assert run(tray, "--each", "--answers", str(old), "--write-answers", str(new)) == 0
    assert {row["part"]: row["note"] for row in table(new)} == {
        "one": "came from a gas cylinder under pressure",
        "one-1": "",
        "one-9": "bent",
    }
    assert run(tray, "--each", "--answers", str(new)) == 0
    assert tags(tray)["one-1"]["leave_closed"]


def test_a_long_name_with_a_sidecar_of_its_own_costs_no_other(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    folder = tmp_path / "long"
    long = "n" * (os.pathconf(tmp_path, "PC_NAME_MAX") - 4) if os.name == "posix" else "n" * 200
    paint(folder / f"{long}.jpg", 1)
    paint(folder / "b" / "zinc.jpg", 2)
    (folder / "b" / "zinc.jpg.xmp").write_text("junk")
    (folder / f"{long}.xmp").write_text("junk")
    assert run(folder, "--sidecars", "--sort", str(tmp_path / "copies")) == 1
    out = capsys.readouterr().out
    assert "2 photos copied" in " ".join(out.split())
    assert "b/zinc.jpg.xmp" in "".join(out.split())  # whole, so that it is found


def test_an_empty_name_is_not_the_folder_one_is_in(capsys: Captured) -> None:
    assert cli.run(["tag", ""]) == 2
    assert "empty name" in capsys.readouterr().err


def test_a_folder_with_the_mark_copied_into_it_says_which_file_to_take_away(tagged: Path, capsys: Captured) -> None:
    shutil.copy(tagged / "idkit-tags" / "made-by-idkit.txt", tagged)
    assert run(tagged) == 2
    assert "take made-by-idkit.txt away" in capsys.readouterr().err


def test_what_nobody_should_carry_is_not_shown_at_the_yard(bench: Path, tmp_path: Path) -> None:
    (tmp_path / "answers.csv").write_text("part,came-out-of\nvalve,smoke detector\n")
    run(bench, "--answers", str(tmp_path / "answers.csv"))
    found = tags(bench)
    assert "telephone only" in found["valve"]["confirm"]
    assert found["bolt"]["confirm"].startswith("Confirm at the yard")


@pytest.mark.parametrize(
    ("arguments", "status", "named"),
    [
        (["gone"], 2, "no such folder"),
        (["empty"], 2, "no photo in it"),
        (["bad"], 3, ""),
        (["bench", "--parts", "colour"], 2, "--parts"),
        (["bench", "--answers", "gone.csv"], 2, "can't be read"),
        (["bench", "--each", "--sort", "x"], 2, "--each"),
        (["bench", "--parts", "answers"], 2, "--answers"),
        (["bench", "--with-photo"], 2, "--keep"),
        (["bench", "--answers", "a.csv", "--answers", "b.csv"], 2, "leave one out"),
        (["bench", "--cluster", "tcp://127.0.0.1:1"], 3, "dask scheduler"),
    ],
)
def test_the_exit_status_is_as_promised(
    bench: Path,
    arguments: list[str],
    status: int,
    named: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: Captured,
) -> None:
    monkeypatch.chdir(bench.parent)
    Path("empty").mkdir()
    Path("bad").mkdir()
    shutil.copy(bench / "torn.jpg", "bad/torn.jpg")
    for photo in list(bench.rglob("*.jpg")):
        if photo.name != "bolt.jpg":
            photo.unlink()
    monkeypatch.setattr("idkit.batch.cluster.PATIENCE", 1)
    assert cli.run(["tag", *arguments, "--jobs", "1"]) == status
    assert named in capsys.readouterr().err
