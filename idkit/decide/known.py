"""One part as far as it is known, and what its chances, piles and sureness would be if more were."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from idkit import facts
from idkit.decide.evidence import pattern
from idkit.decide.fuse import chances
from idkit.decide.piles import PileOf, Piles, piles_for
from idkit.vocabulary import Answers, Check, Evidence, Floats, Form, Material

SURE = 0.95  # least chance of the pile


@dataclass(frozen=True)
class Known:
    """What stays the same while more is asked of a part. `thresholds`: least chance of the likely set by pattern."""

    materials: Sequence[Material]
    checks: Mapping[str, Check]
    pile_of: PileOf
    thresholds: Mapping[str, float]
    even: bool = False
    _piles: dict[object, Piles] = field(default_factory=dict, compare=False)

    def chances(self, evidence: Evidence) -> Floats:
        """Chances over the materials, summing to 1."""
        return chances(self.materials, evidence, form_of(evidence.answers), self.checks, even=self.even)

    def piles(self, answers: Answers) -> Piles:
        """The piles, worked out once for every thickness and form: nothing else that is asked moves a part."""
        key = tuple(answers[name].value if name in answers else None for name in ("form", "thickness"))
        if key not in self._piles:
            is_open = facts.thickness_is_open(form_of(answers).id)
            self._piles[key] = piles_for(self.materials, answers, self.checks, self.pile_of, open_line=is_open)
        return self._piles[key]

    def likely(self, found: Floats, evidence: Evidence) -> set[int]:
        """Numbers of the materials in the likely set."""
        return likely_set(found, self.thresholds.get(pattern(evidence), 0.0))

    def best(self, evidence: Evidence) -> float:
        """Chance of the likeliest pile."""
        return float(self.piles(evidence.answers).chances(self.chances(evidence)).max())

    def is_sure(self, evidence: Evidence) -> bool:
        """Whether the likely set is on one pile of 0.95 or more, the part is known, and no faulty photo decides it."""
        found, piles = self.chances(evidence), self.piles(evidence.answers)
        best = piles.named[int(np.argmax(found))].category.id
        at = piles.ids.index(best) if best in piles.ids else -1
        on = {piles.named[i].category.id for i in self.likely(found, evidence)}
        if at < 0 or on != {best} or piles.chances(found)[at] < SURE:
            return False
        if evidence.photo is None:
            return True
        if evidence.photo.unlike:
            return False
        return not evidence.problems or self._without_photo(evidence, at) >= SURE

    def _without_photo(self, evidence: Evidence, pile: int) -> float:
        blind = Evidence(None, evidence.answers, evidence.surface, evidence.problems, evidence.readings)
        return float(self.piles(evidence.answers).chances(self.chances(blind))[pile])


def likely_set(found: Floats, least: float) -> set[int]:
    """Numbers of the materials whose chance is at least `least`; always the first."""
    return {int(np.argmax(found)), *np.flatnonzero(found >= least).tolist()}


def form_of(answers: Answers) -> Form:
    """The form that was answered, or the row of the unknown one."""
    return facts.form(str(answers["form"].value) if "form" in answers else "unknown")
