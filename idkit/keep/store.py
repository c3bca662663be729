"""The user's store: one SQLite file, opened for one piece of work and closed again.

Every change is one transaction in a write-ahead log: all of it is kept or nothing, whenever the process is ended.
"""

from __future__ import annotations

import logging
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from idkit.errors import StoreError
from idkit.keep.home import home
from idkit.keep.versions import VERSIONS

FILE = "kept.sqlite"
CACHE = 65_536  # KiB at the most: a package of thousands is one change
MARK = 0x69646B74  # "idkt" as application_id in the file's header (SQLite file format, 1.3.17)
A_MOMENT, PATIENCE = 1.0, 30.0  # seconds of waiting for another idkit: before a word is said, and in all
BUSY = ("SQLITE_BUSY", "SQLITE_LOCKED")

log = logging.getLogger("idkit.keep")

# What SQLite says by the start of its name for it (sqlite.org/rescode.html): what happened, what is right, what next.
FAULTS = {
    "SQLITE_BUSY": ("is in use by another idkit", "", "wait for it to end and say it again; nothing was changed"),
    "SQLITE_LOCKED": ("is in use by another idkit", "", "wait for it to end and say it again; nothing was changed"),
    "SQLITE_FULL": ("the disk is full", "", "make room and say it again; nothing was changed, nothing is lost"),
    "SQLITE_IOERR": ("the disk is full or failing", "", "make room and say it again; what was kept before is kept"),
    "SQLITE_READONLY": ("can't be written", "a folder of yours with room in it", "set IDKIT_HOME"),
    "SQLITE_PERM": ("can't be written", "a folder of yours with room in it", "set IDKIT_HOME"),
    "SQLITE_CANTOPEN": ("can't be opened", "a folder of yours with room in it", "set IDKIT_HOME"),
    "SQLITE_NOTADB": ("is no store of idkit", "the file that idkit wrote", "move it away, or set IDKIT_HOME"),
    "SQLITE_CORRUPT": (
        "is damaged",
        "",
        "move it away with its -wal file and keep both; put a copy back if you have one",
    ),
}


def place() -> Path:
    """Where the store is, or would be."""
    return home() / FILE


def now() -> str:
    """UTC to the second, ISO 8601."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


@contextmanager
def reading() -> Iterator[sqlite3.Connection]:
    """The store to look into; an empty one in memory where nothing was kept yet. StoreError where it can't be read."""
    path = place()
    with _in_words(path), closing(_opened(path if path.exists() else None)) as database:
        yield database


@contextmanager
def writing() -> Iterator[sqlite3.Connection]:
    """One change: all of it is kept, or nothing. It waits for another idkit, and says so in the log after a moment.

    StoreError where the store stays busy, the disk is full, or the file is not one that this version can write.
    """
    path = place()
    with _in_words(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        with closing(_opened(path)) as database:
            _begin(database)
            try:
                yield database
                database.execute("COMMIT")
            except BaseException:
                if database.in_transaction:
                    database.execute("ROLLBACK")
                raise


def rewrite() -> None:
    """Write the file anew without the space that deleted rows took, in the log too; left for later where it is busy."""
    path = place()
    with _in_words(path), closing(_opened(path)) as database, suppress(sqlite3.OperationalError):
        database.execute("VACUUM")
        database.execute("PRAGMA wal_checkpoint (TRUNCATE)")


def _opened(path: Path | None) -> sqlite3.Connection:
    database = sqlite3.connect(path or ":memory:", timeout=A_MOMENT, isolation_level=None)
    try:
        database.row_factory = sqlite3.Row
        database.execute("PRAGMA foreign_keys = ON")
        database.execute(f"PRAGMA cache_size = -{CACHE}")
        database.execute("PRAGMA synchronous = FULL")  # a commit is on the disk when it is said to be done
        _refuse_strange(database, path)
        _carry_forward(database, path)
    except BaseException:
        database.close()
        raise
    return database


def _refuse_strange(database: sqlite3.Connection, path: Path | None) -> None:
    mark, version = (_pragma(database, name) for name in ("application_id", "user_version"))
    if mark != MARK and database.execute("SELECT 1 FROM sqlite_master").fetchone():
        raise StoreError(str(path), *FAULTS["SQLITE_NOTADB"])
    if version > len(VERSIONS):
        got = f"was written by a newer idkit (store version {version})"
        raise StoreError(str(path), got, f"version {len(VERSIONS)} or older", "update idkit, or set IDKIT_HOME")


def _carry_forward(database: sqlite3.Connection, path: Path | None) -> None:
    """Make the tables, or bring those of an older version up to this one after copying the store beside itself."""
    version = _pragma(database, "user_version")
    if version == len(VERSIONS):
        return
    if path and version:
        _back_up(database, path, version)
    if path and not version:
        _retried(database, "PRAGMA journal_mode = WAL")
    _begin(database)
    for statements in VERSIONS[_pragma(database, "user_version") :]:  # another process may have been quicker
        for statement in statements:
            database.execute(statement)
    database.execute(f"PRAGMA application_id = {MARK}")
    database.execute(f"PRAGMA user_version = {len(VERSIONS)}")
    database.execute("COMMIT")


def _back_up(database: sqlite3.Connection, path: Path, version: int) -> None:
    stamp = now().replace(":", "").replace("-", "")
    copy = path.with_name(f"{path.stem}-version-{version}-{stamp}.sqlite")
    if not copy.exists():
        database.execute("VACUUM INTO ?", (str(copy),))
        log.warning("%s is carried forward to this version of idkit; as it was: %s", path, copy)


def backups() -> tuple[Path, ...]:
    """Copies of the store as older versions left it."""
    path = place()
    return tuple(sorted(path.parent.glob(f"{path.stem}-version-*.sqlite")))


def _begin(database: sqlite3.Connection) -> None:
    _retried(database, "BEGIN IMMEDIATE")


def _retried(database: sqlite3.Connection, statement: str) -> None:
    """Run it, waiting for another process that writes, with one word in the log."""
    until, said = time.monotonic() + PATIENCE, False
    while True:
        try:
            database.execute(statement)
            return
        except sqlite3.OperationalError as error:
            if not _name(error).startswith(BUSY) or time.monotonic() > until:
                raise
        if not said:
            log.warning("%s is in use by another idkit: waiting for it, at most %.0f s", place(), PATIENCE)
            said = True
        time.sleep(0.05)


def _pragma(database: sqlite3.Connection, name: str) -> int:
    return int(database.execute(f"PRAGMA {name}").fetchone()[0])


def _name(error: sqlite3.Error) -> str:
    return str(getattr(error, "sqlite_errorname", ""))


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """What SQLite or the system raises, as one line."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        found = [words for name, words in FAULTS.items() if _name(error).startswith(name)]
        if not found:
            raise
        raise StoreError(str(path), *found[0]) from error
    except OSError as error:
        got = f"can't be written ({error.strerror})"
        raise StoreError(str(path.parent), got, "a folder of yours with room in it", "set IDKIT_HOME") from error
