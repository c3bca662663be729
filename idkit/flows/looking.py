"""One photo: where the part is, what is white, what the cues and the classifier make of it, and bare metal on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from idkit import see
from idkit.decide import classifier, mixture
from idkit.errors import IdkitError
from idkit.flows.judging import Judge, judge_of
from idkit.flows.results import Box, Seen
from idkit.vocabulary import Card, Cue, Floats, Part, Patch, Photo, PhotoEvidence, PhotoReport, Reading, Scratch, White

REASONED = ("hue", "chroma")  # cues that reasons speak of beside the judged ones
MANY = 10  # parts in a picture from which their number is not said


@dataclass(frozen=True)
class Wanted:
    """How a photo is looked at: by which model, as which surface, which cues are told, and where bare metal is.

    `scratch` is a box that a person names; with `search` bare metal is looked for on a part as found where none is.
    Where nothing is said of the surface, it is scratched in such a box and else as found.
    """

    model: classifier.Model
    surface: str | None
    cues: Sequence[Cue]
    scratch: Box | None = None
    search: bool = False


@dataclass(frozen=True)
class Located:
    """Where the part is and what is white; `box` is where a person says that bare metal is, `notes` are faults seen on
    the way. `unusable` says why no card could be read where one is in view."""

    part: Part | None
    white: White
    box: Box | None
    notes: tuple[str, ...]
    card: Card | None
    unusable: str


@dataclass(frozen=True)
class Bare:
    """Bare metal that was looked for: where, what the photo says with it, and its cues that reasons speak of."""

    where: Scratch | None
    evidence: PhotoEvidence | None
    spoken: tuple[Reading, ...] = ()


def read_all(photos: Sequence[Path]) -> tuple[list[Photo], list[IdkitError]]:
    """The photos that can be read, each once, and why the others can't; PhotoError where none can."""
    known: dict[str, Photo] = {}
    unread: list[IdkitError] = []
    for path in photos:
        try:
            photo = see.read(Path(path))
        except IdkitError as error:
            unread.append(error)
            continue
        known.setdefault(photo.sha256, photo)  # the same photo twice says no more than once
    if photos and not known:
        raise unread[0]
    return list(known.values()), unread


def cues_of(*, every_cue: bool) -> tuple[Cue, ...]:
    """The cues to tell of: all, or those that bear on the verdict and its reasons."""
    return tuple(cue for cue in see.CUES if every_cue or cue.judged or cue.name in REASONED)


def look(
    photo: Photo,
    model: classifier.Model,
    surface: str | None,
    scratch: Box | None,
    cues: Sequence[Cue],
    *,
    search: bool = True,
) -> Seen:
    """Measure one photo: find the part and white, read the cues, and what the classifier makes of them.

    With `search` bare metal is looked for on a part as found, and weighs as much as it is sure. A box that can't be
    read is said to be so, and the part is judged as if it had not been named.
    """
    return look_there(photo, located(photo, scratch), Wanted(model, surface, cues, search=search))


def located(photo: Photo, scratch: Box | None = None) -> Located:
    """The part of one photo, the white that it is judged by, and the box named on it where that can be read."""
    card, unusable = see.look_for_card(photo)
    found = see.find_on_card(photo, card) if card else see.find(photo)
    refused = see.refusal_of_box(photo, scratch, found) if scratch else ""
    box, notes = None if refused else scratch, (refused,) if refused else ()
    if card:
        notes = (*notes, *see.card_problems(photo, card), *_others(see.count_on_card(photo, card), "one of them"))
    elif box is None:
        found, others = _meant(photo, found)
        notes = (*notes, *others)
    white = (see.card_white(photo, card, found) if card else None) or see.white(photo, found or see.whole(photo))
    return Located(found, white, box, notes, card, unusable)


def look_there(photo: Photo, where: Located, wanted: Wanted) -> Seen:
    """What is seen of a part that was found already."""
    seen = measured(photo, where.part, where.white, replace(wanted, scratch=where.box), where.notes)
    return sized(seen, where.card, where.unusable)


def measured(photo: Photo, found: Part | None, white: White, wanted: Wanted, notes: tuple[str, ...]) -> Seen:
    """The cues of one part under that white; `notes` are faults of the photo that were seen on the way to it."""
    part, box = found or see.whole(photo), wanted.scratch
    patch = see.of_named_box(photo, box, found, white) if box else see.of_part(photo, part, white)
    surface = wanted.surface or ("scratched" if box else "as-found")
    close = found is None and surface == "scratched"  # bare metal that fills the frame: there is no ground to be seen
    fitness = see.judge(photo, part if close else found, white)
    judge = judge_of(photo, wanted.model, fitness, trusted=not notes)
    bare = Bare(None, judge(patch, surface))
    if found is not None and bare.evidence is not None and not box and wanted.search and surface == "as-found":
        bare = _searched(photo, found, white, bare.evidence, judge, wanted.cues)
    report = PhotoReport(
        photo.file,
        photo.sha256,
        white,
        (*fitness.problems, *notes),
        bare.evidence.families if bare.evidence else {},
        tuple(cue.measure(patch) for cue in wanted.cues),
        bare.where.box if bare.where else None,
        bare.where.certainty if bare.where else float("nan"),
    )
    return Seen(photo, found, patch, report, bare.evidence, box, None, bare.where, bare.spoken, surface)


def sized(seen: Seen, card: Card | None, unusable: str) -> Seen:
    """What was seen with its size by the card, or with why there is none; `unusable` says why no card could be read."""
    why = see.size_refusal(seen.photo, card, seen.part) if card and seen.part else unusable
    if why:
        return replace(seen, report=replace(seen.report, problems=(*seen.report.problems, why)))
    return replace(seen, size=see.size(seen.photo, card, seen.part)) if card and seen.part else seen


def _meant(photo: Photo, part: Part | None) -> tuple[Part | None, tuple[str, ...]]:
    """The part to measure, and a line where it is plainly one of several."""
    taken, count = see.among(photo, part)
    return (part if count < 2 else taken), _others(count, "the one in the middle")


def colour_seen(patch: Patch) -> Floats:
    """Median linear colour of what was read of a part, against white as far as it is known."""
    return np.asarray(np.median(see.against_white(patch.colours, patch.white), axis=0))


def _others(count: int, which: str) -> tuple[str, ...]:
    """A line where there are several parts, and which of them was taken."""
    if count < 2:
        return ()
    many = f"{min(count, MANY)} parts or more"  # those that touch are counted as one
    return (f"{many} in this picture: {which} was taken; say --each for all",)


def _searched(photo: Photo, part: Part, white: White, skin: PhotoEvidence, judge: Judge, cues: Sequence[Cue]) -> Bare:
    """Bare metal looked for on a part: its own reading and that of the skin, weighed by how sure it is."""
    found = see.find_scratch(photo, part, white)
    if found is None:
        return Bare(None, skin)
    spot: Patch = see.of_mask(photo, found.mask, found.box, white)
    if len(spot.colours) < see.FEWEST:  # too little of it is fit to judge
        return Bare(found, skin)
    metal = judge(spot, "scratched")
    if metal is None:
        return Bare(found, skin)
    spoken = tuple(cue.measure(spot) for cue in cues if cue.name in REASONED) if found.certainty >= 0.5 else ()
    return Bare(found, mixture.mixed(found.certainty, metal, skin), spoken)
