"""Which pile a material goes on, by what was answered."""

from __future__ import annotations

from idkit import facts
from idkit.vocabulary import Answers, Pile


def pile_of(material: str, answers: Answers) -> Pile:
    """The pile of a part of that material with these answers on form, thickness and what is still on it."""
    thickness = float(answers["thickness"].value) if "thickness" in answers else None
    form, attached = (str(answers[name].value) if name in answers else None for name in ("form", "attached"))
    return facts.category_of(material, form, thickness, attached)
