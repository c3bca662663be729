"""Weight in water: the density of the part, from its weight and its buoyancy.

Closed voids only make a part read low; steel on light metals reads high, plastic on heavy ones low; both are in the
model, as is the scale's step, so a 1 g scale says little of a 50 g part.
"""

from __future__ import annotations

import re
from math import hypot, sqrt

from idkit.ask.apparent import apparent, read_below, seen_as
from idkit.ask.bins import Bin, bins
from idkit.ask.checks.form import COMPOUND
from idkit.ask.choices import value_of
from idkit.ask.water import (
    DENSEST,
    HEAVIEST,
    ROOM,
    density_in_water,
    reading_uncertainty,
    water_density,
)
from idkit.errors import AmountError
from idkit.vocabulary import Amount, Answer, Answers, Check, Material, Outcome

NAME, UNIT = "weight-in-water", "kg/m³"
PLANNED = Amount(0.3, 0.001, "300 g")
"""The part and the scale to reckon with where the weight was not given."""

EDGES = (
    *(100.0, 1000.0, 1300.0, 1600.0, 1740.0, 1880.0, 2200.0, 2550.0, 2650.0, 2750.0, 2900.0, 3200.0, 3800.0, 4300.0),
    *(4750.0, 5500.0, 6100.0, 6350.0, 6550.0, 6750.0, 7050.0, 7350.0, 7600.0, 7780.0, 7950.0, 8150.0, 8350.0, 8500.0),
    *(8650.0, 8800.0, 9000.0, 9400.0, 10500.0, 11100.0, 11700.0, 40000.0),
)
"""kg/m³: bins are narrow where metals crowd and wide where there are none."""

FINEST = 0.002
"""Relative: no bench weighs a density better."""


def measured(mass: Amount, jar: Amount | None, hung: Amount | None) -> Answer:
    """The density in kg/m³ with its standard uncertainty, from the weight and the jar or hung reading or both."""
    density, uncertainty = density_in_water(mass, jar, hung)
    readings = [f"{jar.typed} in the jar"] if jar else []
    readings += [f"{hung.typed} hung"] if hung else []
    return Answer(NAME, density, UNIT, uncertainty, ", ".join([f"{mass.typed} dry", *readings]))


def parse(typed: str) -> Answer:
    """A density that was worked out elsewhere: '8.9 g/cm3' or '8900 kg/m3', uncertain by half its last digit.

    >>> parse("8.93 g/cm3").value
    8930.0
    """
    tidy = typed.lower().replace("³", "3").replace("^", "").replace(",", ".")
    found = re.fullmatch(r"\s*(\d+(?:\.(\d+))?)\s*(g/cm3|g/cc|g/ml|kg/m3)\s*", tidy)
    scale = 1.0 if found and found[3] == "kg/m3" else 1000.0
    density = round(float(found[1]) * scale, 6) if found else 0.0
    if found is None or not 500.0 <= density <= DENSEST:
        option, right = f"--answer {NAME}", f"a density such as '8.9 g/cm3', 500 to {DENSEST:.0f} kg/m³"
        raise AmountError(option, f"got {typed[:40]!r}", right, "or give --weight with --jar or --hung")
    step = scale * 10.0 ** -len(found[2] or "")
    return Answer(NAME, density, UNIT, hypot(step / sqrt(3.0), FINEST * density), typed)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """Bins of density; none for a part made of several materials, one that water harms or one too heavy to hang.

    Each is read as well as the part's weight allows, or that of a 300 g part on a 1 g scale where it was not given.
    """
    if value_of(others, "form") in COMPOUND:
        return ()
    weight = others.get("weight")
    if weight and float(weight.value) > HEAVIEST:
        return ()
    mass = float(weight.value) if weight else PLANNED.value
    reading = weight.uncertainty if weight else reading_uncertainty(PLANNED)
    doubt = sqrt(2.0) * max(reading, 1e-9) / (mass * water_density(ROOM))
    return bins(NAME, UNIT, EDGES, lambda density: doubt * density * density)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Density per natural-log unit of the reading, from a part of that material, hollow or with things on it or not."""
    chances = apparent(
        material.density_low,
        material.density_typical,
        material.density_high,
        value_of(others, "hollow"),
        value_of(others, "attached"),
    )
    density = float(answer.value)
    if not isinstance(answer, Bin):
        return max(seen_as(chances, density, max(answer.uncertainty / density, FINEST)), 1e-9)
    doubt = float(f"{answer.uncertainty / density**2:.9g}")  # one for all bins, so that they add up to 1
    below = 0.0 if answer.first else float(chances @ read_below(answer.low, doubt))
    above = 0.0 if answer.last else 1.0 - float(chances @ read_below(answer.high, doubt))
    return max(1.0 - below - above, 1e-9) / answer.width


CHECK = Check(
    name=NAME,
    question="What is its density, weighed dry and in water?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=4.0,
    how="Weigh it dry. Zero the scale with a jar of water on it, hang the part in by a thread, wholly under water and "
    "touching nothing, shake off bubbles, and read: --weight and --jar.",
    limits="Screws, plastic and closed voids bias it; a 1 g scale can't tell zinc from brass below about 200 g, nor "
    "anything from anything below about 50 g. Never for batteries, boards, sealed or electrical parts.",
    source="GSU HyperPhysics, buoyancy; Tanaka et al., Metrologia 38 (2001) 301; JCGM 100 for the uncertainty; "
    "rates of voids and attachments from memory",
    trust="V",
    cautions=("water-electrical",),
    slip=0.002,
    acts=("handle", "wet"),
    by=("weight", "jar"),
    reads=("form", "weight", "hollow", "attached"),
    replaces=("size", "floats", "heft"),
)
