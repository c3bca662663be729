"""Marked: which letters or numbers stand on the part, and on which piece of it?

Built as what the part came out of: P(mark | material) is a share of the parts that carry a known mark, spread over the
marks in proportion to weights. That most parts carry none, or one that is not known, is as likely for every material
and moves no chance. A mark on a screw, cap or label says what is attached, and nothing of the part.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from types import MappingProxyType

from idkit import facts
from idkit.ask.choices import named_outcomes, value_of
from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Answers, Check, Mark, Material, Outcome

NAME = "marked"
UNKNOWN = "unknown"

NO_KNOWN_MARK = 0.9
"""Chance that a part carries no mark that is known, whatever its material. From memory."""

NAMED = 60.0
"""How much likelier a mark is on a material it names than on another: misread, or a mark of something else. From
memory."""

FASTENER_STANDARDS = ("ISO 3506-1", "ISO 898-1")
"""Their marks stand on screws, bolts and nuts alone."""

MAY_BE_A_FASTENER = (None, "unknown", "fastener")
"""Forms of a part that may be one."""


def parse(typed: str) -> Answer:
    """The first known mark on the body of the part, or unknown; the words themselves are kept.

    A mark of screws where no piece is named comes after others. A mark's id is read too.

    >>> [parse(text).value for text in ("A2-70 on the screw, ZP5 (body)", "8.8 bolt", "8.8", "4711")]
    ['en-zinc', 'unknown', 'iso-steel-fastener', 'unknown']
    """
    if not typed.strip():
        example = "such as 'ZP5 on the body' or 'A2-70 on the screw', or leave it out"
        raise AnswerError(f"--{NAME}", f"got {typed!r}", "the letters and numbers, and on which piece", example)
    if typed.strip().lower() in facts.marks():
        return Answer(NAME, typed.strip().lower(), typed=typed)
    on_body = [found.mark for found in facts.marks_in(typed) if found.place == "body"]
    first = min(on_body, key=_of_fasteners, default=None)
    return Answer(NAME, first.id if first else UNKNOWN, typed=typed)


def outcomes(others: Answers) -> tuple[Outcome, ...]:  # noqa: ARG001
    """Every mark, and unknown."""
    return _outcomes()


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the mark from a part of that material; over all marks and unknown it sums to 1.

    On a part that is said not to be a fastener, a fastener's mark is as likely whatever the material.
    """
    form = value_of(others, "form")
    mark = str(answer.value) if answer.value != UNKNOWN else _on_a_fastener(answer.typed, form)
    return _chances(facts.kin(material.id), form in MAY_BE_A_FASTENER)[mark]


def bearing(answer: Answer, answers: Answers) -> Answer:
    """The answer once the form is known too: a fastener's marks bear on fasteners alone, wherever they stand there.

    >>> form = Answer("form", "fastener")
    >>> bearing(parse("8.8 bolt"), {"form": form}).value
    'iso-steel-fastener'
    """
    form = value_of(answers, "form")
    mark = facts.marks().get(str(answer.value))
    if mark is None:
        return replace(answer, value=_on_a_fastener(answer.typed, form))
    return replace(answer, value=UNKNOWN) if _of_fasteners(mark) and form not in MAY_BE_A_FASTENER else answer


def _on_a_fastener(typed: str, form: str | None) -> str:
    """The first mark on a piece that is a fastener, where the part is one."""
    found = facts.marks_in(typed) if form == "fastener" else ()
    return next((each.mark.id for each in found if each.place == "fastener"), UNKNOWN)


def _of_fasteners(mark: Mark) -> bool:
    return mark.standard.startswith(FASTENER_STANDARDS)


@cache
def _outcomes() -> tuple[Outcome, ...]:
    return named_outcomes(NAME, (*facts.marks(), UNKNOWN))


@cache
def _chances(material: str, of_a_screw: bool) -> Mapping[str, float]:
    """P(mark | material) by id. What bears on no material has the same share for each."""
    known = facts.marks()
    each = (1.0 - NO_KNOWN_MARK) / len(known)
    found = {mark.id: each for mark in known.values() if _of_fasteners(mark) and not of_a_screw}
    weights = {mark.id: NAMED if material in mark.materials else 1.0 for mark in known.values() if mark.id not in found}
    share = each * len(weights) / sum(weights.values())
    found |= {name: share * weight for name, weight in weights.items()}
    return MappingProxyType(found | {UNKNOWN: NO_KNOWN_MARK})


CHECK = Check(
    name=NAME,
    question="Any letters or numbers on it?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.4,
    how="Look for cast, stamped or printed letters, with a lamp held low; say on which piece, such as 'ZP5 on the "
    "body' or 'A2-70 on the screw'.",
    limits="A mark on a screw, cap or label says what is attached, not what the part is; part numbers and makers' "
    "names change nothing; where several are on the body, the first counts.",
    source="designations of the standards that the table of marks names, from memory; rates from memory",
    trust="M",
    slip=0.02,
    acts=("handle",),
    reads=("form",),
)
