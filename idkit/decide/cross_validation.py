"""How strongly own parts teach, and whether that helps: by parts left out in turn, all parts of a group together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from idkit.decide.adapting import FEWEST, NOTHING, SHIFTS, WEIGHTS, Strength, densities, fit, offset_of
from idkit.decide.own_part import LEAST, Ground, OwnPart, chances, chances_of_shifted, shifted
from idkit.vocabulary import Floats

FOLDS = 5
ALONE = 40  # parts up to which each is judged by all the others
CHOSEN_ON = 400  # parts at the most that the strength is chosen on
FLIPS = 2000
SEVERAL: tuple[Strength, ...] = tuple(product((2.0, 10.0), (3.0, 30.0)))  # of WEIGHTS and SHIFTS


def losses(found: Floats, parts: Sequence[OwnPart]) -> Floats:
    """Minus the log of the chance given to what the part may be, n; a label that is a set counts its whole chance."""
    named = np.array([part.is_one_of for part in parts])
    return np.asarray(-np.log(np.maximum((found * named).sum(axis=1), LEAST)))


def folds_of(parts: Sequence[OwnPart], random: np.random.Generator, alone: int = FEWEST) -> NDArray[np.intp]:
    """The fold of each part, all parts of a group in one; up to `alone` parts each group is a fold of its own."""
    groups, member = np.unique([part.group for part in parts], return_inverse=True)
    count = len(groups) if len(parts) <= alone else min(FOLDS, len(groups))
    return np.asarray((random.permutation(len(groups)) % max(count, 1))[member])


def choose(
    parts: Sequence[OwnPart], ground: Ground, random: np.random.Generator
) -> tuple[Strength, dict[Strength, float]]:
    """The strength with the least log loss on parts left out in turn, and the loss at each.

    Parts whose label may not test only teach. Where nothing tests, nothing is learnt.
    """
    some = _some(parts, random)
    folds, total, weight = folds_of(some, random), dict.fromkeys(_strengths(len(some)), 0.0), 0.0
    for fold in np.unique(folds).tolist():
        teach = [part for part, at in zip(some, folds, strict=True) if at != fold]
        test = [part for part, at in zip(some, folds, strict=True) if at == fold and part.tests]
        worth = np.array([part.weight for part in test])
        if not test or not teach:
            continue
        weight += float(worth.sum())
        for strength, found in _at_each(teach, test, ground, list(total)):
            total[strength] += float(worth @ losses(found, test))
    if not weight:
        return NOTHING, {}
    mean = {strength: value / weight for strength, value in total.items()}
    return min(mean, key=lambda strength: (mean[strength], -strength[0], -strength[1])), mean


def _strengths(count: int) -> list[Strength]:
    """The strengths to try: few parts only teach a bias, which has one."""
    shifts = SHIFTS if count >= FEWEST else (np.inf,)
    return [(weight, shift) for weight in WEIGHTS for shift in shifts]


def _at_each(
    teach: Sequence[OwnPart], test: Sequence[OwnPart], ground: Ground, strengths: Sequence[Strength]
) -> Iterator[tuple[Strength, Floats]]:
    """Chances of the tested parts at each strength; parts are shifted once for all weights."""
    for shift in dict.fromkeys(shift for _, shift in strengths):
        offset = offset_of(teach, ground, shift) if len(teach) >= FEWEST else np.zeros(ground.spread.mean.shape[2])
        taught, tested = shifted(teach, offset, ground), shifted(test, offset, ground)
        whole = densities(taught, ground, np.inf) if len(teach) >= FEWEST else None
        for strength in (each for each in strengths if each[1] == shift):
            if whole is None or strength == NOTHING:
                own = fit(taught, ground, (strength[0], np.inf))
            else:
                own = replace(whole, k=strength[0])
            yield strength, chances_of_shifted(tested, own, ground)


def _some(parts: Sequence[OwnPart], random: np.random.Generator) -> list[OwnPart]:
    """All of them, or whole groups at random until CHOSEN_ON is reached."""
    if len(parts) <= CHOSEN_ON:
        return list(parts)
    groups = sorted({part.group for part in parts})
    order = {group: place for place, group in enumerate(random.permutation(groups).tolist())}
    return sorted(parts, key=lambda part: order[part.group])[:CHOSEN_ON]


def cross_fitted(parts: Sequence[OwnPart], ground: Ground, random: np.random.Generator) -> Floats:
    """Chances of every part by what was learnt without its group, the strength chosen without it too; n x M."""
    folds = folds_of(parts, random, ALONE)
    found = np.zeros((len(parts), len(ground.materials)))
    for fold in np.unique(folds).tolist():
        teach = [part for part, at in zip(parts, folds, strict=True) if at != fold]
        mine = np.flatnonzero(folds == fold)
        strength, _ = choose(teach, ground, random) if teach else (NOTHING, {})
        found[mine] = chances([parts[n] for n in mine.tolist()], fit(teach, ground, strength), ground)
    return found


def by_the_others(parts: Sequence[OwnPart], ground: Ground, random: np.random.Generator) -> Floats:
    """Chances of every part by the parts of other groups, among what parts were called, n x M: to doubt labels by.

    The geometric mean over SEVERAL strengths: the one that does best on right labels is led by a wrong one too. Of
    more parts than strength is chosen on, one will do.
    """
    strengths = SEVERAL if len(parts) <= CHOSEN_ON else SEVERAL[:1]
    folds, called = folds_of(parts, random, ALONE), np.any([part.is_one_of for part in parts], axis=0)
    logs = np.zeros((len(parts), len(ground.materials)))
    for fold in np.unique(folds).tolist():
        teach = [part for part, at in zip(parts, folds, strict=True) if at != fold]
        mine = np.flatnonzero(folds == fold)
        for _, found in _at_each(teach, [parts[n] for n in mine.tolist()], ground, strengths):
            logs[mine] += np.log(found) / len(strengths)
    among = np.where(called, np.exp(logs), 0.0)
    return np.asarray(among / among.sum(axis=1, keepdims=True))


def probably_better(gains: Floats, groups: Sequence[int], random: np.random.Generator) -> float:
    """How probable it is that a gain is one: the share of random flips of its groups' signs that leave less of it.

    >>> probably_better(np.ones(20), range(20), np.random.default_rng(1))
    1.0
    """
    _, member = np.unique(groups, return_inverse=True)
    by_group = np.bincount(member, gains)
    flipped = random.choice([-1.0, 1.0], (FLIPS, len(by_group))) @ by_group
    total = by_group.sum()
    return (
        float((flipped < total - 1e-12).mean() + (np.abs(flipped - total) <= 1e-12).mean() / 2) if len(gains) else 0.0
    )
