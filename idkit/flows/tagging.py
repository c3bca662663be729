"""One part of many: its photos are read one after another and let go, so that memory is that of one photo."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from pathlib import Path

import numpy as np

from idkit import ask, see
from idkit.errors import IdkitError
from idkit.flows.identifying import Case
from idkit.flows.keeping import kept_photo
from idkit.flows.listings import beside
from idkit.flows.looking import Located, Wanted, cues_of, located, look_there
from idkit.flows.models import model_in_use
from idkit.flows.recording import Context
from idkit.flows.results import Box, Seen
from idkit.flows.several import OfPart, identify_each
from idkit.flows.shipped import STARTER
from idkit.vocabulary import Answers, KeptPhoto, Photo, Record

Sketch = Callable[[Seen], str]  # what is kept of a photo to show: it is called while the photo is at hand

CUES = cues_of(every_cue=False)
# Pixels of the longer side of a part in a photo decoded smaller: twice as many as its judged cues are read at.
LEAST_SIDE = 128
OF_SIZE = frozenset(
    fault.message for fault in see.FAULTS if fault.name in ("small", "blurred", "few-levels", "strong-colours")
)  # what is said of a photo that hangs on its pixels
ROOMS = ("facts", "see", "ask", "decide", "flows")  # what a verdict comes from


@dataclass(frozen=True)
class Tagged:
    """One identified part, the sketch of each of its photos, what would be kept of them, and photos that came twice."""

    record: Record
    sketches: tuple[str, ...]
    photos: tuple[KeptPhoto, ...]  # as they would be kept
    twice: tuple[tuple[Path, str], ...] = ()  # with a line each


Tags = tuple[tuple[Tagged, ...], tuple[tuple[Path, IdkitError], ...]]  # parts; photos that could not be read, and why


def tag(part: str, photos: Sequence[Path], typed: Mapping[str, str], context: Context, sketch: Sketch) -> Tags:
    """One part from its photos, as identify does it, and why photos could not be read; no part where none could be."""
    search = not typed.get("scratch-colour", "").strip()
    seen: dict[str, Seen] = {}
    twice: list[tuple[Path, str]] = []
    sketches: list[str] = []
    photos_kept: list[KeptPhoto] = []
    unread: list[tuple[Path, IdkitError]] = []
    for path in photos:
        try:
            photo = see.read(path, smaller=True)
            if photo.sha256 in seen:  # the same photo twice says no more than once
                first = Path(seen[photo.sha256].photo.file).name
                twice.append((path, f"{path.name} is the same photo as {first}: it counts once"))
                continue
            one = looked_at(photo, context.surface, search=search)
        except IdkitError as error:
            unread.append((path, error))
            continue
        sketches.append(sketch(one))
        photos_kept.append(kept_photo(one))
        seen[photo.sha256] = _let_go(_in_file_pixels(one))
    if not seen:
        return (), tuple(unread)
    case = Case(part, (), (), dict(typed), context, None, CUES, tuple(seen.values()))
    told = case.identified.record
    verdict = replace(told.verdict, reasons=(*(line for _, line in twice), *told.verdict.reasons))
    return (Tagged(replace(told, verdict=verdict), tuple(sketches), tuple(photos_kept), tuple(twice)),), tuple(unread)


def tag_each(
    photo: Path, typed: Mapping[str, str], context: Context, sketch: Sketch, numbered: Mapping[int, OfPart]
) -> Tags:
    """Every part of one photo that shows several, and why it could not be read; `numbered` as identify_each has it."""
    try:
        found = identify_each([photo], typed, context, every_cue=False, numbered=numbered)
    except IdkitError as error:
        return (), ((photo, error),)
    parts = (part for _, parts in found.photos for part in parts)
    return tuple(
        Tagged(part.record, tuple(map(sketch, part.seen)), tuple(map(kept_photo, part.seen))) for part in parts
    ), ()


def understood(typed: Mapping[str, str]) -> Answers:
    """Answers as typed, read; CallError where one can't be, or does not go with the others."""
    return ask.read(typed)


def digest() -> str:
    """SHA-256 of all that a verdict comes from: the program's rooms, their tables, the model in use."""
    return hashlib.sha256((_program() + model_in_use().digest).encode()).hexdigest()


@cache
def _program() -> str:
    total = hashlib.sha256()
    with resources.as_file(resources.files("idkit")) as package, resources.as_file(beside("models")) as models:
        sources = [path for room in ROOMS for path in (package / room).rglob("*") if path.suffix in (".py", ".csv")]
        for path in (*sorted(sources), models / f"{STARTER}.npz", models / f"{STARTER}.json"):
            total.update(path.name.encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()


def looked_at(photo: Photo, surface: str | None, *, search: bool) -> Seen:
    """What is seen in a photo that was decoded smaller, or in all of it where what was seen asks for its pixels.

    It does where no part was found or a small one, where the card is in view, and where the photo is said to be at
    fault in what its size bears on. A small part that was found is not looked for again.
    """
    where, wanted = located(photo), Wanted(model_in_use(), surface, CUES, search=search)
    if photo.shrunk == 1 or _is_plain(where):
        one = look_there(photo, where, wanted)
        if photo.shrunk == 1 or not OF_SIZE.intersection(one.report.problems):
            return one
    whole = see.read(Path(photo.file))
    small = where.part is not None and where.card is None and not _is_plain(where)
    if small and whole.linear.shape == photo.linear.shape:
        return look_there(whole, _in_full(where, photo.shrunk), wanted)
    return look_there(whole, located(whole), wanted)


def _is_plain(where: Located) -> bool:
    """Whether a part has pixels enough for its cues in a photo that was decoded smaller."""
    return where.part is not None and max(where.part.box[2:]) >= LEAST_SIDE and where.card is None


def _in_full(where: Located, times: int) -> Located:
    """The same with its box in pixels of the whole photo, which was looked through at the same size."""
    return replace(where, part=where.part and replace(where.part, box=_grown(where.part.box, times)))


def _in_file_pixels(seen: Seen) -> Seen:
    """The same with its boxes in pixels of the file."""
    part, bare, report = seen.part, seen.bare, seen.report
    return replace(
        seen,
        part=part and replace(part, box=_grown(part.box, seen.photo.shrunk)),
        bare=bare and replace(bare, box=_grown(bare.box, seen.photo.shrunk)),
        report=replace(report, bare=report.bare and _grown(report.bare, seen.photo.shrunk)),
    )


def _grown(box: Box, times: int) -> Box:
    x, y, width, height = box
    return x * times, y * times, width * times, height * times


def _let_go(seen: Seen) -> Seen:
    """What was seen without the photo's pixels."""
    photo = replace(seen.photo, encoded=np.empty((0, 0, 3), np.uint8), linear=np.empty((0, 0, 3), np.float32))
    return replace(seen, photo=photo)
