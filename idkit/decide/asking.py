"""Which check to make next: dangers aside, the one that saves most doubt about the pile for its minutes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from idkit.decide.fuse import sees_the_scratch
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
    seen = {"scratch-colour"} if sees_the_scratch(evidence) else set()
    wanted = [check for check in allowed.of(known, evidence) if check.name not in seen]
    after = {check.name: _after(known, evidence, found, check) for check in wanted}
    saves = {name: each.right - now for name, each in after.items() if each.answers}
    worth = {name: each / (known.checks[name].minutes + TAKE_UP) for name, each in saves.items()}
    for name in (FIRST, *owed, *_by_worth(worth, known.checks, allowed.least_worth)):
        if name in saves:
            check, settles = known.checks[name], _settles(known, evidence, after[name])
            return NextCheck(name, settles, check.how, check.limits, max(saves[name], 0.0))
    return None


@dataclass(frozen=True)
class _After:
    """The n answers to a check, none where it can't be made, and what each leads to."""

    answers: Sequence[Answer]
    chances: Floats  # of each answer, n, summing to 1
    best: Floats  # chance of the best pile after each answer, n

    @property
    def right(self) -> float:
        """Expected chance of the best pile after the check."""
        return float(self.chances @ self.best)


def _after(known: Known, evidence: Evidence, found: Floats, check: Check) -> _After:
    """Every answer to a check by Bayes, `found` being the chances before it; the best pile is found anew where more
    than that answer changes: with the form, or where the check takes over from one that was answered before it."""
    answers, given = _answers(known, evidence, check)
    chances = given @ found
    if check.name == FORM or any(name in evidence.answers for name in check.replaces):
        return _After(answers, chances, np.array([known.best(_told(evidence, each)) for each in answers]))
    best = np.empty(len(answers))
    for piles, numbers in known.tables.piles_after(check, evidence.answers):
        best[numbers] = known.best_of(given[numbers] * found, piles) / chances[numbers]
    return _After(answers, chances, best)


def _answers(known: Known, evidence: Evidence, check: Check) -> tuple[Sequence[Answer], Floats]:
    """Every answer to a check and its chance from each material, n and n x materials."""
    if check.name == FORM:
        return known.tables.forms()
    outcomes = known.tables.outcomes(check, evidence.answers)
    given = known.tables.given(check, evidence.answers) if outcomes else np.empty((0, len(known.materials)))
    return [each.answer for each in outcomes], given


def _told(evidence: Evidence, answer: Answer) -> Evidence:
    """The evidence with one more answer."""
    return replace(evidence, answers={**evidence.answers, answer.check: answer})


def _settles(known: Known, evidence: Evidence, after: _After) -> float:
    """Chance that the verdict is sure after the check."""
    sure = [known.is_sure(_told(evidence, each)) for each in after.answers]
    return float(after.chances @ sure)


def _by_worth(worth: Mapping[str, float], checks: Mapping[str, Check], least: float) -> list[str]:
    """Names of the checks that are worth their minutes, best first: those of every bench, then those with a tool."""
    best = sorted((name for name in worth if worth[name] >= least), key=worth.__getitem__, reverse=True)
    return sorted(best, key=lambda name: bool(checks[name].tool))
