"""The command line: one line an error, the promised exit status, JSON that is only JSON."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit import see
from idkit.see.card import raster
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

    monkeypatch.setattr("idkit.flows.begin", broken)
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


def test_a_demo_folder_that_is_a_file_is_one_line(tmp_path: Path, capsys: Captured) -> None:
    taken = tmp_path / "seen"
    taken.write_text("a shopping list")
    for folder in (taken, taken / "deeper"):
        assert cli.run(["demo", "--folder", str(folder)]) == 2
        out = capsys.readouterr()
        assert out.out == ""
        assert len(out.err.strip().splitlines()) == 1
        assert "--folder" in out.err
        assert "report it" not in out.err
    assert taken.read_text() == "a shopping list"


@pytest.mark.parametrize("paper", ["A4", "Letter", "LETTER"])
def test_choices_may_be_typed_in_any_case(paper: str, tmp_path: Path, capsys: Captured) -> None:
    page = tmp_path / "card.pdf"
    assert cli.run(["card", str(page), "--paper", paper]) == 0
    assert page.read_bytes() == see.card_pdf(paper.lower())
    assert cli.run(["identify", "--magnet", "NONE", "--form", "Casting", "--prior", "Even"]) == 0
    assert cli.run(["facts", "Checks"]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("arguments", [["facts", "materials"], ["identify", "--magnet", "none", "--json"], ["--help"]])
@pytest.mark.parametrize("read", [0, 1])
def test_a_pipe_that_is_closed_early_ends_quietly(arguments: list[str], read: int) -> None:
    """As after `| head -1`; what the reader did not want is no failure."""
    program = "import sys; from idkit.show.cli import main; main()"
    with subprocess.Popen(
        [sys.executable, "-c", program, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        for _ in range(read):
            running.stdout.readline()
        running.stdout.close()
        told = running.stderr.read()
        assert (running.wait(), told) == (0, b"")


def test_originals_are_not_touched(tmp_path: Path, capsys: Captured) -> None:
    before = TAP.read_bytes()
    assert cli.run(["identify", str(TAP), "--picture", str(tmp_path / "seen.png")]) == 0
    assert TAP.read_bytes() == before
    assert (tmp_path / "seen.png").read_bytes().startswith(b"\x89PNG")


def test_the_picture_is_narrow_and_its_type_is_read_on_a_phone(tmp_path: Path, capsys: Captured) -> None:
    """65 mm wide as a phone shows it, lines of type are 2 mm apart or more, dark on light."""
    assert cli.run(["identify", str(TAP), "--picture", str(tmp_path / "seen.png")]) == 0
    drawn = cv2.imread(str(tmp_path / "seen.png"))
    assert drawn is not None
    height, width = drawn.shape[:2]
    assert height > width
    words = drawn[round(0.75 * width) + 10 :]  # below the photo, which is 4 to 3
    inked = (words.min(axis=2) < 120).any(axis=1).astype(int)
    starts = np.flatnonzero(np.diff(inked) == 1)
    assert len(starts) > 10
    assert np.median(np.diff(starts)) * 65 / width > 2.0


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


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_card_is_written_and_read_back_from_a_photo(paper: str, tmp_path: Path, capsys: Captured) -> None:
    """The command's papers are those there is a card for; its page is what is found in a photo."""
    page = tmp_path / "card.pdf"
    assert cli.run(["card", str(page), "--paper", paper]) == 0
    assert "100 %" in capsys.readouterr().out
    assert page.read_bytes() == see.card_pdf(paper)
    assert {each.value for each in cli.Paper} == set(see.PAPERS)


