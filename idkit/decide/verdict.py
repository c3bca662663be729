"""Chances to a verdict: likely set, pile, sure or not, and the check that would settle most."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from idkit.decide.classifier import Model
from idkit.decide.contradictions import contradictions
from idkit.decide.evidence import pattern
from idkit.decide.fuse import chances, log_likelihood
from idkit.decide.piles import PileOf, Piles, piles_for
from idkit.decide.reasons import confirm_line, confirm_pile, reasons
from idkit.vocabulary import (
    Answers,
    Caution,
    Check,
    Evidence,
    Floats,
    Form,
    Material,
    NextCheck,
    Verdict,
)

SURE = 0.95  # least chance of the pile
FIRST = "magnet"
LEAST_WORTH = 0.02  # error of the pile saved a minute, under which a check is not worth it; from memory
CautionsOf = Callable[[Sequence[str], str | None], tuple[Caution, ...]]
PilesOf = Callable[[Answers], Piles]


@dataclass(frozen=True)
class Allowed:
    """What may be asked of a part: checks that are `forbidden` or were `skipped`, and the tools at hand."""

    forbidden: Collection[str] = ()
    skipped: Collection[str] = ()
    tools: Collection[str] = ()

    def allows(self, check: Check) -> bool:
        """Whether the check may be proposed."""
        own = not check.tool or check.tool in self.tools
        return check.asked and own and check.name not in self.forbidden and check.name not in self.skipped


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
    open_line: bool = True,
    at: Allowed = Allowed(),  # noqa: B008 (frozen)
) -> Verdict:
    """The verdict on one part. `pile_of` and `cautions_of` come from the facts, bound to what is known of the part.

    `open_line`: see piles_for. `at` says which checks may be proposed.
    """
    found = chances(materials, evidence, form, checks, even=even)
    piles_of = cache_of(partial(piles_for, materials, checks=checks, pile_of=pile_of, open_line=open_line))
    piles = piles_of(evidence.answers)
    likely = likely_set(found, model.thresholds.get(pattern(evidence), 0.0))
    unlike = evidence.photo is not None and evidence.photo.unlike
    chances_of = partial(chances, materials, form=form, checks=checks, even=even)
    is_sure = partial(_is_sure, chances_of=chances_of, piles_of=piles_of, thresholds=model.thresholds)
    allowed = [check for check in checks.values() if at.allows(check) and check.name not in evidence.answers]
    owed = [check for check in allowed if check.name in form.always]
    contrary = contradictions(materials, evidence, form, checks)
    sure = not owed and not contrary and is_sure(evidence)
    order = np.argsort(-found, kind="stable")
    ask = None if sure else next_check(evidence, found, materials, piles_of, allowed, owed, is_sure)
    one_pile = len({piles.named[i].category.id for i in likely}) == 1
    by_pile = piles.chances(found)
    first = int(order[0])
    return Verdict(
        chances={materials[i].id: float(found[i]) for i in order},
        likely=tuple(materials[i].id for i in order if i in likely),
        sure=sure,
        unlike_known=unlike,
        simulated=evidence.photo is not None and evidence.photo.simulated,
        pile=piles.named[first] if one_pile else None,
        piles={piles.ids[i]: float(by_pile[i]) for i in np.argsort(-by_pile, kind="stable")},
        reasons=(*reasons(evidence, materials, found, checks, unlike=unlike), *contrary),
        next_check=ask,
        cautions=cautions_of([materials[i].id for i in order if i in likely], ask.check if ask else None),
        confirm=confirm_pile(piles.named[first])
        if form.category
        else confirm_line([materials[i] for i in order[:2]], piles.named[first], one_pile=one_pile, sure=sure),
    )


def cache_of(piles_of: PilesOf) -> PilesOf:
    """The same, worked out once for every thickness: nothing else that is asked moves a part from pile to pile."""
    kept: dict[object, Piles] = {}

    def remembered(answers: Answers) -> Piles:
        thickness = answers.get("thickness")
        key = None if thickness is None else thickness.value
        if key not in kept:
            kept[key] = piles_of(answers)
        return kept[key]

    return remembered


def likely_set(found: Floats, least: float) -> set[int]:
    """Numbers of the materials whose chance is at least `least`; always the first."""
    return {int(np.argmax(found)), *np.flatnonzero(found >= least).tolist()}


def next_check(
    evidence: Evidence,
    found: Floats,
    materials: Sequence[Material],
    piles_of: PilesOf,
    allowed: Sequence[Check],
    owed: Sequence[Check],
    is_sure: Callable[[Evidence], bool],
) -> NextCheck | None:
    """The check to make next, None where none of those allowed is worth its minutes.

    The magnet comes first (common practice, no source), then what this form always owes, then what saves most expected
    error of the pile a minute, by enumerating the answers; a tool of its own is fetched only where nothing else helps.
    """
    seen = {"scratch-colour"} if _photo_sees_the_scratch(evidence) else set()
    worth = {
        check.name: gain
        for check in allowed
        if check.name not in seen and (gain := _worth(check, evidence.answers, found, materials, piles_of)) is not None
    }
    named = {check.name: check for check in allowed}
    first = [name for name in (FIRST, *(check.name for check in owed)) if name in worth]
    for group in (first, *_by_worth(worth, named)):
        if group:
            check = named[group[0]]
            expected = _table(check, materials, evidence.answers) @ found
            return NextCheck(check.name, _settles(evidence, check, expected, is_sure), check.how, check.limits)
    return None


def _by_worth(worth: Mapping[str, float], named: Mapping[str, Check]) -> list[list[str]]:
    """Names of the checks that are worth their minutes, best first: those of every bench, then those with a tool."""
    best = sorted((name for name in worth if worth[name] >= LEAST_WORTH), key=worth.__getitem__, reverse=True)
    return [[name for name in best if bool(named[name].tool) == tool] for tool in (False, True)]


def _worth(
    check: Check, answers: Answers, found: Floats, materials: Sequence[Material], piles_of: PilesOf
) -> float | None:
    """Expected error of the pile that the check saves a minute; None where it can't be made."""
    if not check.outcomes(answers):
        return None
    now = 1 - float(piles_of(answers).chances(found).max())
    after = (piles_of(answered) for answered in _answered(answers, check))
    given = _table(check, materials, answers)
    right = sum(float(piles.chances(row * found).max()) for piles, row in zip(after, given, strict=True))
    return (now - (1 - right)) / check.minutes


