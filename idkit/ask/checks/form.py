"""Form: what shape of thing the part is.

It enters by the prior, prior(m given form), and decides some piles outright; so it is context here, with the same
likelihood for every material, or it would count twice.
"""

from __future__ import annotations

from idkit import facts
from idkit.ask.choices import UNINFORMATIVE, choose, no_outcomes
from idkit.vocabulary import Answer, Answers, Check, Material

COMPOUND = frozenset({"board", "motor", "sealed-unit", "cable", "assembly"})
"""Forms made of several materials: their weight in water names none, and water does them harm."""


def parse(typed: str) -> Answer:
    """One of the forms of forms.csv."""
    return choose("form", typed, facts.forms())


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material: the form enters by the prior."""
    return UNINFORMATIVE


SHORT = 44  # characters of the words beside a key


def _choices() -> tuple[tuple[str, str], ...]:
    """Every form but 'unknown', which Enter says, with the first words of its looks."""
    known = (form for form in facts.forms().values() if form.id != "unknown")
    return tuple((form.id, f"{form.id.replace('-', ' ')}: {_short(form.looks)}") for form in known)


def _short(looks: str) -> str:
    """The first clauses, as far as they go beside a key."""
    clauses = looks.split(",")
    while len(clauses) > 1 and len(",".join(clauses)) > SHORT:
        clauses.pop()
    return ",".join(clauses)


CHECK = Check(
    name="form",
    question="What shape of thing is it?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=0.1,
    how="Pick the form that fits best: how it was made shows in its skin, its edges and an even or changing section.",
    limits="Shifts the first guess mildly and never rules a metal out; 'unknown' is a fair answer.",
    source="common practice, no source",
    trust="C",
    asked=False,
    choices=_choices(),
)
