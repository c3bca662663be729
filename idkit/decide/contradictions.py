"""Answers that hardly go together: one of them is likely a slip."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

import numpy as np

from idkit.vocabulary import Floats

SELDOM = 0.05  # share of what each answer says at best that any one material gives both; from memory


def contradictions(factors: Mapping[str, Floats]) -> tuple[str, ...]:
    """One sentence for each two answers that no known material gives together; `factors` as fuse names them, in logs.

    Likelihoods relative to the best of each, L₁ and L₂: the largest L₁ L₂ over the materials is under SELDOM.
    """
    said = {name: np.exp(log - log.max()) for name, log in factors.items() if name != "photo"}
    return tuple(
        f"{_words(one)} and {_words(other)} hardly go together: do both again, one of them is likely a slip"
        for one, other in combinations(said, 2)
        if (said[one] * said[other]).max() < SELDOM
    )


def _words(name: str) -> str:
    return name.replace("-", " ")
