"""Floats: does it float in water? Some plastics do, and what is closed and hollow.

One sense with the other ways to density: where the part was weighed in water or measured, it adds nothing.
"""

from __future__ import annotations

from functools import lru_cache

from idkit.ask.apparent import DENSITY, apparent
from idkit.ask.checks.form import COMPOUND
from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import YES_NO, row, with_slips, yes_or_no
from idkit.ask.water import ROOM, water_density
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "floats", 0.01


def parse(typed: str) -> Answer:
    """yes or no."""
    return yes_or_no(NAME, typed)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """Both answers; none for a part made of several materials or one that water harms."""
    return () if value_of(others, "form") in COMPOUND else named_outcomes(NAME, YES_NO)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the answer from a part of that material, hollow or with things on it or not; the two sum to 1."""
    if "weight-in-water" in others or "size" in others:
        return 1.0 / len(YES_NO)
    of_part = (material.density_low, material.density_typical, material.density_high)
    lighter = _lighter(*of_part, value_of(others, "hollow"), value_of(others, "attached"))
    return with_slips(row(YES_NO, lighter, 1.0 - lighter), SLIP)[str(answer.value)]


@lru_cache(maxsize=1024)
def _lighter(low: float, typical: float, high: float, hollow: str | None, attached: str | None) -> float:
    """Chance that such a part is lighter than the water it displaces, at 20 °C."""
    chances = apparent(low, typical, high, hollow, attached)
    return min(1.0, float(chances[water_density(ROOM) > DENSITY].sum()))


CHECK = Check(
    name=NAME,
    question="Does it float in water?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=1.0,
    how="Push it wholly under water in a bucket, let the air out of every opening, and let go. Never what holds a "
    "battery, a board or a motor; dry it after.",
    limits="No solid metal floats, so it parts plastics from metal only; many plastics sink, and a closed hollow part "
    "of any metal may float.",
    source="densities from the materials table; voids from memory",
    trust="M",
    cautions=("water-electrical",),
    slip=SLIP,
    acts=("handle", "wet"),
    choices=(("yes", "it floats"), ("no", "it sinks")),
    reads=("form", "weight-in-water", "size", "hollow", "attached"),
    replaces=("heft",),
)
