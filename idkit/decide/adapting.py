"""One's own confirmed parts to what is laid over the starter model, at a given strength.

Nothing here needs more than numpy: all that is learnt are sums over parts, so that cost grows with their number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from idkit.decide.own import TABLE_PARTS, Own, Sums, nothing
from idkit.decide.own_part import LEAST, Ground, OwnPart, chances, shifted
from idkit.vocabulary import SURFACES, Floats

WEIGHTS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, np.inf)
"""Own parts that all starter rows of a material may weigh as much as; at the last nothing is learnt of any."""

SHIFTS = (3.0, 30.0, np.inf)
"""Own parts that 'as the starter's' may weigh as much as, in how all one's own cues lie; at the last they lie so."""

FEWEST = 10  # own parts under which only a bias by material is learnt


Strength = tuple[float, float]  # of WEIGHTS and of SHIFTS
NOTHING: Strength = (np.inf, np.inf)


def fit(parts: Sequence[OwnPart], ground: Ground, strength: Strength) -> Own:
    """What these parts teach at that strength: under FEWEST of them a bias by material, else densities and tables."""
    if not parts or strength == NOTHING:
        return _nothing(ground)
    if len(parts) < FEWEST:
        lift = _bias(parts, ground, strength[0])[list(ground.modelled)]
        return replace(_nothing(ground), lift=lift)
    offset = offset_of(parts, ground, strength[1])
    return replace(densities(shifted(parts, offset, ground), ground, strength[0]), offset=offset)


def _nothing(ground: Ground) -> Own:
    return nothing(tuple(ground.materials[number] for number in ground.modelled), ground.spread.mean.shape[2])


def densities(parts: Sequence[OwnPart], ground: Ground, weight: float) -> Own:
    """What parts that are shifted already teach: where their cues lie, what they answered, their forms."""
    shares = _shares(parts, ground)
    known = shares[:, list(ground.modelled)]
    return replace(
        _nothing(ground),
        k=weight,
        sums=_sums(parts, known, ground),
        lift=_picked(parts, shares)[list(ground.modelled)],
        told=_told(parts, known),
        forms=_forms(parts, known),
    )


def offset_of(parts: Sequence[OwnPart], ground: Ground, weight: float) -> Floats:
    """How far the cues of these photos lie from the starter's, whatever the material, C: another camera, other light.

    The mean of what they lie from the middles of their own materials, with `weight` parts added that lie as the
    starter's do.
    """
    cues = ground.spread.mean.shape[2]
    if not np.isfinite(weight):
        return np.zeros(cues)
    away, total = np.zeros(cues), weight
    shares = _shares(parts, ground)[:, list(ground.modelled)]
    for part, share in zip(parts, shares, strict=True):
        if part.surface not in SURFACES or not share.any():
            continue
        middle = share @ ground.spread.mean[:, SURFACES.index(part.surface)]
        for one in part.seen:
            away += (share.sum() * (one.whites @ one.rows) - middle) / len(part.seen)
            total += share.sum() / len(part.seen)
    return np.asarray(away / total)


def _shares(parts: Sequence[OwnPart], ground: Ground) -> Floats:
    """How much of each part's weight each material takes, n x M: all of it where one was named, else by the chances."""
    before = chances(parts, None, ground)
    named = np.array([part.is_one_of for part in parts])
    within = np.where(named > 0, np.maximum(before, LEAST), 0)
    return np.asarray(within / within.sum(axis=1, keepdims=True) * np.array([part.weight for part in parts])[:, None])


def _sums(parts: Sequence[OwnPart], shares: Floats, ground: Ground) -> Sums:
    """Photos of one part share its weight; of a photo the mean of its cues over the whites counts."""
    cues = ground.spread.mean.shape[2]
    shape = (shares.shape[1], len(SURFACES))
    sums = Sums(np.zeros(shape), np.zeros((*shape, cues)), np.zeros((*shape, cues, cues)))
    for at, surface in enumerate(SURFACES):
        mine = [
            (n, one, len(part.seen)) for n, part in enumerate(parts) if part.surface == surface for one in part.seen
        ]
        if not mine:
            continue
        rows = np.array([one.whites @ one.rows for _, one, _ in mine])
        weight = np.array([shares[number] / many for number, _, many in mine])
        sums.count[:, at] = weight.sum(axis=0)
        sums.total[:, at] = weight.T @ rows
        sums.square[:, at] = np.einsum("im,ic,id->mcd", weight, rows, rows, optimize=True)
    return sums


def _bias(parts: Sequence[OwnPart], ground: Ground, strength: float) -> Floats:
    """Log of parts found against parts expected, by material, both with `strength` parts added, M.

    One step of the expectation maximisation of Saerens, Latinne and Decaestecker 2002, shrunk.
    """
    weight = np.array([part.weight for part in parts])
    expected = weight @ chances(parts, None, ground)
    return np.asarray(np.log((_shares(parts, ground).sum(axis=0) + strength) / (expected + strength)))


def _picked(parts: Sequence[OwnPart], shares: Floats) -> Floats:
    """How common each material was among parts picked at random against what the facts have it, log, M.

    Parts that were confirmed because they were doubtful say nothing of how common anything is.
    """
    mine = [number for number, part in enumerate(parts) if part.at_random]
    if len(mine) < FEWEST:
        return np.zeros(shares.shape[1])
    weight = np.array([parts[number].weight for number in mine])
    prior = np.exp([parts[number].prior for number in mine])
    expected = weight @ (prior / prior.sum(axis=1, keepdims=True))
    return np.asarray(np.log((shares[mine].sum(axis=0) + TABLE_PARTS / 10) / (expected + TABLE_PARTS / 10)))


def _told(parts: Sequence[OwnPart], shares: Floats) -> dict[str, Floats]:
    found: dict[str, Floats] = {}
    for part, share in zip(parts, shares, strict=True):
        for name, (at, given) in part.told.items():
            table = found.setdefault(name, np.zeros((len(given), shares.shape[1])))
            table += np.outer(_about(at, len(given)), share)
    return found


def _about(at: int, outcomes: int) -> Floats:
    """One part's answer among the outcomes: of many bins the ones beside it take some, as its like may lie there."""
    found = np.zeros(outcomes)
    kernel = {0: 1.0} if outcomes <= 8 else {-2: 1 / 16, -1: 4 / 16, 0: 6 / 16, 1: 4 / 16, 2: 1 / 16}
    for step, share in kernel.items():
        found[min(max(at + step, 0), outcomes - 1)] += share
    return found


def _forms(parts: Sequence[OwnPart], shares: Floats) -> dict[str, Floats]:
    found: dict[str, Floats] = {}
    for part, share in zip(parts, shares, strict=True):
        if part.form:
            found[part.form] = found.get(part.form, np.zeros(len(share))) + share
    return found
