"""What a person names to be written never takes the place of a file of theirs."""

from __future__ import annotations

from pathlib import Path

import pytest

from idkit.show.cli import run

Captured = pytest.CaptureFixture[str]
TAP = Path(__file__).resolve().parents[2] / "sample_images" / "tap.jpg"


@pytest.fixture(autouse=True)
def somewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    monkeypatch.chdir(tmp_path)
    for call in (["load", "new", "May"], ["load", "add", "May", "--category", "zinc", "--weight", "2 kg"]):
        assert run(call) == 0
    assert run(["identify", str(TAP), "--magnet", "none", "--keep"]) == 0
    assert run(["confirm", "1", "yellow-brass", "--by", "yard"]) == 0
    capsys.readouterr()


CALLS = {
    "mine.png": ["identify", str(TAP), "--magnet", "none", "--picture", "mine.png"],
    "mine.pdf": ["card", "mine.pdf"],
    "mine.html": ["load", "show", "May", "--page", "mine.html"],
    "mine.csv": ["load", "show", "May", "--csv", "mine.csv"],
    "mine.jpg": ["records", "show", "1", "--picture", "mine.jpg"],
    "mine.zip": ["samples", "export", "mine.zip"],
}


@pytest.mark.parametrize("name", CALLS)
def test_a_file_of_ones_own_is_never_written_over(name: str, capsys: Captured) -> None:
    Path(name).write_bytes(b"what I wrote")
    assert run(CALLS[name]) == 2
    assert f"{name} is there already" in capsys.readouterr().err
    assert Path(name).read_bytes() == b"what I wrote"


@pytest.mark.parametrize("name", set(CALLS) - {"mine.zip"})
def test_what_idkit_wrote_is_written_anew(name: str) -> None:
    assert run(CALLS[name]) == 0
    assert run(CALLS[name]) == 0


def test_a_table_that_was_filled_in_is_no_longer_idkits() -> None:
    assert run(CALLS["mine.csv"]) == 0
    with Path("mine.csv").open("a", encoding="utf-8") as file:
        file.write("and a note\n")
    assert run(CALLS["mine.csv"]) == 2
    assert "and a note" in Path("mine.csv").read_text(encoding="utf-8")


def test_nothing_is_kept_where_the_picture_is_refused() -> None:
    from idkit import flows

    Path("mine.png").write_bytes(b"what I wrote")
    assert run([*CALLS["mine.png"], "--keep"]) == 2
    assert len(flows.records(flows.listing()).rows) == 1


def test_a_photo_is_written_under_an_ending_that_is_its_own(capsys: Captured) -> None:
    assert run(["records", "show", "1", "--picture", "tap.png"]) == 2
    assert "ends in .jpg" in capsys.readouterr().err
    assert not Path("tap.png").exists()
