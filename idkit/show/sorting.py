"""Copies of the photos, a folder a pile. Nothing is moved, and nothing that is there is written over."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from idkit import batch
from idkit.errors import CallError, StoreError
from idkit.show import cards
from idkit.show.cards import Card

ABOUT = "Copies that idkit made, a folder a pile; the photos lie where they were. idkit looks for no photos here.\n"


@dataclass(frozen=True)
class Copied:
    """How many photos were copied, how many lay there already, and copies of earlier runs that lie on another pile."""

    new: int
    there: int
    elsewhere: tuple[str, ...]


def sort(found: Sequence[Card], photos: Path, target: Path) -> Copied:
    """Copy every photo of every part into the folder of its pile; CallError where the folder is that of the photos.

    A photo of one name that is not the same gets a number. StoreError where the disk says no.
    """
    if target.resolve() == photos.resolve():
        raise CallError("--sort", f"got {str(target)!r}, the folder of the photos", "another folder", "copies go there")
    new = there = 0
    elsewhere: list[str] = []
    try:
        target.mkdir(parents=True, exist_ok=True)
        (target / batch.MADE).write_text(ABOUT, encoding="utf-8")
        for card in found:
            heap = target / (card.pile if card.place == cards.PILE else card.place)
            heap.mkdir(exist_ok=True)
            for file in card.files:
                fresh = _copy(photos / file, heap)
                new, there = new + fresh, there + (not fresh)
                elsewhere += _elsewhere(photos / file, heap)
    except OSError as error:
        raise StoreError("--sort", f"{error.filename}: can't be written ({error.strerror})") from None
    return Copied(new, there, tuple(elsewhere))


def _copy(photo: Path, heap: Path) -> bool:
    """Whether the photo had to be copied: not where the same lies there."""
    for name in _names(photo):
        place = heap / name
        if not place.exists():
            part = heap / f".{name}.new"
            shutil.copy2(photo, part)
            part.replace(place)
            return True
        if _same(photo, place):
            return False
    return False


def _names(photo: Path) -> Iterator[str]:
    """The photo's name, then with a number: tap.jpg, tap (2).jpg."""
    yield photo.name
    for number in range(2, 10_000):
        yield f"{photo.stem} ({number}){photo.suffix}"


def _elsewhere(photo: Path, heap: Path) -> Iterator[str]:
    """Copies of this photo on other piles, from a run that took it for something else."""
    for other in sorted(heap.parent.iterdir()):
        place = other / photo.name
        if other != heap and other.is_dir() and place.exists() and _same(photo, place):
            yield f"{other.name}/{photo.name} (now {heap.name})"


def _same(photo: Path, place: Path) -> bool:
    one, other = photo.stat(), place.stat()
    return one.st_size == other.st_size and photo.read_bytes() == place.read_bytes()
