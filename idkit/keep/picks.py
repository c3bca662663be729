"""Parts picked at random for confirming: from those alone can be told how often the machine is right."""

from __future__ import annotations

import random
import sqlite3

from idkit.keep.store import now, writing
from idkit.keep.written import KEPT, LABEL, kept_read
from idkit.vocabulary import Kept

OPEN = """SELECT records.id FROM picks JOIN records ON records.id = picks.record LEFT JOIN labels ON labels.id = label
    WHERE removed = 0 AND (label IS NULL OR labels."by" = 'self') ORDER BY records.id"""
UNPICKED = """SELECT id FROM records WHERE removed = 0 AND origin <> 'imported' AND origin <> 'added'
    AND id NOT IN (SELECT record FROM picks) ORDER BY id"""


def pick(count: int, seed: int | None = None) -> tuple[Kept, ...]:
    """At most `count` parts to have confirmed: first those picked before and not confirmed yet.

    Drawn evenly from all that was kept of one's own, confirmed or not: what is confirmed already counts as picked and
    is not asked for again. Were only the unconfirmed drawn from, the doubtful parts, which people take to the yard,
    would be missing. What was added with its label is never drawn: somebody chose it.
    """
    with writing() as database:
        wanted = [row["id"] for row in database.execute(OPEN)]
        pool = [row["id"] for row in database.execute(UNPICKED)]
        random.Random(seed).shuffle(pool)
        while pool and len(wanted) < count:
            record = pool.pop()
            database.execute("INSERT INTO picks VALUES (?, ?)", (record, now()))
            if not _said_elsewhere(database, record):
                wanted.append(record)
        return tuple(_row(database, record) for record in sorted(wanted)[:count])


def _said_elsewhere(database: sqlite3.Connection, record: int) -> bool:
    query = """SELECT 1 FROM records JOIN labels ON labels.id = label WHERE records.id = ? AND labels."by" <> 'self'"""
    return database.execute(query, (record,)).fetchone() is not None


def _row(database: sqlite3.Connection, record: int) -> Kept:
    query = f"SELECT {KEPT}, {LABEL} FROM records LEFT JOIN labels ON labels.id = label WHERE records.id = ?"
    return kept_read(database.execute(query, (record,)).fetchone())
