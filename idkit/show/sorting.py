"""Copies of the photos, a folder a pile. Nothing is moved, and nothing that is there is written over."""

from __future__ import annotations

import errno
import os
import shutil
import threading
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from idkit import flows
from idkit.show import cards
from idkit.show.cards import Card

COPYING = ".idkit-copying"  # the name of a copy until it is whole


@dataclass
class Copied:
    """How many photos were copied, how many lay there already, copies of earlier runs that lie on another pile, and
    photos that could not be copied, each with why; how many were left when it was stopped.
    """

    new: int = 0
    there: int = 0
    elsewhere: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)
    left: int = 0


def sort(found: Sequence[Card], photos: Path, target: Path, stop: threading.Event) -> Copied:
    """Copy every photo of every part into the folder of its pile, in a folder that idkit made, until `stop` is set.

    A photo of one name that is not the same gets a number.
    """
    copied, places = Copied(), dict[Path, str]()  # of each copy, its photo
    for card in found:
        heap = target / card.goes_to
        for file in card.files:
            if stop.is_set():
                copied.left += 1
                continue
            try:
                _make(heap)
                place, fresh = _copy(photos / file, heap)
            except OSError as error:
                copied.failed.append(f"{file}: can't be copied ({error.strerror or error})")
                continue
            places[place] = file
            copied.new, copied.there = copied.new + fresh, copied.there + (not fresh)
    if not stop.is_set():
        for place, file in places.items():
            copied.elsewhere += _elsewhere(photos / file, target, place.parent.name, places)
    return copied


def _make(heap: Path) -> None:
    """Make a heap's folder; OSError where something else lies there, as a link to elsewhere."""
    if heap.is_symlink():
        raise OSError(errno.EEXIST, f"{heap.name} is a link to another place")
    heap.mkdir(exist_ok=True)


def _copy(photo: Path, heap: Path) -> tuple[Path, bool]:
    """Where the photo's copy lies, and whether it had to be copied: not where the same lies there."""
    for place in _places(photo, heap):
        if not os.path.lexists(place):
            part = heap / COPYING
            part.unlink(missing_ok=True)  # of a run that was killed; behind a link nothing is written
            try:
                with photo.open("rb") as whole, part.open("xb") as copy:
                    shutil.copyfileobj(whole, copy)
                shutil.copystat(photo, part)
                part.replace(place)
            finally:
                part.unlink(missing_ok=True)
            return place, True
        if _same(photo, place):
            return place, False
    raise OSError(errno.EEXIST, "too many photos of that name lie there")


def _places(photo: Path, heap: Path) -> Iterator[Path]:
    """The photo's name, then with a number: tap.jpg, tap (2).jpg."""
    yield heap / photo.name
    for number in range(2, 10_000):
        yield heap / f"{photo.stem} ({number}){photo.suffix}"


def _elsewhere(photo: Path, target: Path, heap: str, places: Container[Path]) -> Iterator[str]:
    """Copies of this photo on other piles that are none of this run: an earlier one took it for something else."""
    every = {*(category.id for category in flows.known_categories()), *cards.PLACES}
    for other in sorted(every - {heap}):
        for place in _places(photo, target / other):
            if not place.exists():
                break
            if place not in places and _same(photo, place):
                yield f"{other}/{place.name} (now {heap})"


def _same(photo: Path, place: Path) -> bool:
    if not place.is_file():  # as a link to what is not there now
        return False
    one, other = photo.stat(), place.stat()
    return one.st_size == other.st_size and photo.read_bytes() == place.read_bytes()
