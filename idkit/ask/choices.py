"""Answers chosen from a few names, and the refusal that lists them."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Answers, Outcome

LONGEST = 60  # characters of a wrong answer that are repeated
UNINFORMATIVE = 0.5  # the likelihood of context: the same for every material, so it moves no chance


def choose(check: str, typed: str, options: Iterable[str], before: str = "") -> Answer:
    """The option a person typed; capitals, spaces and underscores don't matter.

    `before` is what stands before it on the command line, `--check ` where nothing is given.

    >>> choose("magnet", " In places ", ("none", "in-places")).value
    'in-places'
    """
    names = tuple(options)
    name = "-".join(typed.lower().replace("gray", "grey").replace("_", " ").replace("-", " ").split())
    if name not in names:
        before = before or f"--{check} "
        shown = typed if len(typed) <= LONGEST else typed[:LONGEST] + "..."
        raise AnswerError(before.rstrip(" ="), f"got {shown!r}", listed(names), nearest(name, names, before))
    return Answer(check, name, typed=typed)


def nearest(name: str, names: Iterable[str], before: str = "") -> str:
    """What to try instead, or nothing where no name is near.

    >>> nearest("magnt", ("magnet", "form"))
    'did you mean magnet?'
    """
    close = get_close_matches(name, list(names), n=1)
    return f"did you mean {before}{close[0]}?" if close else ""


def listed(names: Iterable[str]) -> str:
    """Names as a sentence has them.

    >>> listed(("none", "weak", "strong"))
    'none, weak or strong'
    """
    *first, last = names
    return f"{', '.join(first)} or {last}" if first else last


def value_of(answers: Answers, check: str) -> str | None:
    """The named answer to another check, None where it was not answered."""
    answer = answers.get(check)
    return answer.value if answer is not None and isinstance(answer.value, str) else None


def named_outcomes(check: str, options: Iterable[str]) -> tuple[Outcome, ...]:
    """One outcome for each name."""
    return tuple(Outcome(Answer(check, name)) for name in options)


def no_outcomes(_: Answers) -> tuple[Outcome, ...]:
    """Context is stated, never reckoned with beforehand."""
    return ()
