"""Dulls: does a fresh scrape go dull within minutes? Lead does."""

from __future__ import annotations

from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import YES_NO, row, with_slips, yes_or_no
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "dulls", 0.04


def parse(typed: str) -> Answer:
    """yes or no."""
    return yes_or_no(NAME, typed)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """Both answers; none for a board, which has no bare metal of its own to scrape."""
    return () if value_of(others, "form") == "board" else named_outcomes(NAME, YES_NO)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Chance of the answer from a part of that material; the two sum to 1."""
    return with_slips(row(YES_NO, material.dulls, 1.0 - material.dulls), SLIP)[str(answer.value)]


CHECK = Check(
    name=NAME,
    question="Does a fresh scrape go dull within minutes?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=5.0,
    how="Scrape a spot bright, scrape a second one five minutes later and compare the two. Don't breathe the dust; it "
    "may be lead: wash your hands before you eat or smoke.",
    limits="Singles out lead; zinc and magnesium take hours or days, and dry air slows lead down.",
    source="lead bright when cut, then dull: US Army OD1643 lesson 1; within minutes and rates: from memory",
    trust="M",
    cautions=("filing",),
    slip=SLIP,
    acts=("handle", "file"),
    choices=(("yes", "dull within minutes"), ("no", "stays bright")),
    reads=("form",),
)
