"""Answers that hardly go together: one of them is likely a slip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np

from idkit.decide.fuse import factors, log_prior
from idkit.vocabulary import Check, Evidence, Form, Material

SELDOM = 0.03  # times as often together as by chance, under which two answers contradict each other; from memory


def contradictions(
    materials: Sequence[Material], evidence: Evidence, form: Form, checks: Mapping[str, Check]
) -> tuple[str, ...]:
    """One sentence for each two answers that come together far more seldom than each by itself.

    Σ p L₁ L₂ against Σ p L₁ times Σ p L₂ over the materials, p how common each is and L what each answer says of it.
    """
    prior = np.exp(log_prior(materials, form))
    prior = prior / prior.sum()
    said = {name: np.exp(log - log.max()) for name, log in factors(materials, evidence, checks).items()}
    answers = [name for name in said if name != "photo"]
    return tuple(
        f"{_words(one)} and {_words(other)} hardly go together: do both again, one of them is likely a slip"
        for one, other in combinations(answers, 2)
        if prior @ (said[one] * said[other]) < SELDOM * (prior @ said[one]) * (prior @ said[other])
    )


def _words(name: str) -> str:
    return name.replace("-", " ")
