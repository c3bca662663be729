"""Hung: what the part weighs hung from the scale, under water.

Context: counted once, as part of the weight in water.
"""

from __future__ import annotations

from idkit.ask.amounts import parse_mass
from idkit.ask.choices import UNINFORMATIVE, no_outcomes
from idkit.ask.water import reading_uncertainty
from idkit.vocabulary import Amount, Answer, Answers, Check, Material


def parse(typed: str) -> Answer:
    """A mass in kg, with the uncertainty of one reading."""
    return of_amount(parse_mass(typed, "--hung"))


def of_amount(amount: Amount) -> Answer:
    """The same from a weight that was read before, its scale's step in it."""
    return Answer("hung", amount.value, "kg", reading_uncertainty(amount), amount.typed)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material: the weight in water holds what it tells."""
    return UNINFORMATIVE


CHECK = Check(
    name="hung",
    question="What does it weigh hung from the scale, under water?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=2.0,
    how="Hang the part from a luggage or fish scale by a thread, lower it wholly under water, touching nothing.",
    limits="Needs the dry weight too, from the same scale.",
    source="GSU HyperPhysics, buoyancy; ASTM B311 section 4 by its scope",
    trust="V",
    asked=False,
    acts=("handle", "wet"),
)
