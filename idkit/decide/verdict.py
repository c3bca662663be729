"""Chances to a verdict: likely set, pile, sure or not, and the check that would settle most."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from idkit.decide.asking import Allowed, next_check
from idkit.decide.contradictions import contradictions
from idkit.decide.known import SURE, Known
from idkit.decide.reasons import confirm_line, confirm_pile, reasons
from idkit.decide.tables import form_of
from idkit.vocabulary import Answer, Caution, Evidence, Verdict

CautionsOf = Callable[[Sequence[str], str | None], tuple[Caution, ...]]
WORTH_A_WARNING = 0.05  # chance of a material from which its cautions are shown; from memory


def decide(
    evidence: Evidence,
    known: Known,
    cautions_of: CautionsOf,
    *,
    allowed: Allowed = Allowed(),  # noqa: B008 (frozen)
    owes: Sequence[str] = (),
) -> Verdict:
    """The verdict on one part. `cautions_of` comes from the facts, bound to what is known of the part.

    `allowed` says which checks may be proposed; `owes` are those that it is never sure without, where they are allowed.
    """
    contrary = contradictions(known.said_alone(evidence))
    if doubt := known.doubt(evidence):
        harmed = [name for name, check in known.checks.items() if not known.tables.outcomes(check, evidence.answers)]
        allowed = replace(allowed, forbidden={*allowed.forbidden, *harmed})
        evidence = replace(evidence, answers={**evidence.answers, "form": Answer("form", "unknown")})
        contrary = (*contrary, doubt)
    form, materials, each = form_of(evidence.answers), known.materials, known.factors(evidence)
    found, piles = known.chances(evidence), known.piles(evidence.answers)
    likely = known.likely(found, evidence)
    owed = [check.name for check in allowed.of(known, evidence) if check.name in owes]
    sure = not owed and not contrary and known.is_sure(evidence)
    ask = None if sure else next_check(known, evidence, allowed, owed)
    order = np.argsort(-found, kind="stable").tolist()
    first = order[0]
    measured = "thickness" in evidence.answers
    across = measured and any(piles.shares[i].max() < SURE for i in likely)  # as a range that goes over a line
    one_pile = len({piles.named[i].category.id for i in likely}) == 1 and not across
    rival = next((i for i in order if piles.named[i].category.id != piles.named[first].category.id), order[1])
    by_pile = piles.chances(found)
    warned = [materials[i].id for i in order if i in likely and (i == first or found[i] >= WORTH_A_WARNING)]
    return Verdict(
        chances={materials[i].id: float(found[i]) for i in order},
        likely=tuple(materials[i].id for i in order if i in likely),
        sure=sure,
        unlike_known=evidence.photo is not None and evidence.photo.unlike,
        simulated=evidence.photo is not None and evidence.photo.simulated,
        pile=piles.named[first] if one_pile else None,
        piles={piles.ids[i]: float(by_pile[i]) for i in np.argsort(-by_pile, kind="stable")},
        reasons=(*reasons(evidence, materials, found, each), *contrary),
        next_check=ask,
        cautions=cautions_of(warned, ask.check if ask else None),
        confirm=confirm_pile(piles.named[first])
        if form.category
        else confirm_line([materials[first], materials[rival]], piles.named[first], one_pile=one_pile, sure=sure),
    )
