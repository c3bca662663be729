"""The command line: one line an error, the promised exit status, JSON that is only JSON."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from idkit.show import cli

ROOT = Path(__file__).resolve().parents[2]
TAP = ROOT / "sample_images" / "tap.jpg"
HINGE = ROOT / "sample_images" / "hinge.jpg"
Captured = pytest.CaptureFixture[str]
FIELDS = {
    "part", "box", "size_mm", "photos", "colour", "surface", "answers", "density", "materials", "likely", "sure",
    "unlike_known", "simulated", "reasons", "next_check", "category", "categories", "value", "cautions", "confirm",
    "model", "record",
}  # fmt: skip


def test_json_is_one_document_and_nothing_else(capsys: Captured) -> None:
    assert cli.run(["identify", str(TAP), "--magnet", "none", "--json"]) == 0
    out = capsys.readouterr()
    document = json.loads(out.out)
    assert document["schema"] == 1
    (part,) = document["parts"]
    assert set(part) >= FIELDS
    chances = [row["chance"] for row in part["materials"]]
    assert sum(chances) == pytest.approx(1, abs=1e-4)
    assert chances == sorted(chances, reverse=True)
    assert set(part["photos"][0]["families"]) == {"copper-red", "brass-yellow", "grey-white", "rust-brown", "not-metal"}
    assert out.err == ""


def test_words_fit_80_columns_without_colour_off_a_terminal(capsys: Captured) -> None:
    assert cli.run(["identify", str(HINGE), "--form", "casting", "--magnet", "none"]) == 0
    out = capsys.readouterr().out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "\x1b" not in out
    assert out.strip().splitlines()[-2:][0].startswith("Confirm at the yard") or "Confirm at the yard" in out


@pytest.fixture
def odd_files(tmp_path: Path) -> Path:
    (tmp_path / "empty.jpg").write_bytes(b"")
    (tmp_path / "text.jpg").write_text("a shopping list")
    (tmp_path / "cut.jpg").write_bytes(TAP.read_bytes()[:9000])
    (tmp_path / "zeros.png").write_bytes(bytes(5000))
    (tmp_path / "folder.jpg").mkdir()
    return tmp_path


@pytest.mark.parametrize("name", ["missing.jpg", "empty.jpg", "text.jpg", "cut.jpg", "zeros.png", "folder.jpg"])
def test_a_photo_that_cannot_be_read_is_one_line(odd_files: Path, name: str, capsys: Captured) -> None:
    assert cli.run(["identify", str(odd_files / name)]) == 3
    out = capsys.readouterr()
    assert out.out == ""
    assert len(out.err.strip().splitlines()) == 1
    assert name in out.err


def test_one_bad_photo_of_two_is_said_and_the_other_done(odd_files: Path, capsys: Captured) -> None:
    assert cli.run(["identify", str(TAP), str(odd_files / "cut.jpg")]) == 1
    out = capsys.readouterr()
    assert "Confirm at the yard" in out.out
    assert len(out.err.strip().splitlines()) == 1


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (["identify"], "identify"),
        (["identify", "--magnet", "sticky"], "--magnet"),
        (["identify", "--thickness", "3"], "--thickness"),
        (["identify", "--form", "blob"], "--form"),
        (["identify", "--jar", "20 g"], "--jar"),
        (["identify", "--weight", "100 g", "--jar", "150 g"], "--jar"),
        (["identify", "--weight", "-3 g", "--jar", "1 g"], "--weight"),
        (["identify", "--answer", "smell=bad"], "smell"),
        (["identify", "--answer", "magnet"], "--answer"),
        (["identify", "--magnet", "none", "--answer", "magnet=weak"], "twice"),
        (["identify", str(TAP), "--scratch", "1,2,3"], "--scratch"),
        (["identify", str(TAP), "--scratch", "9000,1,30,30"], "768 x 576"),
        (["identify", str(TAP), "--picture", "seen.txt"], "--picture"),
        (["identify", "--nonsense"], "--nonsense"),
        (["facts", "weather"], "weather"),
        (["fly"], "fly"),
    ],
)
def test_a_wrong_call_is_one_line(arguments: list[str], named: str, capsys: Captured) -> None:
    assert cli.run(arguments) == 2
    out = capsys.readouterr()
    assert out.out == ""
    assert len(out.err.strip().splitlines()) == 1
    assert named in out.err


def test_what_was_not_foreseen_is_one_line_too(monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    def broken(*_: object, **__: object) -> None:
        message = "two\nlines"
        raise RuntimeError(message)

    monkeypatch.setattr("idkit.flows.identify", broken)
    assert cli.run(["identify", "--magnet", "none"]) == 3
    assert len(capsys.readouterr().err.strip().splitlines()) == 1
    monkeypatch.setenv("IDKIT_DEBUG", "1")
    with pytest.raises(RuntimeError):
        cli.run(["identify", "--magnet", "none"])


@pytest.mark.parametrize("table", ["materials", "checks", "categories"])
def test_facts_are_listed_with_their_sources(table: str, capsys: Captured) -> None:
    assert cli.run(["facts", table]) == 0
    out = capsys.readouterr().out
    assert out.count("source:") >= 8


def test_the_demo_runs_and_keeps_pictures(tmp_path: Path, capsys: Captured) -> None:
    assert cli.run(["demo", "--folder", str(tmp_path / "seen")]) == 0
    out = capsys.readouterr().out
    assert out.count("+ water") == 10
    assert len(list((tmp_path / "seen").glob("*.png"))) == 10


def test_originals_are_not_touched(tmp_path: Path, capsys: Captured) -> None:
    before = TAP.read_bytes()
    assert cli.run(["identify", str(TAP), "--picture", str(tmp_path / "seen.png")]) == 0
    assert TAP.read_bytes() == before
    assert (tmp_path / "seen.png").read_bytes().startswith(b"\x89PNG")


def test_help_loads_nothing_that_reads_photos() -> None:
    loaded = "[m for m in ('cv2', 'numpy', 'rich') if m in sys.modules]"
    program = f"import sys; from idkit.show import cli; cli.run(['--help']); print({loaded})"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("[]")


def test_idkit_alone_shows_its_help(capsys: Captured) -> None:
    assert cli.run([]) == 0
    out = capsys.readouterr()
    assert len(out.out.splitlines()) > 5
    assert out.err == ""


def test_a_motor_is_offered_as_a_motor(capsys: Captured) -> None:
    """Whole motors go by their form, whatever metal is inside. Common practice, no source."""
    assert cli.run(["identify", "--form", "motor", "--magnet", "none"]) == 0
    assert "I would put this with electric motors" in " ".join(capsys.readouterr().out.split())
