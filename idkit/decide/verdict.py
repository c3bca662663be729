"""Chances to a verdict: likely set, pile, sure or not, and the check that would settle most."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

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
    likely = likely_set(found, model.thresholds.get(pattern(evidence), 0.0))
    one_pile = len({piles[i].category.id for i in likely}) == 1
    unlike = evidence.photo is not None and evidence.photo.unlike
    chances_of = partial(chances, materials, form=form, checks=checks, even=even)
    is_sure = partial(_is_sure, chances_of=chances_of, piles=piles, thresholds=model.thresholds)
    sure = is_sure(evidence)
    order = np.argsort(-found, kind="stable")
    ask = None if sure else next_check(evidence, found, materials, piles, checks, is_sure)
    return Verdict(
        chances={materials[i].id: float(found[i]) for i in order},
        likely=tuple(materials[i].id for i in order if i in likely),
        sure=sure,
        unlike_known=unlike,
        simulated=evidence.photo is not None and evidence.photo.simulated,
        pile=piles[int(order[0])] if one_pile else None,
        piles=pile_chances(found, piles),
        reasons=reasons(evidence, materials, found, checks, unlike=unlike),
        next_check=ask,
        cautions=cautions_of([materials[i].id for i in order if i in likely], ask.check if ask else None),
        confirm=confirm_line(materials[int(order[0])], materials[int(order[1])], sure=sure),
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
    is_sure: Callable[[Evidence], bool],
) -> NextCheck | None:
    """The unanswered check that saves most expected error of the pile a minute, by enumerating its answers."""
    names = list(dict.fromkeys(pile.category.id for pile in piles))
    to_pile = np.array([[float(pile.category.id == name) for name in names] for pile in piles])
    now = 1 - float((found @ to_pile).max())
    best: tuple[float, Check, Floats] | None = None
    seen = {"scratch-colour"} if _photo_sees_the_scratch(evidence) else set()
    for check in checks.values():
        if not check.asked or check.name in evidence.answers or check.name in seen:
            continue
        given = _chances_of_outcomes(check, materials, evidence.answers)
        if given is None:
            continue
        left = 1 - float((given * found @ to_pile).max(axis=1).sum())
        worth = (now - left) / check.minutes
        if worth > 1e-4 and (best is None or worth > best[0]):
            best = worth, check, given @ found
    if best is None:
        return None
    _, check, expected = best
    return NextCheck(check.name, _settles(evidence, check, expected, is_sure), check.how, check.limits)


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


def _settles(evidence: Evidence, check: Check, expected: Floats, is_sure: Callable[[Evidence], bool]) -> float:
    """Chance that the verdict is sure after the check, given the chance of each of its outcomes."""
    after = [{**evidence.answers, check.name: outcome.answer} for outcome in check.outcomes(evidence.answers)]
    settled = [is_sure(replace(evidence, answers=answers)) for answers in after]
    return float(expected[settled].sum())


def _is_sure(
    evidence: Evidence,
    *,
    chances_of: Callable[[Evidence], Floats],
    piles: Sequence[Pile],
    thresholds: Mapping[str, float],
) -> bool:
    """Whether the likely set is on one pile of 0.95 or more, the part is known, and no faulty photo decides it."""
    found = chances_of(evidence)
    best = piles[int(np.argmax(found))].category.id
    likely = likely_set(found, thresholds.get(pattern(evidence), 0.0))
    if {piles[i].category.id for i in likely} != {best} or pile_chances(found, piles)[best] < SURE:
        return False
    if evidence.photo is None:
        return True
    if evidence.photo.unlike:
        return False
    return not evidence.problems or pile_chances(chances_of(replace(evidence, photo=None)), piles)[best] >= SURE
