"""Scale: the step of the scale that all weights of the part were read from.

Context: a weight carries the coarser of this step and the last digit typed, and that reaches the weight in water.
"""

from __future__ import annotations

from math import sqrt

from idkit.ask.amounts import parse_mass
from idkit.ask.choices import UNINFORMATIVE, no_outcomes
from idkit.vocabulary import Answer, Answers, Check, Material


def parse(typed: str) -> Answer:
    """A mass in kg: the smallest step the scale shows. A name before it, as in 'kitchen: 1 g', is kept as typed."""
    amount = parse_mass(typed.rpartition(":")[2], "--scale")
    return Answer("scale", amount.value, "kg", amount.value / sqrt(12.0), typed)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material: the weights hold what it tells."""
    return UNINFORMATIVE


CHECK = Check(
    name="scale",
    question="What step does your scale weigh in?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=0.1,
    how="Watch the last digit while you add something light: 1 g, 5 g, 0.1 lb. A saved scale goes by its name.",
    limits="Tells no metal by itself; a worn or cheap scale repeats worse than its step.",
    source="common practice, no source",
    trust="C",
    asked=False,
)
