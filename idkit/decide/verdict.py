"""Chances to a verdict: likely set, pile, sure or not, and the check that would settle most."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from idkit.decide.classifier import Model
from idkit.decide.evidence import pattern
from idkit.decide.fuse import chances, log_likelihood
from idkit.decide.reasons import confirm_line, reasons
from idkit.vocabulary import (
    Answers,
    Caution,
    Check,
    Evidence,
    Floats,
    Form,
    Material,
    NextCheck,
    Pile,
    Verdict,
)

SURE = 0.95  # least chance of the pile
PileOf = Callable[[str], Pile]
CautionsOf = Callable[[Sequence[str], str | None], tuple[Caution, ...]]


def decide(
    evidence: Evidence,
    materials: Sequence[Material],
    form: Form,
    checks: Mapping[str, Check],
    model: Model,
    pile_of: PileOf,
    cautions_of: CautionsOf,
    *,
    even: bool = False,
) -> Verdict:
    """The verdict on one part. `pile_of` and `cautions_of` come from the facts, bound to what is known of the part."""
    found = chances(materials, evidence, form, checks, even=even)
    piles = [pile_of(material.id) for material in materials]
    least = model.thresholds.get(pattern(evidence), 0.0)
    likely = likely_set(found, least)
    by_pile = pile_chances(found, piles)
    best = max(by_pile, key=by_pile.__getitem__)
    unlike = evidence.photo is not None and evidence.photo.unlike
    one_pile = len({piles[i].category.id for i in likely}) == 1
    settled = one_pile and by_pile[best] >= SURE
    sure = settled and not unlike and not _photo_decides(evidence, materials, form, checks, piles, best, even=even)
    order = np.argsort(-found, kind="stable")
    ids = [materials[i].id for i in order]
    ask = None if sure else next_check(evidence, found, materials, piles, checks, least)
    return Verdict(
        chances={materials[i].id: float(found[i]) for i in order},
        likely=tuple(materials[i].id for i in order if i in likely),
        sure=sure,
        unlike_known=unlike,
        simulated=evidence.photo is not None and evidence.photo.simulated,
        pile=next(pile for pile in piles if pile.category.id == best) if one_pile else None,
        piles=by_pile,
        reasons=reasons(evidence, materials, found, checks, unlike=unlike),
        next_check=ask,
        cautions=cautions_of([materials[i].id for i in order if i in likely], ask.check if ask else None),
        confirm=confirm_line(materials[int(order[0])], ids, sure=sure),
    )


def likely_set(found: Floats, least: float) -> set[int]:
    """Numbers of the materials whose chance is at least `least`; always the first."""
    return {int(np.argmax(found)), *np.flatnonzero(found >= least).tolist()}


def pile_chances(found: Floats, piles: Sequence[Pile]) -> dict[str, float]:
    """Chance of each pile, largest first."""
    sums: dict[str, float] = {}
    for chance, pile in zip(found, piles, strict=True):
        sums[pile.category.id] = sums.get(pile.category.id, 0.0) + float(chance)
    return dict(sorted(sums.items(), key=lambda item: -item[1]))


def next_check(
    evidence: Evidence,
    found: Floats,
    materials: Sequence[Material],
    piles: Sequence[Pile],
    checks: Mapping[str, Check],
    least: float,
) -> NextCheck | None:
    """The unanswered check that saves most expected error of the pile a minute, by enumerating its answers."""
    names = list(dict.fromkeys(pile.category.id for pile in piles))
    to_pile = np.array([[float(pile.category.id == name) for name in names] for pile in piles])
    now = 1 - float((found @ to_pile).max())
    best: tuple[float, NextCheck] | None = None
    seen = {"scratch-colour"} if _photo_sees_the_scratch(evidence) else set()
    for check in checks.values():
        if not check.asked or check.name in evidence.answers or check.name in seen:
            continue
        given = _chances_of_outcomes(check, materials, evidence.answers)
        if given is None:
            continue
        joint = given * found
        left = 1 - float((joint @ to_pile).max(axis=1).sum())
        worth = (now - left) / check.minutes
        if worth > 1e-4 and (best is None or worth > best[0]):
            best = worth, NextCheck(check.name, _settles(joint, to_pile, least), check.how, check.limits)
    return best[1] if best else None


def _photo_sees_the_scratch(evidence: Evidence) -> bool:
    return evidence.photo is not None and evidence.surface == "scratched" and evidence.photo.trusted_colour


def _chances_of_outcomes(check: Check, materials: Sequence[Material], answers: Answers) -> Floats | None:
    """P(outcome | material), outcomes x materials, each column summing to 1; None where the check can't be made."""
    outcomes = check.outcomes(answers)
    if not outcomes:
        return None
    rows = [
        np.exp(log_likelihood(materials, check, {**answers, check.name: outcome.answer})) * outcome.width
        for outcome in outcomes
    ]
    table = np.array(rows)
    return np.asarray(table / table.sum(axis=0, keepdims=True))


def _settles(joint: Floats, to_pile: Floats, least: float) -> float:
    """Chance that after the check the pile is settled: its chance 0.95 or more and the likely set on it alone."""
    total = 0.0
    for row in joint:
        seen = float(row.sum())
        if seen <= 0:
            continue
        after = row / seen
        by_pile = after @ to_pile
        likely = list(likely_set(after, least))
        if by_pile.max() >= SURE and len(set(to_pile[likely].argmax(axis=1).tolist())) == 1:
            total += seen
    return total


def _photo_decides(
    evidence: Evidence,
    materials: Sequence[Material],
    form: Form,
    checks: Mapping[str, Check],
    piles: Sequence[Pile],
    best: str,
    *,
    even: bool,
) -> bool:
    """Whether a photo with a fault is what settles it: without it the pile would not be sure."""
    if evidence.photo is None or not evidence.problems:
        return False
    without = chances(materials, replace(evidence, photo=None), form, checks, even=even)
    return pile_chances(without, piles).get(best, 0.0) < SURE
