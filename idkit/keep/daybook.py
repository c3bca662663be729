"""The daybook of yards, price lists, finds, piles, loads, tickets and materials of one's own, a line an act, never
overwritten.

A correction is a new line. What stands is worked out from all lines, in the order they were written.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from idkit.errors import CallError
from idkit.keep.store import now, reading, writing
from idkit.vocabulary import Written

Act = tuple[str, str, str, Mapping[str, Any]]
"""Kind, name, act and body of a line; the body is JSON, numbers in it as text."""

Compose = Callable[[Sequence[Written]], Sequence[Act]]
"""What is to be written, by all that was written before."""


def write_acts(compose: Compose) -> tuple[Written, ...]:
    """Write the lines that `compose` makes of all that stands; all of them are kept, or none.

    `compose` sees what was written before in the same transaction, so that two idkits at once can't both take the last
    of a pile; what it raises is raised, and nothing is written.
    """
    with writing() as database:
        return write_within(database, compose)


def write_within(database: sqlite3.Connection, compose: Compose) -> tuple[Written, ...]:
    """The same within a change that is under way."""
    moment, rows = now(), compose(_all(database.execute("SELECT * FROM daybook ORDER BY id")))
    numbers = [
        database.execute(
            "INSERT INTO daybook (at, kind, name, act, body) VALUES (?, ?, ?, ?, ?)",
            (moment, kind, name, act, _text(name, body)),
        ).lastrowid
        or 0
        for kind, name, act, body in rows
    ]
    return tuple(Written(number, moment, *row) for number, row in zip(numbers, rows, strict=True))


def _text(name: str, body: Mapping[str, Any]) -> str:
    """A body as it is written; CallError for what a terminal passed on of bytes that it could not read."""
    text = json.dumps(body, ensure_ascii=False, allow_nan=False)
    if not text.isascii() and text != text.encode("utf-8", "replace").decode("utf-8"):
        raise CallError(name, "got letters that are no text", "text in UTF-8")
    return text


def acts(*kinds: str) -> tuple[Written, ...]:
    """All lines of these kinds in the order they were written; of every kind where none is named."""
    with reading() as database:
        lines = _all(database.execute("SELECT * FROM daybook ORDER BY id"))
    return tuple(line for line in lines if not kinds or line.kind in kinds)


def _all(rows: Any) -> list[Written]:
    return [Written(r["id"], r["at"], r["kind"], r["name"], r["act"], json.loads(r["body"])) for r in rows]
