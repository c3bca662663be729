"""Every part in every photo that shows several."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from idkit import ask, see
from idkit.decide import classifier
from idkit.errors import CallError
from idkit.flows.looking import Wanted, cues_of, measured, read_all, sized
from idkit.flows.models import model_in_use
from idkit.flows.recording import Context, record
from idkit.flows.results import Identified, Seen, Several
from idkit.vocabulary import Cue, Photo

OfPart = tuple[Mapping[str, str], str]  # answers as typed by check, and a note


def identify_each(
    photos: Sequence[Path],
    typed: Mapping[str, str],
    context: Context = Context(),  # noqa: B008 (frozen)
    *,
    every_cue: bool = True,
    numbered: Mapping[int, OfPart] = MappingProxyType({}),
) -> Several:
    """Every part in every photo, named after its photo and numbered in reading order.

    The answers hold for all of them, but where `numbered` has those of one by its number. PhotoError where no photo can
    be read; CallError where there is none.
    """
    answers = ask.read(typed)
    if not photos:
        raise CallError("--each", "got no photo", "a photo of several parts on a plain ground", "name one")
    model, surface = model_in_use(), context.surface or "as-found"
    known, unread = read_all(photos)
    found: list[tuple[Photo, tuple[Identified, ...]]] = []
    for photo in known:
        name = Path(photo.file).stem
        seen = look_at_each(photo, model, surface, cues_of(every_cue=every_cue))
        records = []
        for number, one in enumerate(seen, 1):
            own = numbered.get(number)
            told, known_of = (ask.read(own[0]), replace(context, note=own[1])) if own else (answers, context)
            records.append(record(f"{name}-{number}", [one], told, known_of, model))
        found.append((photo, tuple(Identified(of_one, (one,), ()) for of_one, one in zip(records, seen, strict=True))))
    return Several(tuple(found), tuple(unread))


def look_at_each(photo: Photo, model: classifier.Model, surface: str, cues: Sequence[Cue]) -> list[Seen]:
    """Measure each of several parts in one photo against the one white that is in it; empty where none is found.

    With the printed card in view white comes from it, and so does the size of each. Bare metal is not looked for:
    parts are small in a photo of several.
    """
    card, unusable = see.look_for_card(photo)
    parts = see.find_each_on_card(photo, card) if card else see.find_each(photo)
    if not parts:
        return []
    every = see.together(parts)
    white = (see.card_white(photo, card, every) if card else None) or see.white(photo, every)
    notes = see.card_problems(photo, card) if card else ()
    seen = [measured(photo, part, white, Wanted(model, surface, cues), notes) for part in parts]
    return [sized(one, card, unusable) for one in seen]
