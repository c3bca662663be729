"""One part as far as it is known, and what its chances, piles and sureness would be if more were."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from idkit.decide.contradictions import misnamed
from idkit.decide.evidence import informative, pattern
from idkit.decide.fuse import chances, factors, sees_the_scratch
from idkit.decide.piles import Piles
from idkit.decide.tables import Tables, form_of
from idkit.vocabulary import Answers, Check, Evidence, Floats, Material

SURE = 0.95  # least chance of the pile


@dataclass(frozen=True)
class Known:
    """What stays the same while more is asked of a part. `thresholds`: least chance of the likely set by pattern.

    `gains` turns piles to what is gained where a part of a material is put on each, materials x piles, of the most
    that is gained: 1 on its own pile and 0 on any other where None.
    """

    tables: Tables
    thresholds: Mapping[str, float]
    even: bool = False
    gains: Callable[[Piles], Floats] | None = None

    @property
    def materials(self) -> Sequence[Material]:
        """What it may be made of."""
        return self.tables.materials

    @property
    def checks(self) -> Mapping[str, Check]:
        """Every check by name."""
        return self.tables.checks

    def chances(self, evidence: Evidence) -> Floats:
        """Chances over the materials, summing to 1."""
        form = form_of(evidence.answers)
        prior, log_of = self.tables.prior(form.id), self.tables.log
        return chances(self.materials, evidence, form, self.checks, even=self.even, log_of=log_of, prior=prior)

    def factors(self, evidence: Evidence) -> Mapping[str, Floats]:
        """Log of each factor of the chances beside the prior, by name."""
        return factors(self.materials, evidence, self.checks, self.tables.log)

    def said_alone(self, evidence: Evidence) -> Mapping[str, Floats]:
        """Log of what each answer says by itself, also where a surer one of the same sense takes over from it; and of
        the photo, where it saw the scratch that an answer is about."""
        answers, photo = evidence.answers, evidence.photo
        said = {}
        for name in informative(answers):
            others = {other: answers[other] for other in answers if name not in self.checks[other].replaces}
            said[name] = self.tables.log(self.checks[name], others)
        if photo is not None and "scratch-colour" in answers and sees_the_scratch(evidence):
            said["photo"] = np.array([photo.log_photo[material.id] for material in self.materials])
        return said

    def doubt(self, evidence: Evidence) -> str:
        """A sentence where the answers speak against a form that decides the pile; '' where they don't."""
        form = form_of(evidence.answers)
        if not form.category:
            return ""
        said = self.said_alone(evidence)
        return misnamed(form, self.materials, [log for name, log in said.items() if name != "photo"])

    def piles(self, answers: Answers) -> Piles:
        """The piles of every material."""
        return self.tables.piles(answers)

    def likely(self, found: Floats, evidence: Evidence) -> set[int]:
        """Numbers of the materials in the likely set."""
        return likely_set(found, self.thresholds.get(pattern(evidence), 0.0))

    def best(self, evidence: Evidence) -> float:
        """What is gained on the best pile: without `gains`, its chance."""
        return float(self.best_of(self.chances(evidence), self.piles(evidence.answers)))

    def best_of(self, found: Floats, piles: Piles) -> Floats:
        """The same of given piles and chances, (n x) materials; n."""
        return np.asarray((found @ (self.gains(piles) if self.gains else piles.shares)).max(axis=-1))

    def is_sure(self, evidence: Evidence) -> bool:
        """Whether the likely set is on one pile of 0.95 or more, the part is known, and it is not decided by a faulty
        photo, by bare metal that nobody named in it or by a form that all else speaks against."""
        found, piles = self.chances(evidence), self.piles(evidence.answers)
        best = piles.named[int(np.argmax(found))].category.id
        at = piles.ids.index(best) if best in piles.ids else -1
        on = {piles.named[i].category.id for i in self.likely(found, evidence)}
        if at < 0 or on != {best} or piles.chances(found)[at] < SURE:
            return False
        if self.doubt(evidence):
            return False
        if evidence.photo is None:
            return True
        if evidence.photo.unlike:
            return False
        doubtful = evidence.problems or evidence.photo.guessed_bare
        return not doubtful or self._without_photo(evidence, at) >= SURE

    def _without_photo(self, evidence: Evidence, pile: int) -> float:
        blind = Evidence(None, evidence.answers, evidence.surface, evidence.problems, evidence.readings)
        return float(self.piles(evidence.answers).chances(self.chances(blind))[pile])


def likely_set(found: Floats, least: float) -> set[int]:
    """Numbers of the materials whose chance is at least `least`; always the first."""
    return {int(np.argmax(found)), *np.flatnonzero(found >= least).tolist()}
