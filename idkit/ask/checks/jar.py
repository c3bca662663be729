"""Jar: what a tared jar of water gains when the part hangs in it, which is the buoyancy.

Context: counted once, as part of the weight in water.
"""

from __future__ import annotations

from math import sqrt

from idkit.ask.amounts import parse_mass
from idkit.ask.choices import UNINFORMATIVE, no_outcomes
from idkit.ask.water import reading_uncertainty
from idkit.vocabulary import Amount, Answer, Answers, Check, Material


def parse(typed: str) -> Answer:
    """A mass in kg, with the uncertainty of the two readings, empty and with the part."""
    return of_amount(parse_mass(typed, "--jar"))


def of_amount(amount: Amount) -> Answer:
    """The same from a weight that was read before, its scale's step in it."""
    return Answer("jar", amount.value, "kg", sqrt(2.0) * reading_uncertainty(amount), amount.typed)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material: the weight in water holds what it tells."""
    return UNINFORMATIVE


CHECK = Check(
    name="jar",
    question="What does the tared jar of water show with the part hung in it?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=2.0,
    how="Zero the scale with the jar of water on it; hang the part in by a thread, under water, touching nothing.",
    limits="Needs the dry weight too.",
    source="GSU HyperPhysics, buoyancy; ASTM B311 section 4 by its scope",
    trust="V",
    asked=False,
    acts=("handle", "wet"),
)