def _answered(answers: Answers, check: Check) -> list[Answers]:
    """The answers with each outcome of one more check."""
    return [{**answers, check.name: outcome.answer} for outcome in check.outcomes(answers)]


def _photo_sees_the_scratch(evidence: Evidence) -> bool:
    return evidence.photo is not None and evidence.surface == "scratched" and evidence.photo.trusted_colour


def _table(check: Check, materials: Sequence[Material], answers: Answers) -> Floats:
    """P(outcome | material), outcomes x materials, each column summing to 1."""
    rows = [
        np.exp(log_likelihood(materials, check, {**answers, check.name: outcome.answer})) * outcome.width
        for outcome in check.outcomes(answers)
    ]
    table = np.array(rows)
    return np.asarray(table / table.sum(axis=0, keepdims=True))


def _settles(evidence: Evidence, check: Check, expected: Floats, is_sure: Callable[[Evidence], bool]) -> float:
    """Chance that the verdict is sure after the check, given the chance of each of its outcomes."""
    settled = [is_sure(replace(evidence, answers=answers)) for answers in _answered(evidence.answers, check)]
    return float(expected[settled].sum())


def _is_sure(
    evidence: Evidence,
    *,
    chances_of: Callable[[Evidence], Floats],
    piles_of: PilesOf,
    thresholds: Mapping[str, float],
) -> bool:
    """Whether the likely set is on one pile of 0.95 or more, the part is known, and no faulty photo decides it."""
    found, piles = chances_of(evidence), piles_of(evidence.answers)
    best = piles.named[int(np.argmax(found))].category.id
    at = piles.ids.index(best) if best in piles.ids else -1
    likely = likely_set(found, thresholds.get(pattern(evidence), 0.0))
    if at < 0 or {piles.named[i].category.id for i in likely} != {best} or piles.chances(found)[at] < SURE:
        return False
    if evidence.photo is None:
        return True
    if evidence.photo.unlike:
        return False
    return not evidence.problems or piles.chances(chances_of(replace(evidence, photo=None)))[at] >= SURE
