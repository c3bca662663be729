"""Words and pictures of a verdict."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit import flows
from idkit.show import pictures, terminal, words
from idkit.vocabulary import Record

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def found() -> flows.Identified:
    return flows.identify([ROOT / "sample_images" / "angle-valve.jpg"], {"magnet": "none"}, scratch=(329, 158, 73, 49))


class Screen(io.StringIO):
    """A terminal that remembers."""

    def isatty(self) -> bool:
        return True


def shown(record: Record, monkeypatch: pytest.MonkeyPatch, **environment: str) -> str:
    for name in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    screen = Screen()
    terminal.show(words.lines(record), screen)
    return screen.getvalue()


def test_colour_on_a_terminal_and_none_with_no_color(found: flows.Identified, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "\x1b[" in shown(found.record, monkeypatch, TERM="xterm")
    assert "\x1b[" not in shown(found.record, monkeypatch, TERM="xterm", NO_COLOR="1")
    assert "\x1b[" not in shown(found.record, monkeypatch, TERM="dumb")


def test_a_terminal_without_unicode_still_gets_its_answer(found: flows.Identified) -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii", write_through=True)
    terminal.show(words.lines(found.record), stream)
    assert b"Confirm at the yard" in raw.getvalue()


def test_every_line_is_there(found: flows.Identified) -> None:
    text = "\n".join(line for _, line in words.lines(found.record))
    for expected in ("Pile:", "Why:", "magnet:", "Confirm at the yard", "simulated"):
        assert expected in text
    assert text.rstrip().splitlines()[-1].startswith("Confirm at the yard")


def test_no_chance_is_said_to_be_certain() -> None:
    assert words.percent(1 - 1e-9) == "over 99 %"
    assert words.percent(1e-9) == "under 1 %"


def test_the_picture_shows_photo_box_and_words(found: flows.Identified, tmp_path: Path) -> None:
    pictures.draw(found, tmp_path / "seen.png")
    picture = cv2.imread(str(tmp_path / "seen.png"))
    assert picture is not None
    assert picture.shape[1] == pictures.WIDE
    for colour in (pictures.OUTLINE, pictures.READ):
        assert (np.abs(picture[..., ::-1].astype(int) - np.array(colour)).max(axis=2) < 3).sum() > 100


def test_a_picture_without_a_photo_holds_the_words(tmp_path: Path) -> None:
    answered = flows.identify([], {"magnet": "strong"})
    pictures.draw(answered, tmp_path / "words.png")
    assert (tmp_path / "words.png").stat().st_size > 1000


def test_sure_is_said_first(found: flows.Identified) -> None:
    verdict = flows.identify([], {"form": "casting", "weight": "660 g", "jar": "100 g"}).record.verdict
    assert verdict.sure
    assert words.headline(verdict).startswith("Pile settled: zinc die cast, pot metal")
    assert words.headline(replace(verdict, sure=False)).startswith("Pile not settled")


def test_what_must_not_be_touched_is_not_to_be_brought_to_the_yard() -> None:
    shown = {
        said: "\n".join(line for _, line in words.lines(flows.identify([], {"came-out-of": said}).record))
        for said in ("hand grenade", "car battery")
    }
    assert "Leave it alone" in shown["hand grenade"]
    assert "Don't bring it anywhere" in shown["hand grenade"]
    assert "Don't bring it anywhere" not in shown["car battery"]