@pytest.mark.parametrize(
    ("arguments", "named"),
    [(["card.pdf", "--paper", "a5"], "'a4', 'letter'"), (["card.png"], ".pdf"), (["nowhere/card.pdf"], "nowhere")],
)
def test_a_card_that_cannot_be_is_one_line(
    arguments: list[str], named: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.run(["card", *arguments]) == 2
    out = capsys.readouterr()
    assert len(out.err.strip().splitlines()) == 1
    assert named in out.err
    assert not list(tmp_path.iterdir())


@pytest.fixture
def on_the_card(tmp_path: Path) -> Path:
    """A photo from straight above of the card with a brass-coloured bar of 90 x 30 mm on it, under an orange light."""
    page = np.repeat(raster("a4", 5)[..., None], 3, axis=2).astype(float)
    page[600:750, 350:800] = (150, 190, 205)  # blue, green, red
    seen = np.pad(page * (0.62, 0.8, 0.9), ((60, 60), (80, 80), (0, 0)), constant_values=70)
    path = tmp_path / "bar.jpg"
    assert cv2.imwrite(str(path), cv2.GaussianBlur(seen, (0, 0), 0.8))
    return path


def test_with_the_card_identify_gives_size_and_colour(on_the_card: Path, tmp_path: Path, capsys: Captured) -> None:
    assert cli.run(["identify", str(on_the_card), "--json"]) == 0
    (part,) = json.loads(capsys.readouterr().out)["parts"]
    assert part["photos"][0]["white"] == "card"
    size = part["size_mm"]
    assert (size["length"], size["width"]) == pytest.approx((90, 30), abs=0.9)
    assert size["area"] == pytest.approx(2700, rel=0.03)
    assert 0 < size["uncertainty"] < 2
    assert cli.run(["identify", str(on_the_card), "--picture", str(tmp_path / "seen.png")]) == 0
    words = " ".join(capsys.readouterr().out.split())
    assert f"Size by the card: {size['length']:.0f} x {size['width']:.0f} mm ±" in words
    assert f"Colour by the card: CIELAB L* {part['colour']['L']:.0f}" in words
    assert f"± {part['colour']['uncertainty']:.1f} in b*" in words


def test_colour_by_the_card_is_that_of_the_photos_it_is_in(on_the_card: Path, capsys: Captured) -> None:
    told = []
    for photos in ([str(on_the_card)], [str(on_the_card), str(HINGE)]):
        assert cli.run(["identify", *photos, "--json"]) == 0
        told.append(json.loads(capsys.readouterr().out)["parts"][0]["colour"])
    assert told[0] == told[1]


def test_other_parts_on_the_card_are_said(on_the_card: Path, capsys: Captured) -> None:
    assert cli.run(["identify", str(on_the_card)]) == 0
    assert "in this picture" not in capsys.readouterr().out
    picture = cv2.imread(str(on_the_card))
    assert picture is not None
    picture[860:980, 480:700] = picture[735, 655]
    assert cv2.imwrite(str(on_the_card), picture)
    assert cli.run(["identify", str(on_the_card)]) == 0
    assert "2 parts or more in this picture: one of them was taken" in " ".join(capsys.readouterr().out.split())


def hidden(photo: Path, markers: int) -> Path:
    """The photo with so many of the card's markers painted over."""
    picture = cv2.imread(str(photo))
    height, width = picture.shape[:2]
    for x, y in ((80, 60), (width - 330, 60), (80, height - 320), (width - 330, height - 320))[:markers]:
        picture[y : y + 260, x : x + 250] = (120, 140, 150)
    path = photo.with_name("hidden.png")
    assert cv2.imwrite(str(path), picture)
    return path


@pytest.mark.parametrize("more", [[], ["--each"]])
def test_a_card_with_one_marker_in_view_is_said(on_the_card: Path, more: list[str], capsys: Captured) -> None:
    assert cli.run(["identify", str(hidden(on_the_card, 3)), "--json", *more]) == 0
    part = json.loads(capsys.readouterr().out)["parts"][0]
    assert part["size_mm"] is None
    assert sum("one of its four corner markers only" in problem for problem in part["photos"][0]["problems"]) == 1


def test_a_size_that_is_refused_has_its_reason(on_the_card: Path, capsys: Captured) -> None:
    picture = cv2.imread(str(on_the_card))
    picture[1250:1440, 600:640] = (100, 150, 180)  # a bar that reaches over the ruler
    picture[660:810, 430:880] = picture[900, 700]
    assert cv2.imwrite(str(on_the_card), picture)
    assert cli.run(["identify", str(on_the_card)]) == 0
    words = " ".join(capsys.readouterr().out.split())
    assert "Size by the card" not in words
    assert "so its size is not told" in words


def test_without_the_card_there_is_no_size(capsys: Captured) -> None:
    assert cli.run(["identify", str(TAP), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["parts"][0]["size_mm"] is None
    assert cli.run(["identify", str(TAP)]) == 0
    assert "by the card" not in capsys.readouterr().out
