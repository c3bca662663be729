"""Taking records away: they can be had back until they are purged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from idkit.keep.records import one
from idkit.keep.store import backups, now, rewrite, writing

LEFTOVERS = (  # in the order in which nothing hangs on them any more
    "DELETE FROM pictures WHERE sha256 NOT IN (SELECT sha256 FROM photos)",
    "DELETE FROM strands WHERE picture NOT IN (SELECT id FROM pictures)",
    "DELETE FROM downgrades WHERE id NOT IN (SELECT downgrade FROM downgraded)",
)


@dataclass(frozen=True)
class Purged:
    """How many records are gone for good, and copies by older versions that may still hold them."""

    records: int
    backups: tuple[Path, ...]


def remove(records: Sequence[int], *, undo: bool = False) -> int:
    """Take records out of lists and learning, or put them back; how many that changed. CallError for an unknown one."""
    moment, changed = now(), 0
    with writing() as database:
        for record in records:
            if one(database, record).removed != undo:
                continue
            changed += 1
            database.execute("UPDATE records SET removed = ? WHERE id = ?", (int(not undo), record))
            what = "restored" if undo else "removed"
            database.execute("INSERT INTO removals (record, at, what) VALUES (?, ?, ?)", (record, moment, what))
    return changed


def purge() -> Purged:
    """Delete what was removed, with its photos and labels, and overwrite the space it took."""
    with writing() as database:
        database.execute("PRAGMA secure_delete = ON")
        gone = database.execute("DELETE FROM records WHERE removed = 1").rowcount
        for statement in LEFTOVERS:
            database.execute(statement)
    if gone:
        rewrite()
    return Purged(gone, backups())
