"""What answers say of every material, worked out once: the same few tables are asked for again and again.

A check hangs on no other answers than those it `reads`, so a table is kept under its own answer and theirs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

import numpy as np

from idkit import facts
from idkit.decide.fuse import log_likelihood, log_prior
from idkit.decide.own import Own, learnt
from idkit.decide.piles import PileOf, Piles, piles_for
from idkit.vocabulary import Answer, Answers, Check, Floats, Form, Material, Outcome

MOST = 20000  # tables kept; about 10 MB
PILED_BY = ("form", "thickness", "attached")  # answers that a pile hangs on
WORDS_OF = ("came-out-of", "marked")  # those of which it hangs on a few words alone
Kept = TypeVar("Kept")


class Tables:
    """Likelihoods and piles of some materials, under any answers; grows as it is asked, never past MOST.

    `own` is what was learnt from one's own parts, which adds to what the facts say.
    """

    def __init__(
        self, materials: Sequence[Material], checks: Mapping[str, Check], pile_of: PileOf, own: Own | None = None
    ) -> None:
        self.materials, self.checks, self.own = tuple(materials), checks, own
        self._pile_of = pile_of
        self._kept: dict[object, object] = {}

    def log(self, check: Check, answers: Answers) -> Floats:
        """Log P(answer | m, others) of one answered check, for every material."""
        key = ("log", check.name, answers[check.name], _of(answers, check.reads))
        return self._once(key, lambda: log_likelihood(self.materials, check, answers) + self._learnt(check, answers))

    def outcomes(self, check: Check, answers: Answers) -> tuple[Outcome, ...]:
        """The answers to reckon with beforehand; empty where the check can't be made."""
        key = ("outcomes", check.name, _of(answers, check.reads))
        return self._once(key, lambda: check.outcomes(answers))

    def given(self, check: Check, answers: Answers) -> Floats:
        """P(outcome | material), outcomes x materials, each column summing to 1."""
        key = ("given", check.name, _of(answers, check.reads))
        return self._once(key, lambda: self._given(check, answers))

    def piles(self, answers: Answers) -> Piles:
        """Every material's piles."""
        is_open = facts.thickness_is_open(form_of(answers).id)
        words = facts.words_met("; ".join(answers[name].typed for name in WORDS_OF if name in answers))
        return self._once(
            ("piles", _of(answers, PILED_BY), words),
            lambda: piles_for(self.materials, answers, self.checks, self._pile_of, open_line=is_open),
        )

    def piles_after(self, check: Check, answers: Answers) -> tuple[tuple[Piles, list[int]], ...]:
        """Every material's piles after a check, each with the numbers of the outcomes that they are the same after."""
        if check.name not in (*PILED_BY, *WORDS_OF):
            return ((self.piles(answers), list(range(len(self.outcomes(check, answers))))),)
        key = ("piles after", check.name, _of(answers, (*check.reads, *PILED_BY, *WORDS_OF)))
        return self._once(key, lambda: self._piles_after(check, answers))

    def prior(self, form: str) -> Floats:
        """Log of how common each material is among parts of that form, by the facts and own parts."""
        names = [row.id for row in self.materials]
        key = ("prior", form)
        return self._once(key, lambda: log_prior(self.materials, facts.form(form)) + lift(self.own, names, form))

    def forms(self) -> tuple[tuple[Answer, ...], Floats]:
        """Every form but the unknown one, and P(form | material), forms x materials, each column summing to 1: by the
        forms' own priors, every form as common as another before."""
        return self._once(("forms",), self._forms)

    def _learnt(self, check: Check, answers: Answers) -> Floats:
        """Log of how far own parts have moved the chance of this answer, by material."""
        told = self._told(check)
        if told is None:
            return np.zeros(len(self.materials))
        at, said = outcome_of(self.outcomes(check, answers), answers[check.name]), self._said(check, answers)
        return np.asarray(np.log(learnt(said, told)[at] / said[at])) if at >= 0 else np.zeros(len(self.materials))

    def _told(self, check: Check) -> Floats | None:
        """Own parts by answer, outcomes x materials; None where that check taught nothing."""
        if self.own is None or check.name not in self.own.told:
            return None
        return in_order(self.own.told[check.name], self.own.materials, [row.id for row in self.materials])

    def _given(self, check: Check, answers: Answers) -> Floats:
        said, told = self._said(check, answers), self._told(check)
        return said if told is None or told.shape != said.shape else learnt(said, told)

    def _said(self, check: Check, answers: Answers) -> Floats:
        """P(outcome | material) as the facts say, outcomes x materials."""
        key = ("said", check.name, _of(answers, check.reads))
        return self._once(key, lambda: self._as_facts_say(check, answers))

    def _as_facts_say(self, check: Check, answers: Answers) -> Floats:
        rows = [
            np.exp(log_likelihood(self.materials, check, {**answers, check.name: each.answer})) * each.width
            for each in self.outcomes(check, answers)
        ]
        table = np.array(rows)
        return np.asarray(table / table.sum(axis=0, keepdims=True))

    def _piles_after(self, check: Check, answers: Answers) -> tuple[tuple[Piles, list[int]], ...]:
        grouped: dict[int, tuple[Piles, list[int]]] = {}
        for number, each in enumerate(self.outcomes(check, answers)):
            piles = self.piles({**answers, check.name: each.answer})
            grouped.setdefault(id(piles), (piles, []))[1].append(number)
        return tuple(grouped.values())

    def _forms(self) -> tuple[tuple[Answer, ...], Floats]:
        forms = [form for form in facts.forms().values() if form.id != "unknown"]
        priors = np.exp([log_prior(self.materials, form) for form in forms])
        priors /= priors.sum(axis=1, keepdims=True)
        return tuple(Answer("form", form.id) for form in forms), priors / priors.sum(axis=0, keepdims=True)

    def _once(self, key: object, make: Callable[[], Kept]) -> Kept:
        if key not in self._kept:
            if len(self._kept) >= MOST:
                self._kept.clear()
            self._kept[key] = make()
        return self._kept[key]  # type: ignore[return-value]


