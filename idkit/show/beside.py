"""What a run over a folder leaves beside its results, where it is wanted: sidecars of the photos, copies by pile."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from idkit.errors import IdkitError
from idkit.show import sidecar, sorting
from idkit.show.cards import Card
from idkit.show.words import counted

NAMED = 8  # lines of one kind

Lines = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Beside:
    """What is said of it, and whether any could not be written."""

    said: Lines = ()
    failed: bool = False


def put_keywords(found: Sequence[Card], folder: Path) -> Beside:
    """Put keywords into the sidecar of each photo. One sidecar may be of two photos (tap.xmp), and then says both."""
    photos: dict[Path, Path] = {}  # by sidecar, one of its photos
    words: dict[Path, list[str]] = defaultdict(list)
    for card in found:
        for file in card.files:
            photo = photos.setdefault(sidecar.sidecar_of(folder / file), folder / file)
            words[photo] += [word for word in sidecar.keywords(card) if word not in words[photo]]
    changed, failed = 0, []
    for photo, of_photo in words.items():
        try:
            changed += sidecar.write(photo, of_photo)
        except IdkitError as error:
            failed.append(f"Sidecar {error}")
    there = len(words) - changed - len(failed)
    return Beside((*shortened(failed), ("", f"Sidecars: {changed} written, {there} as they were.")), bool(failed))


def put_copies(found: Sequence[Card], folder: Path, target: Path) -> Beside:
    """Copy the photos, a folder a pile."""
    copied = sorting.sort(found, folder, target)
    done = f"{target}: {counted(copied.new, 'photo')} copied, {copied.there} lay there already."
    elsewhere = [f"  An earlier copy lies on another pile: {line}" for line in copied.elsewhere]
    return Beside((*shortened(copied.failed), ("", done), *shortened(elsewhere)), bool(copied.failed))


def shortened(lines: Sequence[str]) -> Lines:
    """Warnings, the first of many."""
    more = [("warn", f"  and {len(lines) - NAMED} more")] if len(lines) > NAMED else []
    return (*(("warn", line) for line in lines[:NAMED]), *more)
