"""Which pile a material goes on, by what was answered: everywhere, or at a yard with ways of its own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import isnan

from idkit import facts, yard
from idkit.vocabulary import Answers, Pile, Yard

USUAL = Yard("")
Ways = tuple[float | None, tuple[tuple[str, str], ...]]
"""What a yard does its own way with a part: where thick begins in m, and what it merges."""


def pile_of(material: str, answers: Answers, line: float | None = None) -> Pile:
    """The pile of a part of that material with these answers on form, thickness and what is still on it."""
    thickness = float(answers["thickness"].value) if "thickness" in answers else None
    form, attached = (str(answers[name].value) if name in answers else None for name in ("form", "attached"))
    said = "; ".join(answers[name].typed for name in ("came-out-of", "marked") if name in answers)
    return facts.category_of(material, form, thickness, attached, line, said)


def ways_of(at: Yard) -> Ways:
    """What of a yard's ways bears on piles."""
    return None if isnan(at.thick_from) else at.thick_from, tuple(sorted(at.merged.items()))


def pile_at(ways: Ways) -> Callable[[str, Answers], Pile]:
    """The same at a yard of those ways: by its own line of thickness, and onto what it merges with."""
    line, merged = ways
    at = Yard("", merged=dict(merged))

    def pile(material: str, answers: Answers) -> Pile:
        found = pile_of(material, answers, line)
        other = yard.goes_with(at, found.category.id)
        if other == found.category.id:
            return found
        row = facts.categories()[other]
        return replace(
            found, category=row, reason=f"The yard puts {found.category.name} with {row.name}. {found.reason}"
        )

    return pile
