"""What answers say of every material, worked out once: the same few tables are asked for again and again.

A check hangs on no other answers than those it `reads`, so a table is kept under its own answer and theirs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

import numpy as np

from idkit import facts
from idkit.decide.fuse import log_likelihood
from idkit.decide.piles import PileOf, Piles, piles_for
from idkit.vocabulary import Answers, Check, Floats, Form, Material, Outcome

MOST = 20000  # tables kept; about 10 MB
PILED_BY = ("form", "thickness", "attached")  # answers that a pile hangs on
Kept = TypeVar("Kept")


class Tables:
    """Likelihoods and piles of some materials, under any answers; grows as it is asked, never past MOST."""

    def __init__(self, materials: Sequence[Material], checks: Mapping[str, Check], pile_of: PileOf) -> None:
        self.materials, self.checks = tuple(materials), checks
        self._pile_of = pile_of
        self._kept: dict[object, object] = {}

    def log(self, check: Check, answers: Answers) -> Floats:
        """Log P(answer | m, others) of one answered check, for every material."""
        key = ("log", check.name, answers[check.name], _of(answers, check.reads))
        return self._once(key, lambda: log_likelihood(self.materials, check, answers))

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
        return self._once(
            ("piles", _of(answers, PILED_BY)),
            lambda: piles_for(self.materials, answers, self.checks, self._pile_of, open_line=is_open),
        )

    def _given(self, check: Check, answers: Answers) -> Floats:
        rows = [
            np.exp(log_likelihood(self.materials, check, {**answers, check.name: each.answer})) * each.width
            for each in self.outcomes(check, answers)
        ]
        table = np.array(rows)
        return np.asarray(table / table.sum(axis=0, keepdims=True))

    def _once(self, key: object, make: Callable[[], Kept]) -> Kept:
        if key not in self._kept:
            if len(self._kept) >= MOST:
                self._kept.clear()
            self._kept[key] = make()
        return self._kept[key]  # type: ignore[return-value]


def form_of(answers: Answers) -> Form:
    """The form that was answered, or the row of the unknown one."""
    return facts.form(str(answers["form"].value) if "form" in answers else "unknown")


def _of(answers: Answers, names: Sequence[str]) -> tuple[object, ...]:
    return tuple(answers.get(name) for name in names)
