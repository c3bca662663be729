"""What is kept, and what people said it turned out to be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from idkit.vocabulary.answered import Answers

ORIGINS = ("identify", "tag", "page", "added", "imported")
BY = ("analyser", "yard", "self")
"""Who may say what a part is, the surest first."""


@dataclass(frozen=True)
class KeptPhoto:
    """One photo of a kept part. `thumbnail` is a small JPEG without metadata, `likeness` its 32 bytes to know it by.

    `cues` holds every number that was measured, NaN where it could not be; `white` what was taken for neutral (`kind`,
    `red_green`, `blue_green`, `uncertainty`, `grid`); `log_photo` what the model made of it, empty where that was
    nothing.
    """

    file: str
    sha256: str
    cues: Mapping[str, float]
    white: Mapping[str, Any]
    log_photo: Mapping[str, float]
    likeness: bytes
    thumbnail: bytes = b""
    original: bytes | None = None  # the photo as it came, where that is kept too


@dataclass(frozen=True)
class Entry:
    """One part as it is handed over to be kept: what the machine said, and all it rests on.

    `pile` is the likeliest, settled or not; `document` is the part as `identify --json` gives it.
    """

    part: str
    origin: str  # of ORIGINS
    surface: str
    answers: Answers
    chances: Mapping[str, float]  # by material, largest first
    pile: str
    sure: bool
    model: tuple[str, str]  # name and digest
    document: Mapping[str, Any]
    photos: tuple[KeptPhoto, ...]


@dataclass(frozen=True)
class Label:
    """What a person said a part is: one material, or a set of them where only the pile was named."""

    record: int
    said_at: str  # UTC, ISO 8601
    by: str  # of BY
    yard: str
    materials: tuple[str, ...]
    pile: str
    note: str = ""
    withdrawn: bool = False  # it takes back what the same voice said before
    id: int = 0  # its number in the store


@dataclass(frozen=True)
class Kept:
    """One record as a list shows it: what the machine said, and beside it what a person said, where one did."""

    record: int
    kept_at: str
    part: str
    origin: str
    surface: str
    material: str
    chance: float
    pile: str
    sure: bool
    label: Label | None
    removed: bool
    package: str = ""  # that it was imported with


@dataclass(frozen=True)
class Page:
    """Some rows of a list, the newest first; `before` asks for the next ones, None where there are no more."""

    rows: tuple[Kept, ...]
    before: int | None


@dataclass(frozen=True)
class Whole:
    """One record with everything that was kept of it; `labels` in the order they were said."""

    kept: Kept
    answers: Answers
    chances: Mapping[str, float]
    model: tuple[str, str]
    document: Mapping[str, Any]
    photos: tuple[KeptPhoto, ...]
    labels: tuple[Label, ...]
    same: tuple[int, ...]  # other records of the same photo, or of one alike


@dataclass(frozen=True)
class Sample:
    """One confirmed part, as learning and reports take it.

    `materials` and `weight` are of the label that counts; `labels` are all that stand, one a voice. Where `materials`
    is empty, only the pile is known. Parts of one `group` share a photo, or one alike, and belong on one side of any
    split.
    """

    record: int
    group: int
    kept_at: str
    part: str
    surface: str
    answers: Answers
    chances: Mapping[str, float]  # as the machine gave them before anybody said
    pile: str  # the machine's
    sure: bool
    model: tuple[str, str]
    photos: tuple[KeptPhoto, ...]
    label: Label
    labels: tuple[Label, ...]
    materials: tuple[str, ...]
    weight: float  # what the label is worth, times what its package is
    tests: bool  # whether it may stand in a test split: never on one's own word
    at_random: bool  # picked at random for confirming
    package: str
