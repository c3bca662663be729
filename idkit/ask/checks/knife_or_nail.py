"""Knife or nail: does a fingernail mark it, does a knife shave it, or neither?"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import Chances, choose_for, even, row, share_above, with_slips
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "knife-or-nail", 0.05
CHOICES = (("nail", "a fingernail marks it"), ("knife", "a knife shaves it"), ("neither", "neither"))
OPTIONS = tuple(typed for typed, _ in CHOICES)

NAIL, NAIL_SPREAD = 11.0, 0.25
KNIFE, KNIFE_SPREAD = 45.0, 0.25
"""HB up to which a fingernail marks and a knife shaves one piece in two, with the scales in natural logarithms. A nail
is 2 to 2.5 on Mohs' scale, lead 1.5 and copper 3; a knife shaves tin and dead-soft aluminium, hardly brass. From
memory."""

WITHOUT: Mapping[str, Chances] = MappingProxyType(
    {
        "nail": row(OPTIONS, 0.60, 0.35, 0.05),
        "knife": row(OPTIONS, 0.10, 0.82, 0.08),
        "nothing": row(OPTIONS, 0.02, 0.18, 0.80),
        "": even(OPTIONS),
    }
)
"""The same for what has no Brinell hardness, by what marks it. From memory."""


def parse(typed: str) -> Answer:
    """nail, knife or neither."""
    return choose_for(NAME, typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """The three answers; none for a board, whose parts are not to be cut."""
    return () if value_of(others, "form") == "board" else named_outcomes(NAME, OPTIONS)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Chance of the answer from a part of that material; the three sum to 1."""
    return _said(material.hardness_low, material.hardness_high, material.yields_to)[str(answer.value)]


@lru_cache(maxsize=256)
def _said(low: float, high: float, yields_to: str) -> Chances:
    if low != low:
        return with_slips(WITHOUT[yields_to], SLIP)
    past_nail = share_above(low, high, NAIL, NAIL_SPREAD)
    past_knife = min(past_nail, share_above(low, high, KNIFE, KNIFE_SPREAD))
    return with_slips(row(OPTIONS, 1.0 - past_nail, past_nail - past_knife, past_knife), SLIP)


CHECK = Check(
    name=NAME,
    question="Does a fingernail mark it, or a knife shave it?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.5,
    how="Press a thumbnail into a clean spot; if nothing shows, try to shave a sliver off an edge with a knife, blade "
    "away from you. Soft grey metal may be lead: wash your hands after.",
    limits="Only lead, tin, plastics and dead-soft aluminium or copper give way; everything harder looks the same.",
    source="hardness from the materials table; nail about 2.2 on Mohs' scale and rates from memory",
    trust="M",
    cautions=("filing",),
    slip=SLIP,
    acts=("handle", "cut"),
    choices=CHOICES,
    reads=("form",),
)