def outcome_of(outcomes: Sequence[Outcome], answer: Answer) -> int:
    """Number of the outcome that an answer is, or lies nearest to in the logarithm; -1 where there is none."""
    if isinstance(answer.value, str):
        return next((n for n, each in enumerate(outcomes) if each.answer.value == answer.value), -1)
    middles = np.array([float(each.answer.value) for each in outcomes])
    return int(np.abs(np.log(middles / answer.value)).argmin()) if len(middles) else -1


def in_order(table: Floats, names: Sequence[str], wanted: Sequence[str]) -> Floats:
    """The columns of a table by name in another order, 0 where there is none."""
    column = {name: number for number, name in enumerate(names)}
    blank = np.zeros(table.shape[:-1])
    return np.stack([table[..., column[name]] if name in column else blank for name in wanted], axis=-1)


def lift(own: Own | None, wanted: Sequence[str], form: str) -> Floats:
    """What own parts add to the log of how common each material is among parts of a form: their own bias, and how
    often their forms were this one, against what the facts say of it."""
    if own is None:
        return np.zeros(len(wanted))
    said = np.array([[row.likely.get(facts.kin(name), 1.0) for name in wanted] for row in facts.forms().values()])
    said /= said.sum(axis=1, keepdims=True)
    said /= said.sum(axis=0)
    told = np.array([in_order(own.forms.get(id_, 0 * own.lift), own.materials, wanted) for id_ in facts.forms()])
    at = list(facts.forms()).index(form)
    return np.asarray(in_order(own.lift, own.materials, wanted) + np.log(learnt(said, told)[at] / said[at]))


def form_of(answers: Answers) -> Form:
    """The form that was answered, or the row of the unknown one."""
    return facts.form(str(answers["form"].value) if "form" in answers else "unknown")


def _of(answers: Answers, names: Sequence[str]) -> tuple[object, ...]:
    return tuple(answers.get(name) for name in names)
