"""What a run over a folder leaves beside its results, where it is wanted: sidecars of the photos, copies by pile."""

from __future__ import annotations

import threading
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


def put_keywords(found: Sequence[Card], folder: Path, stop: threading.Event) -> Beside:
    """Put keywords into the sidecar of each photo, until `stop` is set. One sidecar may be of two photos (tap.xmp), and
    then says both.
    """
    photos: dict[Path, Path] = {}  # by sidecar, one of its photos
    words: dict[Path, list[str]] = defaultdict(list)
    changed, same, failed = 0, 0, []
    for card in found:
        for file in card.files:
            try:
                photo = photos.setdefault(sidecar.sidecar_of(folder / file).resolve(), folder / file)
            except OSError as error:
                failed.append(f"{file}: its sidecar can't be read ({error.strerror})")
                continue
            words[photo] += [word for word in sidecar.keywords(card) if word not in words[photo]]
    left = len(words)
    for photo, of_photo in words.items():
        if stop.is_set():
            break
        left -= 1
        try:
            new = sidecar.write(photo, of_photo)
            changed, same = changed + new, same + (not new)
        except IdkitError as error:
            failed.append(str(error))
    done = f"Sidecars: {changed} written, {same} as they were{_left(left)}."
    return Beside((*shortened(failed), ("", done)), bool(failed))


def put_copies(found: Sequence[Card], folder: Path, target: Path, stop: threading.Event) -> Beside:
    """Copy the photos, a folder a pile, until `stop` is set."""
    copied = sorting.sort(found, folder, target, stop)
    done = f"{target}: {counted(copied.new, 'photo')} copied, {copied.there} lay there already{_left(copied.left)}."
    elsewhere = [f"  An earlier copy lies on another pile: {line}" for line in copied.elsewhere]
    return Beside((*shortened(copied.failed), ("", done), *shortened(elsewhere)), bool(copied.failed))


def _left(count: int) -> str:
    return f"; stopped, {count} left: the same command goes on" if count else ""


def shortened(lines: Sequence[str]) -> Lines:
    """Warnings, the first of many."""
    more = [("warn", f"  and {len(lines) - NAMED} more")] if len(lines) > NAMED else []
    return (*(("warn", line) for line in lines[:NAMED]), *more)
