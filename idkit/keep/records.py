"""Records: one kept verdict each, with its photos. They are added, listed and shown; what they say never changes."""

from __future__ import annotations

import json
import sqlite3
import uuid
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from idkit.errors import CallError
from idkit.keep import likeness
from idkit.keep.labels import add_label
from idkit.keep.store import now, reading, writing
from idkit.keep.written import (
    KEPT,
    LABEL,
    answers_read,
    answers_written,
    dumped,
    kept_read,
    label_read,
    numbered,
    numbers,
    photo_read,
    spelt_out,
)
from idkit.vocabulary import Answers, Entry, Kept, KeptPhoto, Label, Page, Whole

MOST = 500  # rows a page


@dataclass(frozen=True)
class Filter:
    """Which rows of a list: those that fit every field that is filled.

    `material` is what the machine said or, of confirmed ones, what a person said; `before` is a record to go on from.
    """

    material: str = ""
    pile: str = ""
    by: str = ""
    yard: str = ""
    since: str = ""  # a day or a moment, ISO 8601
    confirmed: bool | None = None
    removed: bool = False
    wrong: bool = False
    before: int | None = None
    rows: int = 20


def add(entry: Entry, label: Label | None = None) -> int:
    """Keep a record, with what a person said of it where that is known already; gives its number."""
    with writing() as database:
        record = insert(database, entry)
        if label is not None:
            add_label(database, replace(label, record=record, said_at=now()))
    return record


def add_once(entry: Entry, uid: str) -> tuple[int, bool]:
    """Keep a record under a name of its own, 32 hexadecimal digits; its number, and whether it was not there before."""
    with writing() as database:
        there = database.execute("SELECT id FROM records WHERE uid = ?", (uid,)).fetchone()
        return (int(there["id"]), False) if there else (insert(database, entry, uid), True)


def insert(database: sqlite3.Connection, entry: Entry, uid: str = "", kept_at: str = "") -> int:
    """The same within a change that is under way."""
    material, chance = next(iter(entry.chances.items()))
    row = {
        "uid": uid or uuid.uuid4().hex,
        "kept_at": kept_at or now(),
        "origin": entry.origin,
        "part": spelt_out(entry.part),
        "surface": entry.surface,
        "material": material,
        "chance": chance,
        "pile": entry.pile,
        "sure": int(entry.sure),
        "model": entry.model[0],
        "digest": entry.model[1],
        "answers": answers_written(entry.answers),
        "chances": dumped(numbers(entry.chances)),
        "document": dumped(entry.document),
    }
    columns, places = ", ".join(row), ", ".join(f":{name}" for name in row)
    record = database.execute(f"INSERT INTO records ({columns}) VALUES ({places})", row).lastrowid
    assert record is not None
    for photo in entry.photos:
        _insert_photo(database, record, photo)
    return record


def _insert_photo(database: sqlite3.Connection, record: int, photo: KeptPhoto) -> None:
    likeness.remember(database, photo.sha256, photo.likeness)
    database.execute(
        "INSERT INTO photos (record, sha256, file, cues, white, log_photo) VALUES (?, ?, ?, ?, ?, ?)",
        (
            record,
            photo.sha256,
            spelt_out(photo.file),
            dumped(numbers(photo.cues)),
            dumped(photo.white),
            dumped(numbers(photo.log_photo)),
        ),
    )
    if photo.thumbnail:
        database.execute("INSERT OR IGNORE INTO thumbnails VALUES (?, ?)", (photo.sha256, photo.thumbnail))
    if photo.original is not None:
        database.execute("INSERT OR IGNORE INTO originals VALUES (?, ?)", (photo.sha256, photo.original))


def page(wanted: Filter) -> Page:
    """Rows of a list, the newest first."""
    rows = max(1, min(MOST, wanted.rows))
    where, values = _where(wanted)
    query = (
        f"SELECT {KEPT}, {LABEL} FROM records LEFT JOIN labels ON labels.id = records.label "
        f"WHERE {where} ORDER BY records.id DESC LIMIT {rows + 1}"
    )
    with reading() as database:
        found = [kept_read(row) for row in database.execute(query, values)]
    return Page(tuple(found[:rows]), found[rows - 1].record if len(found) > rows else None)


