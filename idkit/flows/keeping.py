"""A verdict kept as a record, and records had back. Every shell that keeps goes through here, from any process."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from idkit import keep, see
from idkit.errors import CallError
from idkit.flows.naming import material_named, pile_named
from idkit.flows.results import Identified, Seen, Several
from idkit.vocabulary import Entry, Kept, KeptPhoto, Label, Page, Record, White, Whole

Tell = Callable[[Record], Mapping[str, Any]]  # a record as the part of a JSON document
MANY = 10_000  # records that one call may name
FINE = 6  # digits behind the point of what was taken for white


def keep_record(
    found: Identified,
    tell: Tell,
    *,
    origin: str = "identify",
    with_photo: bool = False,
    label: Label | None = None,
) -> Identified:
    """Keep one identified part; gives it back with the number of its record.

    `tell` makes the JSON part that is kept with it; `origin` is of ORIGINS; `with_photo` keeps the photos whole too.
    `label` is what a person said of it already. StoreError where it can't be kept: nothing is kept then.
    """
    number = keep.add(_entry(found, tell, origin, with_photo), label)
    return replace(found, record=replace(found.record, kept=number))


def same_photos(records: Sequence[int]) -> dict[int, tuple[int, ...]]:
    """Of each of those records, others that hold a photo of it, as it is or saved another way."""
    return keep.same_photos(records)


def keep_each(found: Several, tell: Tell, *, origin: str = "identify", with_photo: bool = False) -> Several:
    """Keep every part of photos that show several; errors as those of keep_record."""
    photos = tuple(
        (photo, tuple(keep_record(part, tell, origin=origin, with_photo=with_photo) for part in parts))
        for photo, parts in found.photos
    )
    return replace(found, photos=photos)


def _entry(found: Identified, tell: Tell, origin: str, with_photo: bool) -> Entry:
    record = found.record
    return Entry(
        part=record.part,
        origin=origin,
        surface=record.surface,
        answers=record.answers,
        chances=record.verdict.chances,
        pile=next(iter(record.verdict.piles), ""),
        sure=record.verdict.sure,
        model=record.model,
        document=tell(record),
        photos=tuple(kept_photo(one, whole=with_photo) for one in found.seen),
    )


def kept_photo(seen: Seen, *, whole: bool = False) -> KeptPhoto:
    """One photo as it is kept with a part, its bytes too where it is wanted `whole`."""
    report, thumbnail = seen.report, see.thumbnail(seen.photo)
    return KeptPhoto(
        file=_lying_at(Path(report.file)),
        sha256=report.sha256,
        cues={reading.name: reading.value for reading in report.readings},
        white=_white(report.white),
        log_photo=dict(seen.evidence.log_photo) if seen.evidence else {},
        likeness=see.likeness(thumbnail),
        thumbnail=thumbnail,
        original=see.original(Path(seen.photo.file), report.sha256) if whole else None,
    )


def _lying_at(file: Path) -> str:
    """Where a photo lies; its name alone where none lies there, as of one that a phone sent."""
    return str(file.absolute()) if file.exists() else file.name


def _white(white: White) -> dict[str, Any]:
    return {
        "kind": white.kind,
        "red_green": round(white.red_green, FINE),
        "blue_green": round(white.blue_green, FINE),
        "uncertainty": round(white.uncertainty, FINE),
        "grid": white.grid.round(FINE).tolist(),
    }


def listing(material: str = "", pile: str = "", **more: Any) -> keep.Filter:
    """Which rows of a list are wanted, materials and piles as typed; see keep.Filter for what else may be filled.

    CallError for an unknown material or pile, and for a day that is none.
    """
    since = str(more.get("since", ""))
    try:
        datetime.fromisoformat(since or "2000-01-01")
    except ValueError:
        raise CallError("--since", f"got {since!r}", "a day such as 2026-03-01") from None
    name, place = material_named(material) if material else "", pile_named(pile) if pile else ""
    return keep.Filter(name, place, **more)


def records(wanted: keep.Filter) -> Page:
    """Kept records, the newest first, a page at a time."""
    return keep.page(wanted)


def record_of(number: str) -> Whole:
    """One kept record; CallError for an unknown one."""
    return keep.show(numbers_of(number, most=1)[0])


def purge() -> keep.Purged:
    """Delete for good what was removed."""
    return keep.purge()


def pick(count: int, seed: int | None = None) -> tuple[Kept, ...]:
    """Kept parts at random to have confirmed; CallError for a count that is none."""
    if not 0 < count <= MANY:
        raise CallError("count", f"got {count}", f"1 to {MANY}")
    return keep.pick(count, seed)


def numbers_of(text: str, most: int = MANY, thing: str = "record", of: str = "idkit records list") -> tuple[int, ...]:
    """Numbers of records, or of another `thing` in the list `of`, as typed, singly or as ranges, each once.

    >>> numbers_of("12, 14-16")
    (12, 14, 15, 16)
    """
    ranges = (_range(piece.strip(), text, thing, of) for piece in text.split(","))
    found = tuple(dict.fromkeys(number for each in ranges for number in each))
    if len(found) > most:
        right = f"one number of {of}" if most == 1 else f"at most {most}"
        raise CallError(thing, f"got {text!r}", right)
    return found


def _range(piece: str, text: str, thing: str, of: str) -> Iterator[int]:
    first, dash, last = piece.partition("-")
    low, high = first.strip(), last.strip() if dash else first.strip()
    plain = all(end.isascii() and end.isdigit() and len(end) < 12 for end in (low, high))
    if not plain or int(low) > int(high) or int(high) - int(low) > MANY:
        raise CallError(thing, f"got {text!r}", f"numbers of {of}, such as 12 or 12,14-16")
    yield from range(int(low), int(high) + 1)
