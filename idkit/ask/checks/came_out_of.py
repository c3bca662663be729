"""Came out of: which object was the part in, and what was it there?

By Bayes' theorem what counts is P(origin | material). A row of objects.csv says how much more often a material is met
in such a part than one it does not name, which is P(material | origin) / P(material) up to a factor for the row: a
lift. Shared out over the origins for each material by itself, lifts give P(origin | material), and a metal that turns
up in everything (steel) is told less by any one origin than a metal that turns up in few. That sharpens weights of 1 to
20 up to some 90 to 1, more than memory is good for: they are tempered, so that no origin parts two materials by more
than 20 to 1. Words that are not known come as often from every material, so no match moves no chance.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from idkit import facts
from idkit.ask.choices import named_outcomes
from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME = "came-out-of"
UNKNOWN = "unknown"

NO_MATCH = 0.3
"""Chance that what a person writes is in no row, whatever the material. From memory."""

TEMPER = 2.0 / 3.0
"""Exponent of the weights: 1 takes them as they are, 0 takes no notice of them. From memory."""


def parse(typed: str) -> Answer:
    """The origin whose words fit best, or unknown; the words themselves are kept. An origin's id is read too.

    >>> parse("old kitchen faucet").value, parse("gubbins").value
    ('kitchen-tap', 'unknown')
    """
    words = " ".join(typed.split())
    if not words:
        example = "such as 'kitchen tap handle', or leave it out"
        raise AnswerError(f"--{NAME}", f"got {typed!r}", "the object, and what the part was there", example)
    if words.lower() in facts.origins():
        return Answer(NAME, words.lower(), typed=typed)
    origin = facts.origin_of(words)
    return Answer(NAME, origin.id if origin else UNKNOWN, typed=typed)


def outcomes(others: Answers) -> tuple[Outcome, ...]:  # noqa: ARG001
    """Every origin, and unknown."""
    return _outcomes()


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Chance of the origin from a part of that material: see above. Over all origins and unknown it sums to 1."""
    return _chances(facts.kin(material.id))[str(answer.value)]


@cache
def _outcomes() -> tuple[Outcome, ...]:
    return named_outcomes(NAME, (*facts.origins(), UNKNOWN))


@cache
def _chances(material: str) -> Mapping[str, float]:
    lifts = {name: origin.likely.get(material, 1.0) ** TEMPER for name, origin in facts.origins().items()}
    share = (1.0 - NO_MATCH) / sum(lifts.values())
    return MappingProxyType({name: share * lift for name, lift in lifts.items()} | {UNKNOWN: NO_MATCH})


CHECK = Check(
    name=NAME,
    question="What did it come out of?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.3,
    how="Name the object and what the part was in it, such as 'kitchen tap handle' or 'washing machine drum'.",
    limits="It narrows and never settles alone: the same part is made of several metals. Words that are not known "
    "change nothing.",
    source="objects: common practice; weights and the share of unknown words from memory",
    trust="M",
    slip=0.05,
)
