"""Do not: what is left closed, whole or dry, held against all that is known of a part before any check is proposed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from idkit.facts.forms import form as known_form
from idkit.facts.forms import forms
from idkit.facts.phrases import ends_with, has, plain, without
from idkit.facts.tables import Row, members, names, refuse, rows_of, text, trust
from idkit.vocabulary import ACTS, Danger

COLUMNS = ("id", "message", "who", "words", "forms", "called", "unless", "forbids", "source", "trust")

DOUBTS = ("no", "not", "nothing", "missing", "never", "unsure", "maybe", "perhaps", "doesn't", "isn't", "can't", "gone")
"""Words beside a lifting one that leave the danger standing: 'it does not say No PCBs'."""


@cache
def dangers() -> Mapping[str, Danger]:
    """Every row of do-not.csv by id, the gravest first."""
    return read_dangers()


def read_dangers(path: Path | None = None) -> Mapping[str, Danger]:
    """The same from another file."""
    return members(rows_of("do-not.csv", COLUMNS, path), _danger)


def dangers_of(form: str | None = None, said: str = "") -> tuple[Danger, ...]:
    """The rows that are met by the form or by a word of what was said: came out of, marks, notes, what is still on it.

    >>> [danger.id for danger in dangers_of(said="an old lamp ballast")]
    ['pcb-oil']
    >>> dangers_of(said="ballast, marked No PCBs")
    ()
    """
    if form:
        known_form(form)
    words = plain(said)
    return tuple(danger for danger in dangers().values() if _met(danger, form, words) and not _lifted(danger, words))


def _met(danger: Danger, form: str | None, words: str) -> bool:
    """Whether its form or one of its words is there, what is only called alike aside."""
    rest = without(words, danger.called)
    return form in danger.forms or any(has(rest, word) for word in danger.words)


def _lifted(danger: Danger, words: str) -> bool:
    """Whether what lifts it ends a clause, and nothing stands beside it that turns it round or doubts it.

    'Battery out' lifts; 'battery out of the charger' says something else.
    """
    found = [word for word in danger.unless if ends_with(words, word)]
    rest = without(words, found)
    return bool(found) and not any(has(rest, doubt) for doubt in DOUBTS) and "?" not in rest


def _danger(row: Row) -> Danger:
    if not (row.values["words"] or row.values["forms"]):
        refuse(row, "words", "a word or a form, or the row is never met")
    return Danger(
        id=text(row, "id"),
        message=text(row, "message"),
        who=text(row, "who"),
        words=names(row, "words"),
        forms=names(row, "forms", forms()),
        called=names(row, "called"),
        unless=names(row, "unless"),
        forbids=names(row, "forbids", ACTS) or (refuse(row, "forbids", f"one or more of {', '.join(ACTS)}"),),
        source=text(row, "source"),
        trust=trust(row),
    )
