"""identify --each: a verdict, a box and a number for every part, on painted pictures."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit import flows
from idkit.show import cli, each
from idkit.vocabulary import FAMILIES

SAMPLES = Path(__file__).resolve().parents[2] / "sample_images"
PLACES = [
    (150, 150, 60),
    (420, 160, 70),
    (700, 150, 50),
    (160, 430, 70),
    (450, 420, 80),
    (590, 420, 60),
]  # x, y, radius
COLOURS = [(172, 148, 98), (168, 122, 96), (138, 138, 140)]  # sRGB, from memory


@pytest.fixture
def several(tmp_path: Path) -> Path:
    """Six discs on white paper, the last two touching."""
    picture = np.full((600, 860, 3), 224, np.uint8)
    for number, (x, y, radius) in enumerate(PLACES):
        cv2.circle(picture, (x, y), radius, COLOURS[number % 3][::-1], cv2.FILLED)
    noise = np.random.default_rng(1).normal(0, 2, picture.shape)
    path = tmp_path / "drawer.png"
    cv2.imwrite(str(path), np.clip(cv2.GaussianBlur(picture, (0, 0), 0.8) + noise, 0, 255).astype(np.uint8))
    return path


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    path = tmp_path / "paper.png"
    cv2.imwrite(str(path), np.full((300, 400, 3), 224, np.uint8))
    return path


def parts(capsys: pytest.CaptureFixture[str]) -> list[dict[str, object]]:
    return json.loads(capsys.readouterr().out)["parts"]


def test_json_holds_one_entry_a_part_in_reading_order(several: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["identify", str(several), "--each", "--magnet", "none", "--json"]) == 0
    found = parts(capsys)
    assert [part["part"] for part in found] == [f"drawer-{number}" for number in range(1, 7)]
    for part, (x, y, radius) in zip(found, PLACES, strict=True):
        assert part["box"] == pytest.approx([x - radius, y - radius, 2 * radius, 2 * radius], abs=8)
        assert part["answers"]["magnet"]["value"] == "none"  # type: ignore[index]
        assert part["photos"][0]["white"] == "paper"  # type: ignore[index]


def test_every_part_has_its_own_colour(several: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["identify", str(several), "--each", "--json"]) == 0
    hues = [np.hypot(part["colour"]["a"], part["colour"]["b"]) for part in parts(capsys)]  # type: ignore[index]
    grey = hues[2::3]
    assert max(grey) < 5 < 10 < min(hues[0], hues[1], hues[3], hues[4])


def test_words_number_the_parts_within_80_columns(several: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["identify", str(several), "--each"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "drawer.png: 6 parts"
    assert [line.split()[0] for line in lines if line[:3].strip().isdigit()] == list("123456")
    assert max(map(len, lines)) <= 80
    assert any(line.startswith("Confirm at the yard") for line in lines[-2:])


def test_the_picture_is_written_with_every_outline(several: Path, tmp_path: Path) -> None:
    seen = tmp_path / "seen.png"
    assert cli.run(["identify", str(several), "--each", "--picture", str(seen)]) == 0
    drawn = cv2.imread(str(seen))
    assert drawn is not None
    scale = drawn.shape[1] / 860
    magenta = (drawn[..., 2] > 200) & (drawn[..., 1] < 60) & (drawn[..., 0] > 150)
    for x, y, radius in PLACES:
        y0, x0, side = round(scale * y), round(scale * x), round(scale * (radius + 8))
        assert magenta[y0 - side : y0 + side, x0 - side : x0 + side].sum() > 300


def test_every_number_in_the_picture_has_a_name_beside_it(several: Path, tmp_path: Path) -> None:
    """Dark letters on a paper-coloured rim, in the middle of each part, as high as may be read on a phone."""
    found = flows.identify_each([several], {}, every_cue=False)
    each.draw(found, tmp_path / "seen.png")
    drawn = cv2.imread(str(tmp_path / "seen.png"))
    assert drawn is not None
    ink, paper = drawn.max(axis=2) < 60, drawn.min(axis=2) > 240
    scale = drawn.shape[1] / 860
    for x, y, radius in PLACES:
        middle = np.s_[round(scale * (y - radius)) : round(scale * (y + radius)), :]
        across = np.s_[:, round(scale * (x - radius)) : round(scale * (x + radius))]
        letters, rim = ink[middle][across], paper[middle][across]
        assert letters.sum() > 300
        assert rim.sum() > letters.sum() / 2
        rows = np.flatnonzero(letters.any(axis=1))
        assert np.ptp(rows) > 2 * 0.015 * max(drawn.shape)  # two lines or more: the number, and what it is called


@pytest.mark.parametrize(
    ("chances", "families", "called"),
    [
        ({"copper": 0.6, "lead": 0.4}, {"copper-red": 0.9, "not-metal": 0.1}, "copper"),
        ({"copper": 0.4, "lead": 0.3}, {"copper-red": 0.9, "not-metal": 0.1}, "copper red"),
        ({"plastic": 0.4, "lead": 0.3}, {"grey-white": 0.3, "not-metal": 0.7}, "no bare metal"),
        ({"copper": 0.4, "lead": 0.3}, {"copper-red": 0.4, "brass-yellow": 0.4, "not-metal": 0.2}, "not clear"),
        ({"copper": 0.4, "lead": 0.3}, {}, "not clear"),
    ],
)
def test_what_a_part_is_called(
    several: Path, chances: dict[str, float], families: dict[str, float], called: str
) -> None:
    record = flows.identify_each([several], {}, every_cue=False).photos[0][1][0].record
    photo = replace(record.photos[0], families=families)
    assert each.called(replace(record, photos=(photo,), verdict=replace(record.verdict, chances=chances))) == called


def test_every_family_has_a_word() -> None:
    assert set(each.FAMILY) == set(FAMILIES)


def test_several_photos_are_named_by_photo(several: Path, bare: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tap = SAMPLES / "cooker-knob.jpg"
    assert cli.run(["identify", str(several), str(bare), str(tap), "--each", "--json"]) == 0
    out = capsys.readouterr()
    names = [part["part"] for part in json.loads(out.out)["parts"]]
    assert names == [*(f"drawer-{number}" for number in range(1, 7)), "cooker-knob-1"]
    assert "paper.png" in out.err


def test_no_part_is_an_answer(bare: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["identify", str(bare), "--each"]) == 0
    assert "No part found" in capsys.readouterr().out
    assert cli.run(["identify", str(bare), "--each", "--json"]) == 0
    assert parts(capsys) == []


@pytest.mark.parametrize("more", [["--scratch", "1,2,30,40"], ["--picture", "seen.jpg"], ["--magnet", "sticky"]])
def test_a_wrong_call_is_one_line(several: Path, more: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["identify", str(several), "--each", *more]) == 2
    out = capsys.readouterr()
    assert out.out == ""
    assert len(out.err.strip().splitlines()) == 1
    assert more[0] in out.err


def test_a_bad_photo_among_good_ones_is_said(several: Path, tmp_path: Path) -> None:
    (tmp_path / "empty.jpg").write_bytes(b"")
    assert cli.run(["identify", str(several), str(tmp_path / "empty.jpg"), "--each"]) == 1
    assert cli.run(["identify", str(tmp_path / "empty.jpg"), "--each"]) == 3


def test_a_photo_of_several_says_so_without_each(several: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["identify", str(several)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "5 parts or more in this picture: the one in the middle was taken; say --each for all" in told


def test_several_are_told_apart_without_the_slow_way(several: Path) -> None:
    """scikit-image takes long to load; only --each, which parts those that touch, needs it."""
    program = (
        "import sys; from idkit.show import cli; "
        f"cli.run(['identify', {str(several)!r}]); print([m for m in ('skimage', 'scipy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("[]")
    assert "5 parts or more" in done.stdout


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.jpg")), ids=lambda path: path.stem)
def test_a_photo_of_one_part_does_not(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["identify", str(path)]) == 0
    assert "in this picture: the one" not in capsys.readouterr().out


def test_each_part_is_warned_of_past_mistakes(
    several: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    assert cli.run(["identify", str(several), "--each", "--keep"]) == 0
    assert cli.run(["confirm", "1", "lead", "--yard", "North"]) == 0
    capsys.readouterr()
    assert cli.run(["identify", str(several), "--each", "--json"]) == 0
    parts = json.loads(capsys.readouterr().out)["parts"]
    assert any("the yard North called lead" in line for line in parts[0]["warnings"])
    assert cli.run(["identify", str(several), "--each"]) == 0
    assert "Careful: it looks like record 1" in " ".join(capsys.readouterr().out.split())
