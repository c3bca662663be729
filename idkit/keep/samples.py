"""Confirmed parts with all that was measured and said of them: what learning, reports and warnings start from."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping

from idkit.keep.labels import WORTH, counting, standing
from idkit.keep.likeness import groups
from idkit.keep.store import place, reading
from idkit.keep.written import LABEL, answers_read, label_read, numbered, photo_read
from idkit.vocabulary import KeptPhoto, Label, Sample

ALL, WRONG = "records.label IS NOT NULL AND removed = 0", "records.wrong = 1 AND removed = 0"
NEWEST = 500  # mistakes that are remembered


def samples() -> tuple[Sample, ...]:
    """Every confirmed part that is not removed, the oldest first; one that was kept again is there once, as it was kept
    last.

    Where a pile was named, not a material, it comes with all materials of that pile; of a line that was paid less only
    its cause comes. Photos come without pictures.
    """
    with reading() as database:
        found = tuple(_samples(database, ALL, groups(database)))
    last = {_of_what(sample): sample.record for sample in found}
    return tuple(sample for sample in found if last[_of_what(sample)] == sample.record)


def _of_what(sample: Sample) -> tuple[object, ...]:
    """What a part was read from, and what it was said to be: its photos with all that was measured on them; by itself
    where it has none.
    """
    photos = tuple((photo.sha256, repr(sorted(photo.cues.items()))) for photo in sample.photos)
    return (photos, sample.materials, sample.label.pile) if photos else (sample.record,)


def mistakes(pile: str) -> tuple[Sample, ...]:
    """The newest 500 parts that the machine put on this pile, and a yard or an analyser on another."""
    if not place().exists():
        return ()
    with reading() as database:
        query = f"SELECT id FROM records WHERE {WRONG} AND pile = ? ORDER BY id DESC LIMIT {NEWEST}"
        numbers = [str(int(row["id"])) for row in database.execute(query, (pile,))]
        return tuple(_samples(database, f"records.id IN ({', '.join(numbers)})", {}))


def _samples(database: sqlite3.Connection, which: str, of_record: Mapping[int, int]) -> Iterator[Sample]:
    photos, labels = _photos(database, which), _labels(database, which)
    query = f"""SELECT records.*, picks.record IS NOT NULL AS picked, packages.name AS package_name, packages.weight
        FROM records LEFT JOIN picks ON picks.record = records.id
        LEFT JOIN packages ON packages.id = records.package WHERE {which} ORDER BY records.id"""
    for row in database.execute(query):
        said = labels[row["id"]]
        counts = counting(said)
        assert counts is not None
        yield Sample(
            record=row["id"],
            group=of_record.get(row["id"], row["id"]),
            kept_at=row["kept_at"],
            part=row["part"],
            surface=row["surface"],
            answers=answers_read(row["answers"]),
            chances=numbered(row["chances"]),
            pile=row["pile"],
            sure=bool(row["sure"]),
            model=(row["model"], row["digest"]),
            photos=tuple(photos.get(row["id"], ())),
            label=counts,
            labels=standing(said),
            materials=counts.materials,
            weight=WORTH[counts.by] * (1.0 if row["weight"] is None else row["weight"]),
            tests=counts.by != "self",
            at_random=bool(row["picked"]),
            package=row["package_name"] or "",
        )


def _photos(database: sqlite3.Connection, which: str) -> dict[int, list[KeptPhoto]]:
    found: dict[int, list[KeptPhoto]] = {}
    query = f"""SELECT photos.*, likeness FROM photos JOIN pictures USING (sha256) JOIN records ON records.id = record
        WHERE {which} ORDER BY photos.id"""
    for row in database.execute(query):
        found.setdefault(row["record"], []).append(photo_read(row))
    return found


def _labels(database: sqlite3.Connection, which: str) -> dict[int, list[Label]]:
    found: dict[int, list[Label]] = {}
    query = f"SELECT {LABEL} FROM labels JOIN records ON records.id = labels.record WHERE {which} ORDER BY labels.id"
    for row in database.execute(query):
        found.setdefault(row["record"], []).append(label_read(row))
    return found
