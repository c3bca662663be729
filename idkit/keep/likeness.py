"""Knowing a photo again, however it was turned, mirrored, sized or saved, and which records share one.

A likeness is 256 bits: the signs of 16 x 16 coefficients of a cosine transform, row by row. Mirroring a picture turns
the signs of every other column or row, turning it by a quarter also swaps rows and columns: so the eight ways to lay
a picture follow from one likeness.

Pictures that differ in at most 19 bits agree in at least one of 20 strands, each every twentieth bit: so those alike
are found by their strands, without a look at all that are kept.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from idkit.keep.store import reading

SIDE = 16
APART = 19  # bits of 256 in which the same photo may differ, saved another way: measured, tests/bench/twins.py
STRANDS = APART + 1
ODD_COLUMNS = int("01" * (SIDE * SIDE // 2), 2)
ODD_ROWS = int(("0" * SIDE + "1" * SIDE) * (SIDE // 2), 2)


def find(likeness: bytes, sha256: str = "") -> tuple[str, ...]:
    """The sha256 of kept photos that are the same but for how they were turned, sized or saved; the nearest first.

    The very same file, where it is kept, is found at once.
    """
    with reading() as database:
        if database.execute("SELECT 1 FROM pictures WHERE sha256 = ?", (sha256,)).fetchone():
            return (sha256,)
        return _near(database, likeness)


def remember(database: sqlite3.Connection, sha256: str, likeness: bytes) -> None:
    """Note a picture by its likeness, and those kept before that are the same."""
    if database.execute("SELECT 1 FROM pictures WHERE sha256 = ?", (sha256,)).fetchone():
        return
    near = _near(database, likeness)
    row = database.execute("INSERT INTO pictures (sha256, likeness) VALUES (?, ?)", (sha256, likeness))
    strands = ((bits, row.lastrowid) for bits in strands_of(int.from_bytes(likeness)))
    database.executemany("INSERT INTO strands VALUES (?, ?)", strands)
    database.executemany("INSERT INTO twins VALUES (?, ?)", ((sha256, twin) for twin in near))


def turned(likeness: bytes) -> tuple[int, ...]:
    """The bits of a picture laid in all eight ways, as it is first.

    >>> len(set(turned(bytes(range(32)))))
    8
    """
    bits = int.from_bytes(likeness)
    text = format(bits, f"0{SIDE * SIDE}b")
    swapped = int("".join(text[column::SIDE] for column in range(SIDE)), 2)
    return tuple(
        one ^ rows ^ columns for one in (bits, swapped) for rows in (0, ODD_ROWS) for columns in (0, ODD_COLUMNS)
    )


def apart(one: bytes, other: bytes) -> int:
    """In how many bits two pictures differ, laid so that they differ least; 0 to 256.

    >>> apart(bytes(32), bytes(31) + b"\\x03")
    2
    """
    return _apart(turned(one), other)


def _apart(ways: tuple[int, ...], other: bytes) -> int:
    bits = int.from_bytes(other)
    return min((bits ^ way).bit_count() for way in ways)


def strands_of(bits: int) -> tuple[int, ...]:
    """Every twentieth bit from each of the first 20, as one number that also tells which strand it is."""
    text = format(bits, f"0{SIDE * SIDE}b")
    return tuple(int(text[strand::STRANDS], 2) * STRANDS + strand for strand in range(STRANDS))


def _near(database: sqlite3.Connection, likeness: bytes) -> tuple[str, ...]:
    ways = turned(likeness)
    strands = tuple({strand for way in ways for strand in strands_of(way)})
    marks = ", ".join("?" * len(strands))
    query = f"""SELECT sha256, likeness FROM pictures
        WHERE id IN (SELECT picture FROM strands WHERE bits IN ({marks}))"""
    alike = [(_apart(ways, kept), sha256) for sha256, kept in database.execute(query, strands)]
    return tuple(sha256 for bits, sha256 in sorted(alike) if bits <= APART)


def same_as(database: sqlite3.Connection, record: int) -> tuple[int, ...]:
    """Other records that show a photo of this one, or one alike, that are not removed."""
    query = """
        WITH mine AS (SELECT sha256 FROM photos WHERE record = :record),
        same AS (
            SELECT sha256 FROM mine
            UNION SELECT other FROM twins WHERE sha256 IN mine
            UNION SELECT sha256 FROM twins WHERE other IN mine
        )
        SELECT DISTINCT record FROM photos JOIN records ON records.id = record
        WHERE sha256 IN same AND record <> :record AND removed = 0 ORDER BY record
    """
    return tuple(row["record"] for row in database.execute(query, {"record": record}))


def records_of(sha256s: Iterable[str]) -> tuple[int, ...]:
    """Records that hold any of these photos and are not removed."""
    wanted = tuple(sha256s)
    marks = ", ".join("?" * len(wanted))
    query = f"""SELECT DISTINCT record FROM photos JOIN records ON records.id = record
        WHERE sha256 IN ({marks}) AND removed = 0 ORDER BY record"""
    with reading() as database:
        return tuple(row["record"] for row in database.execute(query, wanted))


def groups(database: sqlite3.Connection) -> dict[int, int]:
    """For every record the smallest one that it hangs together with by shared photos or ones alike."""
    first: dict[int, int] = {}
    links: dict[str, int] = {}
    for record, sha256 in database.execute("SELECT record, sha256 FROM photos ORDER BY record"):
        _join(first, record, links.setdefault(sha256, record))
    for sha256, other in database.execute("SELECT sha256, other FROM twins"):
        if sha256 in links and other in links:
            _join(first, links[sha256], links[other])
    return {record: _root(first, record) for record in first}


def _join(first: dict[int, int], one: int, other: int) -> None:
    low, high = sorted((_root(first, one), _root(first, other)))
    first[high] = low


def _root(first: dict[int, int], record: int) -> int:
    first.setdefault(record, record)
    while first[record] != record:
        first[record] = first[first[record]]
        record = first[record]
    return record
