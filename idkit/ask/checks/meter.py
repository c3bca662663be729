"""Meter: does an ohm meter find metal on the skin, and in a scratch?"""

from __future__ import annotations

from functools import lru_cache

from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import Chances, choose_for, mixed, row, with_slips
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "meter", 0.04
CHOICES = (
    ("both", "skin and scratch conduct"),
    ("scratch-only", "only the scratch conducts"),
    ("neither", "neither conducts"),
    ("skin-only", "only the skin conducts"),
)
OPTIONS = tuple(typed for typed, _ in CHOICES)

CONTACT = 0.99
"""Chance that the tips make contact in a scratch through to metal. From memory."""

FOIL = 0.10
"""Chance that a scratch in what is no metal meets some: foil, wire, inserts, soot-filled rubber. From memory."""

BARE_STUFF = 0.95
"""Least chance that the skin insulates on what is no metal, where the material may be either. From memory."""


def parse(typed: str) -> Answer:
    """both, scratch-only, neither or skin-only."""
    return choose_for(NAME, typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """The four answers; none for a board, which holds both and tells nothing."""
    return () if value_of(others, "form") == "board" else named_outcomes(NAME, OPTIONS)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Chance of the answer from a part of that material; over the four they sum to 1."""
    return _said(material.core == "", material.iacs_low > 0.0, material.insulates)[str(answer.value)]


@lru_cache(maxsize=256)
def _said(varies: bool, metal: bool, insulates: float) -> Chances:
    if not varies:
        return with_slips(_found(CONTACT if metal else FOIL, insulates), SLIP)
    both = ((0.5, _found(CONTACT, insulates)), (0.5, _found(FOIL, max(insulates, BARE_STUFF))))
    return with_slips(mixed(both), SLIP)


def _found(inside: float, insulates: float) -> Chances:
    """By the chances that the scratch conducts and that the skin does not."""
    on = 1.0 - insulates
    return row(OPTIONS, on * inside, insulates * inside, insulates * (1.0 - inside), on * (1.0 - inside))


CHECK = Check(
    name=NAME,
    question="Does an ohm meter find metal: on the skin, in a scratch?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=1.5,
    how="With the part out of every circuit and the meter on ohms, touch both tips to the skin, a finger apart, then "
    "to a filed scratch. Under a few ohms is conducting. Eyes covered when filing.",
    limits="All bare metals conduct, so it tells no metal from another: it tells lacquered wire, paint, anodising and "
    "chromed plastic.",
    source="common practice, no source; rates from memory",
    trust="M",
    cautions=("filing",),
    slip=SLIP,
    acts=("handle", "file"),
    tool="meter",
    choices=CHOICES,
    reads=("form",),
)
