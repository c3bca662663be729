"""How right a photo that erred nowhere would make it, with the same answers: python tests/bench/ceiling.py [PARTS]

The simulated parts and answers of honest.py (2000 unless said), and in place of what the classifier makes of a photo:
that no photo was taken; the classifier; an eye that always names the colour family of what is seen; and one that also
names the material itself one time in two. What even such an eye leaves open, no classifier of photos can settle.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace

import honest
import numpy as np
from photographs import say

from idkit import ask, flows
from idkit.decide.classifier import Model, share_of_each
from idkit.decide.known import Known
from idkit.decide.tables import Tables
from idkit.flows.piling import pile_of
from idkit.vocabulary import FAMILIES, PhotoEvidence

STEPS = ("photo and form", "+ magnet, thickness", "+ magnet, thickness, water")
NEVER = 0.02  # what is left to every material, as a skin may hide it; as the classifier has it


def by_family(model: Model, material: str, random: np.random.Generator) -> PhotoEvidence:
    """What a photo says where the family of what is seen is plain and nothing else is."""
    share, of_each = dict(zip(model.labels, model.share.tolist(), strict=True)), share_of_each(model)
    mine = {family: share.get((material, family), 0.0) for family in FAMILIES}
    if not any(mine.values()):  # something else
        return PhotoEvidence(dict.fromkeys([*of_each, material], 0.0), dict.fromkeys(FAMILIES, 0.0), False, True, True)
    seen = str(random.choice(list(mine), p=np.array(list(mine.values())) / sum(mine.values())))
    total = sum(value for (_, family), value in share.items() if family == seen)
    ratio = {name: share.get((name, seen), 0.0) / each / total for name, each in of_each.items()}
    logs = {name: float(np.log((1 - NEVER) * value + NEVER)) for name, value in ratio.items()}
    return PhotoEvidence(
        {**logs, "something-else": 0.0}, {name: float(name == seen) for name in FAMILIES}, False, True, True
    )


def named(photo: PhotoEvidence, material: str) -> PhotoEvidence:
    """The same where the material itself was recognised too: 19 times in 20 rightly."""
    logs = {
        name: value + (np.log(19.0 * len(photo.log_photo)) if name == material else 0.0)
        for name, value in photo.log_photo.items()
    }
    return replace(photo, log_photo=logs)


def right(known: Known, parts: Sequence[honest.Part], step: str) -> float:
    """Share of parts whose likeliest pile is theirs."""
    rows = honest.rows(known, parts, step)
    return float(np.mean([max(row.piles, key=row.piles.__getitem__) == row.pile for row in rows]))


def main(count: int) -> None:
    """Print the table."""
    model, random = flows.starter(), np.random.default_rng(5)
    known = Known(Tables(flows.known_materials(), ask.checks(), pile_of), model.thresholds)
    parts = honest.drawn(known, honest.AS_RECKONED, honest.PRIOR, count, seed=11)
    ids = [material.id for material in known.materials]
    eyes = [replace(part, photo=by_family(model, ids[part.material], random)) for part in parts]
    half = [
        replace(part, photo=named(part.photo, ids[part.material])) if random.random() < 0.5 else part for part in eyes
    ]
    say(f"{count} simulated parts, pile right of 100")
    say(f"{'':30}{'no photo':>12}{'classifier':>12}{'family':>12}{'and half':>12}")
    for step in STEPS:
        none = step.replace("+", "no photo:") if "+" in step else "no photo: form"
        each = [right(known, parts, none), *(right(known, some, step) for some in (parts, eyes, half))]
        say(f"{step:30}" + "".join(f"{100 * value:12.1f}" for value in each))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
