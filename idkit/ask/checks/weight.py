"""Weight: the mass of the part, dry.

Context: alone it tells no metal; with the jar or the hung weight it makes the weight in water.
"""

from __future__ import annotations

from idkit.ask.amounts import parse_mass
from idkit.ask.choices import UNINFORMATIVE, no_outcomes
from idkit.ask.water import reading_uncertainty
from idkit.vocabulary import Amount, Answer, Answers, Check, Material


def parse(typed: str) -> Answer:
    """A mass in kg, with the uncertainty of one reading."""
    return of_amount(parse_mass(typed, "--weight"))


def of_amount(amount: Amount) -> Answer:
    """The same from a weight that was read before, its scale's step in it."""
    return Answer("weight", amount.value, "kg", reading_uncertainty(amount), amount.typed)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material."""
    return UNINFORMATIVE


CHECK = Check(
    name="weight",
    question="What does it weigh, dry?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=0.4,
    how="Weigh it dry and type every digit the scale shows: the last one tells how fine the scale is, unless --scale "
    "says. Large things: '82.4 kg - 80.1 kg', you with it less you alone.",
    limits="Tells no metal by itself.",
    source="common practice, no source",
    trust="C",
    asked=False,
    acts=("handle",),
)
