"""Hollow: is there a closed space inside that water can't fill?

Context: it says how far a weight in water may read low, and tells no metal by itself.
"""

from __future__ import annotations

from idkit.ask.choices import UNINFORMATIVE, choose, no_outcomes
from idkit.vocabulary import Answer, Answers, Check, Material


def parse(typed: str) -> Answer:
    """yes or no."""
    return choose("hollow", {"y": "yes", "n": "no"}.get(typed.strip().lower(), typed), ("yes", "no"))


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material: it matters only to the weight in water."""
    return UNINFORMATIVE


CHECK = Check(
    name="hollow",
    question="Is it hollow and closed, so that water can't get in?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=0.3,
    how="Tap it, shake it, look for plugs and seams. An open tube or cup that fills with water is not hollow here.",
    limits="A closed hollow part reads too light in water, never too heavy.",
    source="one part in ten holds a closed void: from memory",
    trust="M",
    asked=False,
)
