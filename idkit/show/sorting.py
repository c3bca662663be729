"""Copies of the photos, a folder a pile. Nothing is moved, and nothing that is there is written over."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from idkit import flows
from idkit.show import cards
from idkit.show.cards import Card

COPYING = ".idkit-copying"  # the name of a copy until it is whole


@dataclass
class Copied:
    """How many photos were copied, how many lay there already, copies of earlier runs that lie on another pile, and
    photos that could not be copied, each with why.
    """

    new: int = 0
    there: int = 0
    elsewhere: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)


def sort(found: Sequence[Card], photos: Path, target: Path) -> Copied:
    """Copy every photo of every part into the folder of its pile, in a folder that idkit made.

    A photo of one name that is not the same gets a number.
    """
    copied = Copied()
    piles = {*(category.id for category in flows.known_categories()), *cards.PLACES}
    for card in found:
        heap = card.pile if card.place == cards.PILE else card.place
        for file in card.files:
            try:
                (target / heap).mkdir(exist_ok=True)
                fresh = _copy(photos / file, target / heap)
                copied.new, copied.there = copied.new + fresh, copied.there + (not fresh)
                copied.elsewhere += _elsewhere(photos / file, target, piles - {heap}, heap)
            except OSError as error:
                copied.failed.append(f"{file}: can't be copied ({error.strerror})")
    return copied


def _copy(photo: Path, heap: Path) -> bool:
    """Whether the photo had to be copied: not where the same lies there."""
    for name in _names(photo):
        place = heap / name
        if not place.exists():
            part = heap / COPYING
            try:
                shutil.copy2(photo, part)
                part.replace(place)
            finally:
                part.unlink(missing_ok=True)
            return True
        if _same(photo, place):
            return False
    return False


def _names(photo: Path) -> Iterator[str]:
    """The photo's name, then with a number: tap.jpg, tap (2).jpg."""
    yield photo.name
    for number in range(2, 10_000):
        yield f"{photo.stem} ({number}){photo.suffix}"


def _elsewhere(photo: Path, target: Path, others: Iterable[str], heap: str) -> Iterator[str]:
    """Copies of this photo on other piles, from a run that took it for something else."""
    for other in sorted(others):
        place = target / other / photo.name
        if place.exists() and _same(photo, place):
            yield f"{other}/{photo.name} (now {heap})"


def _same(photo: Path, place: Path) -> bool:
    one, other = photo.stat(), place.stat()
    return one.st_size == other.st_size and photo.read_bytes() == place.read_bytes()
