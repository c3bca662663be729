"""idkit tag --keep: every part a record, once, whatever a run is stopped by; a part of which more is known, another."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from idkit import keep
from idkit.errors import PhotoError
from idkit.keep import Filter
from idkit.show import cli

Paint = Callable[[Path, int], Path]
Captured = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def _own_bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "home"))


def run(folder: Path, *more: str) -> int:
    return cli.run(["tag", str(folder), "--jobs", "1", *more])


def tags(folder: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (folder / "idkit-tags" / "tags.jsonl").read_text("utf-8").splitlines()]


def test_every_part_becomes_a_record_and_no_part_a_second(tagged: Path, capsys: Captured) -> None:
    assert run(tagged, "--keep") == 1  # one photo is torn
    parts = tags(tagged)
    assert f"Records: {len(parts)} kept." in capsys.readouterr().out
    for part in parts:
        whole = keep.show(part["record"])
        assert (whole.kept.part, whole.kept.origin) == (part["part"], "tag")
        assert whole.kept.material == part["materials"][0]["material"]
        assert {photo.sha256 for photo in whole.photos} == {photo["sha256"] for photo in part["photos"]}
        assert all(Path(photo.file).is_file() and photo.thumbnail and photo.cues for photo in whole.photos)
        assert not any(photo.original for photo in whole.photos)

    assert run(tagged, "--keep") == 1
    assert f"Records: 0 kept, {len(parts)} were kept before." in capsys.readouterr().out
    assert [part["record"] for part in tags(tagged)] == [part["record"] for part in parts]
    assert len(keep.page(Filter(rows=100)).rows) == len(parts)


def test_an_answer_makes_another_record_of_that_part_alone(tagged: Path, tmp_path: Path) -> None:
    run(tagged, "--keep")
    first = {part["part"]: part["record"] for part in tags(tagged)}
    answers = tmp_path / "answers.csv"
    answers.write_text("part,magnet\nbolt,strong\n", encoding="utf-8")
    run(tagged, "--keep", "--answers", str(answers))
    second = {part["part"]: part["record"] for part in tags(tagged)}
    assert {name for name in first if first[name] != second[name]} == {"bolt"}
    assert keep.show(second["bolt"]).answers["magnet"].value == "strong"
    assert "magnet" not in keep.show(first["bolt"]).answers


def test_photos_are_kept_whole_where_that_is_wanted(tagged: Path) -> None:
    run(tagged, "--keep", "--with-photo")
    hook = next(part for part in tags(tagged) if part["part"] == "hook")
    kept = {photo.original for photo in keep.show(hook["record"]).photos}
    assert kept == {(tagged / f"hook-{number}.jpg").read_bytes() for number in (1, 2)}


def test_without_keep_nothing_is_kept(tagged: Path) -> None:
    assert run(tagged) == 1
    assert all(part["record"] is None for part in tags(tagged))
    assert not keep.page(Filter(rows=100)).rows


def test_a_name_that_is_no_text_is_kept_spelt_out(tmp_path: Path, paint: Paint, capsys: Captured) -> None:
    if os.name != "posix":
        pytest.skip("needs names made of bytes")
    os.rename(paint(tmp_path / "odd" / "x.jpg", 9), os.fsencode(tmp_path / "odd") + b"/caf\xe9.jpg")  # noqa: PTH104
    assert run(tmp_path / "odd", "--keep", "--with-photo") == 0
    (part,) = tags(tmp_path / "odd")
    capsys.readouterr()
    assert cli.run(["records", "show", str(part["record"])]) == 0
    assert cli.run(["records", "show", str(part["record"]), "--json"]) == 0
    assert r"caf\udce9" in capsys.readouterr().out


def test_where_nothing_can_be_kept_the_tags_are_there_and_it_is_said(
    tagged: Path, tmp_path: Path, capsys: Captured
) -> None:
    (tagged / "torn.jpg").unlink()
    (tmp_path / "home").mkdir(exist_ok=True)
    (tmp_path / "home" / "kept.sqlite").unlink(missing_ok=True)
    (tmp_path / "home" / "kept.sqlite").mkdir()
    assert run(tagged, "--keep") == 1
    assert "no more: " in " ".join(capsys.readouterr().out.split())
    assert tags(tagged)


def test_a_photo_that_can_not_be_kept_whole_costs_no_other_record(tagged: Path, capsys: Captured) -> None:
    (tagged / "foot.jpg").write_bytes((tagged / "foot.jpg").read_bytes())  # as it was, but its stamp

    def gone(path: Path, sha256: str) -> bytes:
        if path.name == "elbow.jpg":
            raise PhotoError(str(path), "can't be read")
        return path.read_bytes()

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("idkit.see.original", gone)
        assert run(tagged, "--keep", "--with-photo") == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "elbow is not kept" in out
    assert "Records: 6 kept, 1 could not be" in out
