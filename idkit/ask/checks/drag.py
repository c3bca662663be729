"""Drag: does a strong magnet move over the metal as through honey? It makes eddy currents in good conductors."""

from __future__ import annotations

from functools import lru_cache

from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import Chances, choose_for, mixed, row, share_above, with_slips
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "drag", 0.06
CHOICES = (("strong", "a strong drag"), ("slight", "a slight drag"), ("none", "no drag"))
OPTIONS = tuple(typed for typed, _ in CHOICES)

STRONG, STRONG_SPREAD = 40.0, 0.25
FELT, FELT_SPREAD = 6.0, 0.30
"""% IACS from which the drag is called strong, and felt at all, one time in two, with the scales in natural
logarithms. From memory: copper grips, wrought aluminium nearly so, brass and zinc slow the magnet a little, stainless
and titanium not at all."""

PULLED = row(OPTIONS, 0.45, 0.30, 0.25)
"""What is said where the magnet is pulled besides, which hides any drag. From memory."""


MISSED = 0.1
"""Chance that a magnet which pulls was said not to. From memory."""


def parse(typed: str) -> Answer:
    """strong, slight or none."""
    return choose_for(NAME, typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """The three answers; none where the magnet pulls, for pull hides drag."""
    return named_outcomes(NAME, OPTIONS) if value_of(others, "magnet") in (None, "none") else ()


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the answer from a part of that material; the three sum to 1."""
    free, pulled = material.magnet["none"], material.magnet["weak"] + material.magnet["strong"]
    if value_of(others, "magnet") == "none":
        pulled *= MISSED
    return _said(material.iacs_low, material.iacs_high, free / (free + pulled))[str(answer.value)]


@lru_cache(maxsize=256)
def _said(low: float, high: float, unpulled: float) -> Chances:
    felt = share_above(low, high, FELT, FELT_SPREAD)
    strong = min(felt, share_above(low, high, STRONG, STRONG_SPREAD))
    free = row(OPTIONS, strong, felt - strong, 1.0 - felt)
    return with_slips(mixed([(unpulled, free), (1.0 - unpulled, PULLED)]), SLIP)


CHECK = Check(
    name=NAME,
    question="Does a strong magnet drag when it moves over it?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.4,
    how="Let a strong magnet slide down the tilted flat of the part, or swing it close past it, and compare with wood. "
    "Keep fingers, cards and pacemakers away from the magnet.",
    limits="Only on a flat some 3 mm thick and wider than the magnet; brass, zinc and cast aluminium drag alike, and "
    "where the magnet pulls nothing is learnt.",
    source="conductivity from the materials table, its order as in copies of ASNT Electromagnetic Testing; rates from "
    "memory",
    trust="M",
    slip=SLIP,
    acts=("handle",),
    tool="strong magnet",
    choices=CHOICES,
    reads=("magnet",),
)
