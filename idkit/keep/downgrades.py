"""Lines that a yard paid below what was claimed: they say nothing of their parts, but of the one that caused it."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, replace

from idkit.errors import CallError
from idkit.keep.daybook import Compose, write_within
from idkit.keep.labels import add_label
from idkit.keep.records import one
from idkit.keep.store import now, reading, writing
from idkit.vocabulary import Label


@dataclass(frozen=True)
class Downgrade:
    """One such line: piles by id, the parts by record; `culprit` is the one that caused it, None where nobody knows."""

    yard: str
    claimed: str
    paid: str
    reason: str
    records: tuple[int, ...]
    culprit: int | None = None
    said_at: str = ""


def downgrade(line: Downgrade, label: Label | None = None) -> None:
    """Keep a line, and what the yard called its culprit; CallError for unknown records or a culprit not of the line."""
    with writing() as database:
        _add(database, line)
        if label is not None:
            add_label(database, replace(label, said_at=now()))


def settle(compose: Compose, labels: Sequence[Label], lines: Sequence[Downgrade]) -> None:
    """Keep all that a ticket says of parts and the daybook's lines of it at once: all of it, or nothing."""
    with writing() as database:
        write_within(database, compose)
        for label in labels:
            add_label(database, replace(label, said_at=now()))
        for line in lines:
            _add(database, line)


def _add(database: sqlite3.Connection, line: Downgrade) -> None:
    if line.culprit is not None and line.culprit not in line.records:
        raise CallError("culprit", f"got {line.culprit}", "one of the parts of the line")
    for record in line.records:
        one(database, record)
    row = (now(), line.yard, line.claimed, line.paid, line.reason, line.culprit)
    number = database.execute(
        "INSERT INTO downgrades (said_at, yard, claimed, paid, reason, culprit) VALUES (?, ?, ?, ?, ?, ?)", row
    ).lastrowid
    parts = ((number, record) for record in dict.fromkeys(line.records))
    database.executemany("INSERT INTO downgraded VALUES (?, ?)", parts)


def downgrades() -> tuple[Downgrade, ...]:
    """Every line, the newest first."""
    with reading() as database:
        parts: dict[int, list[int]] = {}
        for number, record in database.execute("SELECT downgrade, record FROM downgraded ORDER BY record"):
            parts.setdefault(number, []).append(record)
        rows = database.execute("SELECT * FROM downgrades ORDER BY id DESC").fetchall()
    return tuple(
        Downgrade(
            row["yard"],
            row["claimed"],
            row["paid"],
            row["reason"],
            tuple(parts.get(row["id"], ())),
            row["culprit"],
            row["said_at"],
        )
        for row in rows
    )
