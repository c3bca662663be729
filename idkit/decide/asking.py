"""Which check to make next: dangers aside, the one that saves most doubt about the pile for its minutes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from idkit import facts
from idkit.decide.fuse import log_prior
from idkit.decide.known import Known
from idkit.vocabulary import Answer, Check, Evidence, Floats, NextCheck

FIRST, FORM = "magnet", "form"
TAKE_UP = 0.3  # minutes to take up a check, beside those to make it; from memory
LEAST_WORTH = 0.01  # error of the pile saved a minute, under which a check is not worth it; from memory


@dataclass(frozen=True)
class Allowed:
    """What may be asked of a part: not the checks that are `forbidden` or were `skipped`; `tools` are those at hand.

    `least_worth` is the expected error of the pile a minute that a check must save to be worth it.
    """

    forbidden: Collection[str] = ()
    skipped: Collection[str] = ()
    tools: Collection[str] = ()
    least_worth: float = LEAST_WORTH

    def of(self, known: Known, evidence: Evidence) -> list[Check]:
        """The checks that may be proposed now; the form is asked for though it is no evidence by itself."""
        return [check for name, check in known.checks.items() if name not in evidence.answers and self._has(check)]

    def _has(self, check: Check) -> bool:
        own = not check.tool or check.tool in self.tools
        wanted = check.asked or check.name == FORM
        return wanted and own and check.name not in self.forbidden and check.name not in self.skipped


def next_check(known: Known, evidence: Evidence, allowed: Allowed, owed: Collection[str]) -> NextCheck | None:
    """The check to make next, None where none of those allowed is worth its minutes.

    The magnet comes first (common practice, no source), then what this form always owes, then what saves most expected
    error of the pile a minute, by enumerating the answers; a tool of its own is fetched only where nothing else helps.
    """
    found, now = known.chances(evidence), known.best(evidence)
    seen = {"scratch-colour"} if _photo_sees_the_scratch(evidence) else set()
    tables = {
        check.name: table
        for check in allowed.of(known, evidence)
        if check.name not in seen and len(table := _after(known, evidence, found, check))
    }
    minutes = {name: known.checks[name].minutes + TAKE_UP for name in tables}
    worth = {name: (_right(tables[name], found) - now) / minutes[name] for name in tables}
    for name in (FIRST, *owed, *_by_worth(worth, known.checks, allowed.least_worth)):
        if name in tables:
            check = known.checks[name]
            saves = max(_right(tables[name], found) - now, 0.0)
            return NextCheck(name, _settles(known, tables[name], found), check.how, check.limits, saves)
    return None


@dataclass(frozen=True)
class _After:
    """One answer to a check: the evidence with it, and its chance from each material; `best` is the pile's after it."""

    evidence: Evidence
    given: Floats
    best: float


def _after(known: Known, evidence: Evidence, found: Floats, check: Check) -> list[_After]:
    """Every answer to a check, `found` being the chances before it; none where it can't be made."""
    return _after_form(known, evidence) if check.name == FORM else _after_check(known, evidence, found, check)


def _after_check(known: Known, evidence: Evidence, found: Floats, check: Check) -> list[_After]:
    """Every outcome of a check by Bayes; anew where the check takes over from one that was answered before it."""
    outcomes = known.tables.outcomes(check, evidence.answers)
    if not outcomes:
        return []
    table = known.tables.given(check, evidence.answers)
    told = [replace(evidence, answers={**evidence.answers, check.name: each.answer}) for each in outcomes]
    anew = any(name in evidence.answers for name in check.replaces)
    piles = [known.piles(each.answers) for each in told]
    best = [
        known.best(each) if anew else known.best_of(row * found, on) / float(row @ found)
        for each, row, on in zip(told, table, piles, strict=True)
    ]
    return [_After(each, row, chance) for each, row, chance in zip(told, table, best, strict=True)]


def _after_form(known: Known, evidence: Evidence) -> list[_After]:
    """Every form: P(form | material) from the forms' own priors, every form as common as another before."""
    forms = [form for form in facts.forms().values() if form.id != "unknown"]
    priors = np.exp([log_prior(known.materials, form) for form in forms])
    priors = priors / priors.sum(axis=1, keepdims=True)
    table = priors / priors.sum(axis=0, keepdims=True)
    told = [replace(evidence, answers={**evidence.answers, FORM: Answer(FORM, form.id)}) for form in forms]
    return [_After(each, row, known.best(each)) for each, row in zip(told, table, strict=True)]


def _right(after: Sequence[_After], found: Floats) -> float:
    """Expected chance of the best pile after the check."""
    return float(sum((each.given @ found) * each.best for each in after))


def _settles(known: Known, after: Sequence[_After], found: Floats) -> float:
    """Chance that the verdict is sure after the check."""
    return float(sum(each.given @ found for each in after if known.is_sure(each.evidence)))


def _by_worth(worth: Mapping[str, float], checks: Mapping[str, Check], least: float) -> list[str]:
    """Names of the checks that are worth their minutes, best first: those of every bench, then those with a tool."""
    best = sorted((name for name in worth if worth[name] >= least), key=worth.__getitem__, reverse=True)
    return sorted(best, key=lambda name: bool(checks[name].tool))


def _photo_sees_the_scratch(evidence: Evidence) -> bool:
    photo = evidence.photo
    return photo is not None and evidence.surface == "scratched" and photo.trusted_colour and not photo.unlike
