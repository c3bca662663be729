"""Which piles a material may go on, as far as what is known decides it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from idkit.vocabulary import Answer, Answers, Check, Floats, Material, Pile

PileOf = Callable[[str, Answers], Pile]


@dataclass(frozen=True)
class Piles:
    """Shares of the piles, materials x piles, each row summing to 1; `named` is the likeliest pile of each material."""

    ids: tuple[str, ...]
    shares: Floats
    named: tuple[Pile, ...]

    def chances(self, found: Floats) -> Floats:
        """Chance of each pile."""
        return np.asarray(found @ self.shares)


def piles_for(
    materials: Sequence[Material], answers: Answers, checks: Mapping[str, Check], pile_of: PileOf, *, open_line: bool
) -> Piles:
    """Every material's piles. Where the thickness is known as a range, or was not measured and `open_line` holds, a
    material that goes on one pile at its thinnest and on another at its thickest is shared out by how thick such parts
    are."""
    bins = checks["thickness"].outcomes(answers) if open_line or "thickness" in answers else ()
    named = tuple(pile_of(material.id, answers) for material in materials)
    rows: list[dict[str, float]] = []
    for material, known in zip(materials, named, strict=True):
        ends = {pile_of(material.id, _with(answers, each.answer)).category.id for each in (*bins[:1], *bins[-1:])}
        if len(ends) < 2:
            rows.append({known.category.id: 1.0})
            continue
        by_bin = [pile_of(material.id, _with(answers, each.answer)).category.id for each in bins]
        row: dict[str, float] = {}
        for pile, each in zip(by_bin, bins, strict=True):
            chance = checks["thickness"].likelihood(material, each.answer, answers) * each.width
            row[pile] = row.get(pile, 0.0) + chance
        rows.append({pile: share / sum(row.values()) for pile, share in row.items()})
    ids = tuple(dict.fromkeys(pile for row in rows for pile in row))
    shares = np.array([[row.get(pile, 0.0) for pile in ids] for row in rows])
    return Piles(ids, shares, named)


def _with(answers: Answers, answer: Answer) -> Answers:
    return {**answers, answer.check: answer}