def _where(wanted: Filter) -> tuple[str, list[str | int]]:
    """A condition, and the values of its question marks."""
    material, pile = ("named", "named_pile") if wanted.confirmed else ("records.material", "records.pile")
    conditions: list[tuple[str, str | int | None]] = [
        ("removed = ?", int(wanted.removed)),
        (f"{material} = ?", wanted.material or None),
        (f"{pile} = ?", wanted.pile or None),
        ("named_by = ?", wanted.by or None),
        ("named_yard = ?", wanted.yard or None),
        ("kept_at >= ?", wanted.since or None),
        ("records.id < ?", wanted.before),
        ("records.wrong = ?", 1 if wanted.wrong else None),
    ]
    plain = {True: "records.label IS NOT NULL", False: "records.label IS NULL", None: "1"}[wanted.confirmed]
    used = [(text, value) for text, value in conditions if value is not None]
    return " AND ".join([plain, *(text for text, _ in used)]), [value for _, value in used]


def show(record: int) -> Whole:
    """All of one record; CallError where there is none of that number."""
    with reading() as database:
        query = f"SELECT {KEPT}, {LABEL}, answers, chances, model, digest, document FROM records "
        row = database.execute(
            f"{query} LEFT JOIN labels ON labels.id = label WHERE records.id = ?", (record,)
        ).fetchone()
        if row is None:
            raise unknown(record)
        return Whole(
            kept_read(row),
            answers_read(row["answers"]),
            numbered(row["chances"]),
            (row["model"], row["digest"]),
            json.loads(row["document"]),
            tuple(_photos(database, record)),
            tuple(_labels(database, record)),
            likeness.same_as(database, record),
        )


def _photos(database: sqlite3.Connection, record: int) -> Iterator[KeptPhoto]:
    query = (
        "SELECT photos.*, likeness, jpeg, bytes FROM photos JOIN pictures USING (sha256) "
        "LEFT JOIN thumbnails USING (sha256) LEFT JOIN originals USING (sha256) WHERE record = ? ORDER BY photos.id"
    )
    for row in database.execute(query, (record,)):
        yield replace(photo_read(row), thumbnail=row["jpeg"] or b"", original=row["bytes"])


def _labels(database: sqlite3.Connection, record: int) -> Iterator[Label]:
    query = f"SELECT {LABEL} FROM labels WHERE record = ? ORDER BY id"
    yield from (label_read(row) for row in database.execute(query, (record,)))


def known(records: Sequence[int]) -> tuple[Kept, ...]:
    """Those records; CallError for the first that there is none of."""
    with reading() as database:
        return tuple(one(database, record) for record in records)


def answers(records: Sequence[int]) -> dict[int, Answers]:
    """The answers of those records, which must be known."""
    query = "SELECT answers FROM records WHERE id = ?"
    with reading() as database:
        return {each: answers_read(database.execute(query, (each,)).fetchone()["answers"]) for each in records}


def same_photos(records: Sequence[int]) -> dict[int, tuple[int, ...]]:
    """Of each of those records, others of the same photo, or of one alike."""
    with reading() as database:
        return {each: likeness.same_as(database, each) for each in records}


def still_kept(records: Sequence[int]) -> tuple[int, ...]:
    """Those of them that were not purged."""
    query = "SELECT 1 FROM records WHERE id = ?"
    with reading() as database:
        return tuple(each for each in records if database.execute(query, (each,)).fetchone())


def one(database: sqlite3.Connection, record: int) -> Kept:
    """A row of the list; CallError where there is none of that number."""
    query = f"SELECT {KEPT}, {LABEL} FROM records LEFT JOIN labels ON labels.id = label WHERE records.id = ?"
    row = database.execute(query, (record,)).fetchone()
    if row is None:
        raise unknown(record)
    return kept_read(row)


def unknown(record: int) -> CallError:
    """The line for a record that is not there."""
    return CallError("record", f"got {record}, which is not kept", "a number of idkit records list")
