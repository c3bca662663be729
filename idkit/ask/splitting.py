"""What a check can't split: look-alikes that give nearly the same answers."""

from __future__ import annotations

from collections.abc import Mapping

from idkit import facts
from idkit.ask.answers import read
from idkit.vocabulary import Answers, Check, Material, Outcome

ALIKE = 0.1
"""Total variation distance below which two materials count as not told apart: the best guess between the two from one
answer is then right at most 55 times in 100."""

BEFORE: tuple[Mapping[str, str], ...] = ({}, {"magnet": "strong"}, {"weight": "1 kg"})
"""What some checks need answered before they can be made; the first that does is taken."""


def cannot_split(check: Check) -> tuple[tuple[str, str], ...]:
    """Pairs of look-alikes whose answers differ by a total variation under ALIKE; none for what is only noted.

    Pairs on different piles come first.

    >>> from idkit.ask.checks import CHECKS
    >>> ("aluminium-cast", "zinc-die-cast") in cannot_split(CHECKS["magnet"])
    True
    >>> ("aluminium-cast", "zinc-die-cast") in cannot_split(CHECKS["weight-in-water"])
    False
    """
    outcomes, others = _planned(check)
    if not outcomes:
        return ()
    rows = {each.id: _row(check, each, outcomes, others) for each in facts.materials().values()}
    return tuple((one, other) for one, other in _pairs() if _apart(rows[one], rows[other]) < ALIKE)


def _planned(check: Check) -> tuple[tuple[Outcome, ...], Answers]:
    """The outcomes of a check, and the least that must be answered before it can be made."""
    for typed in BEFORE:
        others = read(typed)
        if check.asked and check.name not in others and (outcomes := check.outcomes(others)):
            return outcomes, others
    return (), {}


def _row(check: Check, material: Material, outcomes: tuple[Outcome, ...], others: Answers) -> tuple[float, ...]:
    return tuple(check.likelihood(material, each.answer, others) * each.width for each in outcomes)


def _apart(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """Total variation distance: half the sum of differences, 0 to 1."""
    return 0.5 * sum(abs(p - q) for p, q in zip(one, other, strict=True))


def _pairs() -> list[tuple[str, str]]:
    """Look-alikes, each pair once: those on different piles first, then in the order of the alphabet."""
    known = facts.materials()
    pairs = [(id, other) for id in sorted(known) for other in sorted(known[id].look_alikes) if id < other]
    pile = {id: facts.category_of(id, None, None, None).category.id for id in known}
    return sorted(pairs, key=lambda pair: pile[pair[0]] == pile[pair[1]])
