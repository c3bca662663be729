"""Whatever happens to the journal's end, what stands before it counts and nothing else does."""

from __future__ import annotations

import zlib
from pathlib import Path

import pytest

from idkit.batch import Journal, Outcome, Problem
from idkit.errors import StoreError


def outcome(number: int, text: str = "") -> Outcome:
    tag = {"part": {"part": f"part {number}", "note": text or "Ü\udcff"}, "pictures": []}
    return Outcome(f"part {number}", {f"{number}.jpg": ((number, 1, 2, 3), "aa")}, (tag,), (Problem("x.jpg", "torn"),))


@pytest.fixture
def filled(tmp_path: Path) -> Path:
    journal = Journal(tmp_path / "journal.txt")
    for number in range(3):
        journal.add("how", outcome(number))
    journal.close()
    return journal.path


def test_what_was_written_is_read_back(filled: Path) -> None:
    journal = Journal(filled)
    assert [journal.outcome(f"part {number}") for number in range(3)] == [outcome(number) for number in range(3)]
    journal.close()


def test_cut_at_any_byte_the_whole_lines_count_and_the_rest_can_be_added(filled: Path) -> None:
    data = filled.read_bytes()
    for cut in range(len(data)):
        filled.write_bytes(data[:cut])
        journal = Journal(filled)
        whole = data[:cut].count(b"\n")
        assert list(journal.entries) == [f"part {number}" for number in range(whole)]
        for number in range(whole, 3):
            journal.add("how", outcome(number))
        journal.close()
        assert filled.read_bytes() == data


def test_a_changed_byte_costs_its_own_line_only(filled: Path) -> None:
    data = bytearray(filled.read_bytes())
    data[data.index(b"\n") + 40] ^= 1
    filled.write_bytes(data)
    journal = Journal(filled)
    assert set(journal.entries) == {"part 0", "part 2"}
    journal.close()


def test_the_last_line_on_a_part_counts_and_waste_is_dropped(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "journal.txt")
    for number in range(40):
        journal.add("how", outcome(number % 2, "x" * 60_000))
    journal.add("other", outcome(1, "last"))
    before = journal.path.stat().st_size
    journal.without_waste()
    assert journal.path.stat().st_size < before / 10
    assert journal.entries["part 1"].how == "other"
    assert journal.outcome("part 1") == outcome(1, "last")
    journal.close()


def test_a_journal_that_cannot_be_opened_is_one_line(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="can't be written"):
        Journal(tmp_path / "gone" / "journal.txt")


def test_a_line_of_another_form_is_no_line(tmp_path: Path) -> None:
    """Whole by its sum, but of one piece of JSON, as lines were once: its part is done again."""
    body = b'{"part":"part 1","how":"h","files":{},"tags":[],"problems":[]}'
    (tmp_path / "journal.txt").write_bytes(b"%08x %s\n" % (zlib.crc32(body), body))
    journal = Journal(tmp_path / "journal.txt")
    assert journal.entries == {}
    journal.add("h", outcome(1))
    assert journal.outcome("part 1") == outcome(1)
    journal.close()


def test_lines_of_an_earlier_idkit_do_not_count(tmp_path: Path) -> None:
    """It wrote down less of each file."""
    body = b'{"part":"tap","how":"how","files":{"tap.jpg":[1,2,"aa"]}}\t{"tags":[],"problems":[]}'
    (tmp_path / "journal.txt").write_bytes(b"%08x %s\n" % (zlib.crc32(body), body))
    journal = Journal(tmp_path / "journal.txt")
    assert not journal.entries
    journal.close()
