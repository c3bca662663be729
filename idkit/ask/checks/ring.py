"""Ring: does it ring when struck, or give a dull sound? A weak hint."""

from __future__ import annotations

from idkit.ask.checks.form import COMPOUND
from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import choose_for, row, with_slips
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "ring", 0.12
CHOICES = (("rings", "it rings"), ("dull", "a dull sound"))
OPTIONS = tuple(typed for typed, _ in CHOICES)


def parse(typed: str) -> Answer:
    """rings or dull."""
    return choose_for(NAME, typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """Both answers; none for what is not one piece, nor wound, nor covered: nothing there can ring."""
    return () if value_of(others, "form") in COMPOUND else named_outcomes(NAME, OPTIONS)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the answer from a part of that material; what is attached damps it. The two sum to 1."""
    damped = 0.6 if value_of(others, "attached") not in (None, "none") else 1.0
    rings = damped * material.rings
    return with_slips(row(OPTIONS, rings, 1.0 - rings), SLIP)[str(answer.value)]


CHECK = Check(
    name=NAME,
    question="Does it ring when struck?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.3,
    how="Hang it by a thread or balance it on a fingertip, tap it with something small and hard, and listen. Strike no "
    "glass, thin casting or anything closed.",
    limits="A hint only: the shape counts for more than the metal; lead, plastics and rubber never ring, zinc, grey "
    "iron and magnesium seldom, steel, brass and bronze mostly.",
    source="damping of grey iron, magnesium and lead: common practice, no source; rates from memory",
    trust="M",
    slip=SLIP,
    acts=("handle", "strike"),
    tool="light hammer",
    choices=CHOICES,
    reads=("form", "attached"),
)
