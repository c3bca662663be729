"""Inside: where the part was cut or filed deep, is the metal under the skin the same or different?"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from idkit.ask.checks.form import COMPOUND
from idkit.ask.choices import choose, named_outcomes, value_of
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

OPTIONS = ("same", "different")

DIFFERENT: Mapping[str, float] = MappingProxyType(
    {"": 0.05, "chrome": 0.90, "copper": 0.92, "brass": 0.90, "enamel": 0.85, "tin": 0.80, "zinc": 0.70}
)
"""Chance that a person sees another metal under each skin: grey on grey is missed more often. From memory."""


def parse(typed: str) -> Answer:
    """same or different."""
    return choose("inside", typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """Both answers; none for a part that is not one piece, or must not be cut open."""
    cut = value_of(others, "form") not in COMPOUND - {"cable"}
    return named_outcomes("inside", OPTIONS) if cut else ()


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the answer from a part of that material; the two sum to 1.

    A cut end says what is inside and more: where it was looked at, this adds nothing.
    """
    if "cut-end" in others:
        return 1.0 / len(OPTIONS)
    different = DIFFERENT.get(material.skin, DIFFERENT["chrome"])
    return different if answer.value == "different" else 1.0 - different


CHECK = Check(
    name="inside",
    question="Cut or filed deep: is it the same metal inside?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=2.0,
    how="Snip an end or file a deep notch in a hidden edge, and compare the core with the skin. Wear eye protection.",
    limits="Zinc on steel and tin on copper are thin and easily missed; never cut anything sealed or under pressure.",
    source="common practice, no source; rates from memory",
    trust="M",
    cautions=("filing",),
    slip=0.05,
    acts=("handle", "file", "cut"),
    choices=(("same", "the same all through"), ("different", "another metal inside")),
    reads=("form", "cut-end"),
)
