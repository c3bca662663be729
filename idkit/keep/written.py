"""Words and numbers as the store holds them, and back: JSON without NaN, a missing number as null."""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from idkit.vocabulary import Answer, Answers, Kept, KeptPhoto, Label

DIGITS = 7  # significant, of what was measured: far beyond what any cue is good for

KEPT = """records.id, kept_at, part, origin, surface, records.material AS machine, chance, records.pile AS machine_pile,
    sure, removed, (SELECT name FROM packages WHERE packages.id = records.package) AS package_name"""
LABEL = """labels.id AS label_id, labels.record, labels.said_at, labels."by", labels.yard, labels.materials,
    labels.pile AS label_pile, labels.note, labels.withdrawn"""


def dumped(value: Any) -> str:
    """One line of JSON; what is no text is spelt out, which is how JSON escapes it."""
    return spelt_out(json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


def spelt_out(name: str) -> str:
    """A name of a file as text, whatever bytes it is made of.

    >>> spelt_out("caf" + chr(0xdce9))
    'caf\\\\udce9'
    """
    return name.encode("utf-8", "backslashreplace").decode()


def numbers(values: Mapping[str, float]) -> dict[str, float | None]:
    """Numbers by name, rounded, null for what could not be had."""
    return {name: float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None for name, value in values.items()}


def numbered(text: str) -> dict[str, float]:
    """The same back, NaN for null."""
    return {name: math.nan if value is None else float(value) for name, value in json.loads(text).items()}


def answers_written(answers: Answers) -> str:
    """Answers by check, each with what was typed."""
    return dumped({name: asdict(answer) for name, answer in answers.items()})


def answers_read(text: str) -> dict[str, Answer]:
    """The same back."""
    return {name: Answer(**fields) for name, fields in json.loads(text).items()}


def photo_read(row: sqlite3.Row) -> KeptPhoto:
    """A row of photos with its picture's likeness."""
    return KeptPhoto(
        row["file"],
        row["sha256"],
        numbered(row["cues"]),
        json.loads(row["white"]),
        numbered(row["log_photo"]),
        row["likeness"],
    )


def label_read(row: sqlite3.Row) -> Label:
    """A row with the columns of LABEL."""
    return Label(
        row["record"],
        row["said_at"],
        row["by"],
        row["yard"],
        tuple(json.loads(row["materials"])),
        row["label_pile"],
        row["note"],
        bool(row["withdrawn"]),
        row["label_id"],
    )


def kept_read(row: sqlite3.Row) -> Kept:
    """A row with the columns of KEPT and LABEL."""
    return Kept(
        row["id"],
        row["kept_at"],
        row["part"],
        row["origin"],
        row["surface"],
        row["machine"],
        row["chance"],
        row["machine_pile"],
        bool(row["sure"]),
        label_read(row) if row["label_id"] is not None else None,
        bool(row["removed"]),
        row["package_name"] or "",
    )
