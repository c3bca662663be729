"""Answers that hardly go together: one of them is likely a slip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np

from idkit import facts
from idkit.decide.fuse import log_prior
from idkit.vocabulary import Floats, Form, Material

SELDOM = 0.05  # share of what each answer says at best that any one material gives both; from memory
FORM_SLIP = 0.01  # chance that a form that decides the pile is called by the wrong name; from memory
RIGHT = 0.95  # least chance that such a form was named right


def contradictions(said: Mapping[str, Floats]) -> tuple[str, ...]:
    """One sentence for each two of these that no known material gives together; logs of what each says by itself.

    Likelihoods relative to the best of each, L₁ and L₂: the largest L₁ L₂ over the materials is under SELDOM.
    """
    said = {name: np.exp(log - log.max()) for name, log in said.items()}
    return tuple(
        f"{_words(one)} and {_words(other)} hardly go together: do both again, one of them is likely a slip"
        for one, other in combinations(said, 2)
        if (said[one] * said[other]).max() < SELDOM
    )


def misnamed(form: Form, materials: Sequence[Material], said: Sequence[Floats]) -> str:
    """A sentence where answers, in logs, speak against a form that decides the pile; '' where they don't.

    Bayes' theorem with FORM_SLIP: such a thing shows one of the materials that its row names, by their weights there;
    anything else may be any, by the weights of the unknown form.
    """
    logs = np.sum(said, axis=0) if said else np.zeros(len(materials))
    likelihood = np.exp(logs - logs.max())
    named = np.array([form.likely.get(facts.kin(each.id), 0.0) for each in materials])
    common = np.exp(log_prior(materials, facts.form("unknown")))
    right = (1.0 - FORM_SLIP) * float(likelihood @ named) / named.sum()
    wrong = FORM_SLIP * float(likelihood @ common) / common.sum()
    if right >= RIGHT * (right + wrong):
        return ""
    return (
        f"form {_words(form.id)} and the other answers hardly go together, so it is left out: "
        f"a {_words(form.id)} is '{form.looks}'"
    )


def _words(name: str) -> str:
    return name.replace("-", " ")
