"""Answers that hardly go together: one of them is likely a slip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

import numpy as np

from idkit.decide.fuse import LogOf, factors
from idkit.vocabulary import Check, Evidence, Material

SELDOM = 0.05  # share of what each answer says at best that any one material gives both; from memory


def contradictions(
    materials: Sequence[Material], evidence: Evidence, checks: Mapping[str, Check], log_of: LogOf | None = None
) -> tuple[str, ...]:
    """One sentence for each two answers that no known material gives together.

    Likelihoods relative to the best of each, L₁ and L₂: the largest L₁ L₂ over the materials is under SELDOM.
    """
    said = {name: np.exp(log - log.max()) for name, log in factors(materials, evidence, checks, log_of).items()}
    answers = [name for name in said if name != "photo"]
    return tuple(
        f"{_words(one)} and {_words(other)} hardly go together: do both again, one of them is likely a slip"
        for one, other in combinations(answers, 2)
        if (said[one] * said[other]).max() < SELDOM
    )


def _words(name: str) -> str:
    return name.replace("-", " ")
