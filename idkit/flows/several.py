"""Every part in every photo that shows several."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from idkit import ask, see
from idkit.decide import classifier
from idkit.errors import CallError
from idkit.flows.looking import Wanted, cues_of, measured, read_all
from idkit.flows.recording import Context, record
from idkit.flows.results import Identified, Seen, Several
from idkit.flows.shipped import starter
from idkit.vocabulary import Cue, Photo

CARD_AMONG_PARTS = "the printed card is in this picture: what is printed on it may be taken for parts; leave it out"


def identify_each(
    photos: Sequence[Path],
    typed: Mapping[str, str],
    *,
    surface: str = "as-found",
    came_out_of: str = "",
    marked: str = "",
    even: bool = False,
    every_cue: bool = True,
) -> Several:
    """Every part in every photo, named after its photo and numbered in reading order; the answers hold for all of them.

    PhotoError where no photo can be read; CallError where there is none.
    """
    answers = ask.read(typed)
    if not photos:
        raise CallError("--each", "got no photo", "a photo of several parts on a plain ground", "name one")
    model, context = starter(), Context(surface, came_out_of, marked, even)
    known, unread = read_all(photos)
    found: list[tuple[Photo, tuple[Identified, ...]]] = []
    for photo in known:
        name = Path(photo.file).stem
        seen = look_at_each(photo, model, surface, cues_of(every_cue=every_cue))
        records = (record(f"{name}-{number}", [one], answers, context, model) for number, one in enumerate(seen, 1))
        found.append((photo, tuple(Identified(of_one, (one,), ()) for of_one, one in zip(records, seen, strict=True))))
    return Several(tuple(found), tuple(unread))


def look_at_each(photo: Photo, model: classifier.Model, surface: str, cues: Sequence[Cue]) -> list[Seen]:
    """Measure each of several parts in one photo against the one white that is in it; empty where none is found.

    Bare metal is not looked for: parts are small in a photo of several.
    """
    parts = see.find_each(photo)
    if not parts:
        return []
    white = see.white(photo, see.together(parts))
    notes = (CARD_AMONG_PARTS,) if see.find_card(photo) else ()
    return [measured(photo, part, white, Wanted(model, surface, cues), notes) for part in parts]
