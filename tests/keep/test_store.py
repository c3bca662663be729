"""The store: whole or not at all, whoever else is at it, whatever version wrote it, however full the disk."""

from __future__ import annotations

import logging
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from idkit import keep
from idkit.errors import StoreError
from idkit.keep import store, versions
from idkit.vocabulary import Entry

MakeEntry = Callable[..., Entry]

# Adds and confirms as fast as it can, telling each number once it is said to be kept.
BUSY_WORKER = """
import sys
from idkit import keep
from idkit.vocabulary import Entry, KeptPhoto, Label
import hashlib, os
for turn in range(10_000):
    photo = KeptPhoto("", hashlib.sha256(os.urandom(8)).hexdigest(), {}, {}, {}, os.urandom(32), b"small")
    entry = Entry("tap", "identify", "as-found", {}, {"lead": 1.0}, "lead", True, ("", ""), {}, (photo,))
    number = keep.add(entry)
    print("kept", number, flush=True)
    keep.confirm([Label(number, "", "yard", "north", ("lead",), "lead")])
    print("confirmed", number, flush=True)
"""


def test_looking_makes_nothing(own_home: Path) -> None:
    assert keep.page(keep.Filter()).rows == ()
    assert keep.samples() == ()
    assert keep.mistakes("lead") == ()
    assert not own_home.exists()


def test_a_file_of_somebody_else_is_refused_and_left_alone(own_home: Path, make_entry: MakeEntry) -> None:
    own_home.mkdir()
    with sqlite3.connect(own_home / store.FILE) as database:
        database.execute("CREATE TABLE recipes (name TEXT)")
    database.close()
    before = (own_home / store.FILE).read_bytes()
    with pytest.raises(StoreError, match="is no store of idkit"):
        keep.add(make_entry(1))
    assert (own_home / store.FILE).read_bytes() == before
    (own_home / store.FILE).write_text("a shopping list " * 300, "utf-8")
    with pytest.raises(StoreError, match="is no store of idkit"):
        keep.page(keep.Filter())
    assert (own_home / store.FILE).read_text("utf-8") == "a shopping list " * 300


def test_a_store_of_an_older_version_is_carried_forward_with_a_backup(
    own_home: Path, make_entry: MakeEntry, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as older:
        older.setattr(store, "VERSIONS", versions.VERSIONS[:1])
        with store.writing() as database:
            database.execute("INSERT INTO pictures (sha256, likeness) VALUES ('a', x'00')")
    assert store.backups() == ()
    with caplog.at_level(logging.WARNING):
        number = keep.add(make_entry(1))
    (copy,) = store.backups()
    assert str(copy) in caplog.text
    assert keep.show(number).kept.part == "tap"
    with sqlite3.connect(copy) as old:
        assert old.execute("PRAGMA user_version").fetchone() == (1,)
        assert old.execute("SELECT count(*) FROM pictures").fetchone() == (1,)
    old.close()
    keep.add(make_entry(2))
    assert store.backups() == (copy,)


def test_a_store_of_a_newer_version_is_refused_with_what_to_do(own_home: Path, make_entry: MakeEntry) -> None:
    keep.add(make_entry(1))
    with sqlite3.connect(own_home / store.FILE) as database:
        database.execute("PRAGMA user_version = 99")
    database.close()
    for call in (lambda: keep.add(make_entry(2)), lambda: keep.page(keep.Filter())):
        with pytest.raises(StoreError, match="newer idkit .store version 99.*update idkit, or set IDKIT_HOME"):
            call()


def test_one_that_is_busy_is_waited_for_with_a_word(
    own_home: Path, make_entry: MakeEntry, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep.add(make_entry(1))
    monkeypatch.setattr(store, "A_MOMENT", 0.05)
    other = sqlite3.connect(own_home / store.FILE, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    released = threading.Timer(0.4, lambda: other.execute("COMMIT"))
    released.start()
    with caplog.at_level(logging.WARNING):
        assert keep.add(make_entry(2)) == 2
    assert "is in use by another idkit: waiting" in caplog.text
    released.join()
    other.execute("BEGIN IMMEDIATE")
    monkeypatch.setattr(store, "PATIENCE", 0.2)
    with pytest.raises(StoreError, match="in use by another idkit.*nothing was changed"):
        keep.add(make_entry(3))
    assert len(keep.page(keep.Filter()).rows) == 2  # looking goes on meanwhile
    other.close()


def test_a_full_disk_is_one_line_and_nothing_is_lost(make_entry: MakeEntry, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite's own limit of pages stands for the end of the disk: it raises the same SQLITE_FULL."""
    number = keep.add(make_entry(1))
    opened = store._opened

    def small(path: Path | None) -> sqlite3.Connection:
        database = opened(path)
        database.execute("PRAGMA max_page_count = 1")  # no more than it has
        return database

    line = r"kept\.sqlite: the disk is full; make room and say it again; nothing was changed, nothing is lost"
    with monkeypatch.context() as patched:
        patched.setattr(store, "_opened", small)
        with pytest.raises(StoreError, match=line):
            keep.add(make_entry(2, document={"long": "x" * 200_000}))
    assert keep.show(number).kept.part == "tap"
    assert keep.page(keep.Filter(rows=500)).rows[-1].record == number


def test_a_file_that_may_not_grow_is_one_line_too(tmp_path: Path) -> None:
    """The system's own limit on the size of files: writing beyond it fails as on a disk without room."""
    code = (
        "import resource\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (260_000, 260_000))\n"
        "from idkit.errors import StoreError\n"
        "try:\n"
        "    " + BUSY_WORKER.replace("\n", "\n    ") + "\n"
        "except StoreError as error:\n"
        "    print('refused', error)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    lines = done.stdout.splitlines()
    assert "refused" in lines[-1]
    assert "the disk is full" in lines[-1]
    assert_nothing_lost(lines)


def test_killed_at_any_moment_nothing_confirmed_is_lost() -> None:
    """Ended by signal 9 at ten moments of adding and confirming; tests/bench/store.py does it 200 times."""
    told: list[str] = []
    for turn in range(10):
        with subprocess.Popen([sys.executable, "-c", BUSY_WORKER], stdout=subprocess.PIPE, text=True) as worker:
            assert worker.stdout is not None
            first = worker.stdout.readline()
            time.sleep(0.013 * turn)
            worker.send_signal(signal.SIGKILL)
            told += [first, *worker.stdout.read().splitlines()]
    assert_nothing_lost(told)


def test_two_at_once_are_both_done() -> None:
    code = BUSY_WORKER.replace("10_000", "20")
    workers = [subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) for _ in range(2)]
    told = [line for worker in workers for line in worker.communicate()[0].splitlines()]
    assert [worker.returncode for worker in workers] == [0, 0]
    assert len(told) == 80
    assert_nothing_lost(told)


def assert_nothing_lost(told: list[str]) -> None:
    """All that was said to be kept and confirmed is there, and the store is sound."""
    words = [line.split() for line in told]
    said = {(each[0], int(each[1])) for each in words if len(each) == 2 and each[1].isdigit()}
    assert {what for what, _ in said} == {"kept", "confirmed"}
    confirmed = {sample.record for sample in keep.samples()}
    assert {number for what, number in said if what == "confirmed"} <= confirmed
    with store.reading() as database:
        kept = {row[0] for row in database.execute("SELECT id FROM records")}
        assert {number for what, number in said if what == "kept"} <= kept
        assert database.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
