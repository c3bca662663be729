"""One's own confirmed parts as learning sees them, and their chances with what was learnt."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from idkit.decide.own import Own, Spread, learnt, moved
from idkit.vocabulary import SURFACES, Floats

LEAST = 1e-9
AT_ONCE = 500  # parts whose photos are read anew at a time, for memory's sake


@dataclass(frozen=True)
class Seen:
    """One photo of a part: standardised cues under each white (n x C), how likely each white is, what the starter made
    of it (log photo(m), M), and the chance that its surface is not what it seems or that it shows nothing."""

    rows: Floats
    whites: Floats
    log_photo: Floats
    hidden: float
    unlike: bool


@dataclass(frozen=True)
class OwnPart:
    """One confirmed part. Materials are all of the facts, in order, M.

    `is_one_of` holds 1 for the materials it may be. `prior` is the log of how common each is, `answers` the sum of logs
    of what was answered as the facts have it. `told` is by check the number of the answer among its outcomes and
    P(outcome | m), outcomes x M; `photo_counts` says whether a photo, if known, counts at all beside the answers.
    """

    record: int
    group: int
    surface: str
    is_one_of: Floats
    weight: float
    tests: bool
    at_random: bool
    prior: Floats
    answers: Floats
    form: str
    seen: tuple[Seen, ...]
    told: Mapping[str, tuple[int, Floats]] = field(default_factory=dict)
    photo_counts: bool = True


@dataclass(frozen=True)
class Ground:
    """What the starter gives: all materials in order and the numbers of those that its model knows, their spread and
    share in training, the log density under which a photo is unlike anything known, the forms' weights."""

    materials: tuple[str, ...]
    modelled: tuple[int, ...]
    spread: Spread
    share: Floats
    farthest: float
    form_chances: Mapping[str, Floats]  # P(form | m), M
    reads: Callable[
        [Floats, str], Floats
    ]  # what the starter makes of standardised rows: p(m | cues) over m's share, n x M


def chances(parts: Sequence[OwnPart], own: Own | None, ground: Ground) -> Floats:
    """Chances of every part over the materials with what was learnt, n x M; the starter's own where `own` is None."""
    return chances_of_shifted(parts if own is None else shifted(parts, own.offset, ground), own, ground)


def chances_of_shifted(parts: Sequence[OwnPart], own: Own | None, ground: Ground) -> Floats:
    """The same of parts that are shifted already."""
    logs = np.array([part.prior + part.answers for part in parts])
    if own is not None:
        logs += _lifts(parts, own, ground) + _answered(parts, own, ground)
    logs += _photos(parts, own, ground)
    raised = np.exp(logs - logs.max(axis=1, keepdims=True))
    floored = np.maximum(raised / raised.sum(axis=1, keepdims=True), LEAST)
    return np.asarray(floored / floored.sum(axis=1, keepdims=True))


def _lifts(parts: Sequence[OwnPart], own: Own, ground: Ground) -> Floats:
    lift = np.zeros(len(ground.materials))
    lift[list(ground.modelled)] = own.lift
    found = np.repeat(lift[None], len(parts), axis=0)
    forms = list(ground.form_chances)
    said = np.array([ground.form_chances[form] for form in forms])
    told = np.zeros_like(said)
    for form, row in own.forms.items():
        told[forms.index(form), list(ground.modelled)] = row
    moved_by = np.log(learnt(said, told) / said)
    return np.asarray(found + np.array([moved_by[forms.index(part.form or "unknown")] for part in parts]))


def _answered(parts: Sequence[OwnPart], own: Own, ground: Ground) -> Floats:
    found = np.zeros((len(parts), len(ground.materials)))
    for number, part in enumerate(parts):
        for name, (at, given) in part.told.items():
            if name in own.told:
                told = np.zeros_like(given)
                told[:, list(ground.modelled)] = own.told[name]
                found[number] += np.log(learnt(given, told)[at] / given[at])
    return found


def _photos(parts: Sequence[OwnPart], own: Own | None, ground: Ground) -> Floats:
    """Mean log photo(m) of each part's photos, n x M; 0 where none counts."""
    photos = [(n, one) for n, part in enumerate(parts) if part.photo_counts for one in part.seen]
    found = np.zeros((len(parts), len(ground.materials)))
    said, unlike = _said(photos, parts, own, ground)
    at = 0
    while at < len(photos):
        number, stop = photos[at][0], at
        while stop < len(photos) and photos[stop][0] == number:
            stop += 1
        if not all(unlike[at:stop]):
            found[number] = np.mean(said[at:stop], axis=0) if stop > at + 1 else said[at]
        at = stop
    return found


def _said(
    photos: Sequence[tuple[int, Seen]], parts: Sequence[OwnPart], own: Own | None, ground: Ground
) -> tuple[list[Floats], list[bool]]:
    """Log photo(m) of each photo, and whether it is unlike anything known."""
    said, unlike = [one.log_photo for _, one in photos], [one.unlike for _, one in photos]
    if own is None or not np.isfinite(own.k):
        return said, unlike
    modelled = list(ground.modelled)
    for surface in SURFACES:
        mine = [at for at, (number, _) in enumerate(photos) if parts[number].surface == surface]
        if not mine:
            continue
        rows = np.concatenate([photos[at][1].rows for at in mine])
        shift, near = moved(own, ground.spread, rows, surface)
        raised, start = np.exp(shift), 0
        for at in mine:
            one = photos[at][1]
            stop = start + len(one.rows)
            if shift[start:stop].any():
                ratio = np.exp(one.log_photo[modelled]) * (one.whites @ raised[start:stop])
                ratio /= ratio @ ground.share
                said[at] = one.log_photo.copy()
                said[at][modelled] = np.log((1 - one.hidden) * ratio + one.hidden)
                unlike[at] = one.unlike and float(near[start:stop].max()) < ground.farthest
            start = stop
    return said, unlike


def shifted(parts: Sequence[OwnPart], offset: Floats, ground: Ground) -> list[OwnPart]:
    """The same parts with their cues that much lower, and what the starter makes of them then."""
    if not offset.any():
        return list(parts)
    found = list(parts)
    for surface in {part.surface for part in parts}:
        mine = [number for number, part in enumerate(parts) if part.surface == surface and part.seen]
        for first in range(0, len(mine), AT_ONCE):
            some = mine[first : first + AT_ONCE]
            for number, part in zip(some, _shifted([parts[n] for n in some], offset, ground), strict=True):
                found[number] = part
    return found


def _shifted(parts: Sequence[OwnPart], offset: Floats, ground: Ground) -> Iterator[OwnPart]:
    """Parts of one surface with photos, shifted."""
    modelled = list(ground.modelled)
    rows = np.concatenate([one.rows for part in parts for one in part.seen]) - offset
    ratios, start = ground.reads(rows, parts[0].surface), 0
    for part in parts:
        seen = []
        for one in part.seen:
            stop, log_photo = start + len(one.rows), one.log_photo.copy()
            ratio = one.whites @ ratios[start:stop]
            log_photo[modelled] = np.log((1 - one.hidden) * ratio + one.hidden)
            seen.append(replace(one, rows=rows[start:stop], log_photo=log_photo))
            start = stop
        yield replace(part, seen=tuple(seen))
