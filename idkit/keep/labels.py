"""What people said a part is. Rows are only added: a correction is a new row, and the newest of a voice stands.

A voice is who says it: the analyser, a yard by its name, oneself. Of several voices the surest counts.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import replace

from idkit.keep.store import now, writing
from idkit.keep.written import LABEL, dumped, label_read
from idkit.vocabulary import BY, Label

WORTH = {"analyser": 1.0, "yard": 0.9, "self": 0.3}
"""What a label is worth in learning: an analyser reads alloys; a yard is seldom wrong; one's own word is a guess."""


def confirm(labels: Sequence[Label]) -> None:
    """Add what was said, of one part or many, all of it or nothing; the moment is noted here."""
    moment = now()
    with writing() as database:
        for label in labels:
            add_label(database, replace(label, said_at=moment))


def add_label(database: sqlite3.Connection, label: Label) -> None:
    """Add a row within a change that is under way, and note which one counts now."""
    database.execute(
        'INSERT INTO labels (record, said_at, "by", yard, materials, pile, note, withdrawn) '
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (
            label.record,
            label.said_at,
            label.by,
            label.yard,
            dumped(list(label.materials)),
            label.pile,
            label.note,
            int(label.withdrawn),
        ),
    )
    note(database, label.record)


def note(database: sqlite3.Connection, record: int) -> None:
    """Note which label of a record counts, and whether it says that the machine named the wrong pile."""
    rows = database.execute(f"SELECT {LABEL} FROM labels WHERE record = ? ORDER BY id", (record,))
    counts = counting(label_read(row) for row in rows)
    told = counts or Label(record, "", "", "", (), "")
    judged = told.by not in ("", "self") and told.pile != ""
    material = told.materials[0] if len(told.materials) == 1 else ""
    change = """UPDATE records SET label = ?, wrong = (? AND pile <> ?), named = ?, named_pile = ?, named_by = ?,
        named_yard = ? WHERE id = ?"""
    number = counts.id if counts else None
    database.execute(change, (number, judged, told.pile, material, told.pile, told.by, told.yard, record))


def standing(labels: Iterable[Label]) -> tuple[Label, ...]:
    """The newest of each voice that was not taken back, the surest voice first; `labels` in the order they were said.

    >>> one, two = (Label(1, "", "yard", "north", (name,), "") for name in ("lead", "tin"))
    >>> standing([one, two]) == (two,), standing([one, replace(two, withdrawn=True)])
    (True, ())
    """
    newest = {(label.by, label.yard): label for label in labels}
    return tuple(sorted((each for each in newest.values() if not each.withdrawn), key=lambda each: BY.index(each.by)))


def counting(labels: Iterable[Label]) -> Label | None:
    """The label that counts: of the surest voices the one that spoke last; None where none stands."""
    stand = standing(labels)
    surest = [label for label in stand if label.by == stand[0].by]
    return max(surest, key=lambda label: label.id, default=None)
