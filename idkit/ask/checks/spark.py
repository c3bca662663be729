"""Spark: which sparks does a grinder throw? For what a magnet grips: it parts steel from cast iron and stainless."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from idkit.ask.checks.form import COMPOUND
from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import Chances, choose_for, even, row, with_slips
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "spark", 0.08
CHOICES = (
    ("long-white", "long, white, bursting"),
    ("short-red", "short and red"),
    ("few", "few, straw yellow"),
    ("none", "no sparks"),
)
OPTIONS = tuple(typed for typed, _ in CHOICES)

THROWN: Mapping[str, Chances] = MappingProxyType(
    {
        "long-white": row(OPTIONS, 0.93, 0.01, 0.06, 0.0),
        "short-red": row(OPTIONS, 0.06, 0.82, 0.12, 0.0),
        "few": row(OPTIONS, 0.16, 0.08, 0.76, 0.0),
        "none": row(OPTIONS, 0.0, 0.0, 0.01, 0.99),
        "": even(OPTIONS),
    }
)
"""What a careful eye says of each kind of stream; a magnet grips some stainless, whose stream is shorter and straw.
Streams: US Army OD1643 lesson 1; rates from memory."""


def parse(typed: str) -> Answer:
    """long-white, short-red, few or none."""
    return choose_for(NAME, typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """The four answers, where the magnet pulled strongly on one solid piece: nothing else is worth the grinder."""
    solid = value_of(others, "form") not in COMPOUND
    return named_outcomes(NAME, OPTIONS) if solid and value_of(others, "magnet") == "strong" else ()


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Chance of the answer from a part of that material; over the four they sum to 1."""
    return _said(material.spark)[str(answer.value)]


@lru_cache(maxsize=8)
def _said(kind: str) -> Chances:
    return with_slips(THROWN[kind], SLIP)


CHECK = Check(
    name=NAME,
    question="Which sparks does a grinder throw?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=3.0,
    how="Touch it lightly to the wheel before a dark ground, beside a nail for comparison. Face shield on, nothing "
    "that burns near; never grind aluminium, magnesium or anything plated, oily or closed.",
    limits="Only for what a magnet grips; the skins on steel don't show, hard and soft steel look much alike, and "
    "light pressure shortens every stream.",
    source="streams of steel and cast iron: US Army OD1643 lesson 1; stainless, nickel and rates from memory",
    trust="M",
    cautions=("filing",),
    slip=SLIP,
    acts=("handle", "grind"),
    tool="grinder",
    choices=CHOICES,
    reads=("form", "magnet"),
)
