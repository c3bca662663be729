"""Materials that a person named and described: what is not said of one is taken from the row that it is like."""

from __future__ import annotations

import re
from dataclasses import replace
from math import isfinite
from types import MappingProxyType

from idkit.errors import CallError
from idkit.facts.materials import FAMILIES, MAGNET, UNDER, material, materials
from idkit.vocabulary import Material

NAME = re.compile(r"[^\W_]([\w-]{0,38}[^\W_])?")
PULLS = MappingProxyType(
    {"none": (0.96, 0.03, 0.01), "weak": (0.15, 0.7, 0.15), "strong": (0.01, 0.04, 0.95)}  # from memory
)
SPREAD = 0.03  # of the density of an alloy about what a person says of it, either way; from memory
OTHER = "something-else"  # goes with nothing
LIGHTEST, HEAVIEST = 100.0, 25000.0  # kg/m³, as in materials.csv


def described(name: str, like: str, family: str = "", density: float = 0.0, magnet: str = "") -> Material:
    """A material as a person describes it; its id is LIKE/NAME. `density` is in kg/m³.

    CallError for a name that is none, or taken, for an unknown row, colour or pull, and for a density no solid has.

    >>> described("gunmetal", "red-brass", density=8700.0).id
    'red-brass/gunmetal'
    """
    row, plain = material(like), "-".join(name.lower().split())
    if row.id == OTHER:
        raise CallError("material", f"got {name[:50]!r} like {row.name}", "a material of the table that it goes with")
    if not NAME.fullmatch(plain) or plain in materials():
        raise CallError("material", f"got the name {name[:50]!r}", "a new one of 1 to 40 letters, digits and hyphens")
    for thing, said, known in (("colour", family, FAMILIES), ("magnet", magnet, MAGNET)):
        if said and said not in known:
            raise CallError(thing, f"got {said!r}", ", ".join(known))
    if density and not (isfinite(density) and LIGHTEST <= density <= HEAVIEST):
        raise CallError("density", f"got {density:g} kg/m³", f"{LIGHTEST:g} to {HEAVIEST:g}")
    about = (density * (1 - SPREAD), density, density * (1 + SPREAD)) if density else _density_of(row)
    return replace(
        row,
        id=f"{row.id}{UNDER}{plain}",
        name=plain.replace("-", " "),
        family=family or row.family,
        density_low=about[0],
        density_typical=about[1],
        density_high=about[2],
        magnet=MappingProxyType(dict(zip(MAGNET, PULLS[magnet], strict=True))) if magnet else row.magnet,
        source=f"described by you, the rest as {row.name}",
        trust="M",
    )


def nearest(family: str, density: float) -> str:
    """The id of the row of that colour whose density is nearest, by ratio; CallError for an unknown colour."""
    if family not in FAMILIES:
        raise CallError("colour", f"got {family!r}", ", ".join(FAMILIES))
    rows = [row for row in materials().values() if row.family == family and not row.skin and row.id != OTHER]
    return min(rows, key=lambda row: max(row.density_typical / density, density / row.density_typical)).id


def _density_of(row: Material) -> tuple[float, float, float]:
    return row.density_low, row.density_typical, row.density_high
