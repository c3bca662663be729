"""Materials: what a part may be made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from math import isclose, nan
from pathlib import Path
from types import MappingProxyType

from idkit.facts.optics import optics
from idkit.facts.tables import TRUST, Row, choice, member, members, names, number, refuse, rising, rows_of, text, trust
from idkit.vocabulary import Material

FAMILIES = ("copper-red", "orange-gold", "brass-yellow", "grey-white", "dark-granular", "not-metal")
SKINS = ("", "chrome", "tin", "zinc", "copper", "brass", "enamel", "nickel")
DENSITY = ("density_low_kg_m3", "density_typical_kg_m3", "density_high_kg_m3")
THICKNESS = ("thickness_low_mm", "thickness_high_mm")
HARDNESS = ("hardness_low_hb", "hardness_high_hb")
IACS = ("iacs_low", "iacs_high")
YIELDS_TO = ("", "nail", "knife", "nothing")
FILINGS = ("", "curls", "clogs", "grains", "chips", "powder", "shreds")
SPARKS = ("", "long-white", "short-red", "few", "none")
MAGNET = ("none", "weak", "strong")
UNDER = "/"  # between the row that a described material is like and its own name
COLUMNS = (
    "id", "name", "family", "skin", *DENSITY, *(f"magnet_{pull}" for pull in MAGNET), *THICKNESS, "fresh", "aged",
    "look_alikes", "optics", "rests_on", "source", "trust", "core", *HARDNESS, "yields_to", *IACS, "filings", "spark",
    "dulls", "rings", "insulates", "bench_source", "bench_trust",
)  # fmt: skip


@cache
def materials() -> Mapping[str, Material]:
    """Every row of materials.csv by id, in the order of the file."""
    return read_materials()


def material(id: str) -> Material:
    """The material of that id; CallError where there is none.

    Of one that a person described, all but its id and name is what the row has that it is like: see described.py.

    >>> material("copper").magnet["none"] > 0.9
    True
    >>> material("red-brass/gunmetal").name
    'gunmetal'
    """
    row = member("material", kin(id), materials())
    return row if row.id == id else replace(row, id=id, name=id.removeprefix(f"{row.id}{UNDER}").replace("-", " "))


def kin(id: str) -> str:
    """The row of materials.csv that a material goes by where piles, forms and cautions are looked up: its own, or the
    one that a person said it is like."""
    return id.partition(UNDER)[0]


def read_materials(path: Path | None = None) -> Mapping[str, Material]:
    """The same as materials() from another file."""
    rows = rows_of("materials.csv", COLUMNS, path)
    found = members(rows, _material)
    for row in rows:
        if text(row, "id") in names(row, "look_alikes", found):
            refuse(row, "look_alikes", "materials other than the row's own")
    return found


def _material(row: Row) -> Material:
    low, typical, high = rising(row, DENSITY, 100.0, 25000.0)
    thin, thick = _thickness(row)
    soft, hard = _hardness(row)
    poor, good = rising(row, IACS, 0.0, 110.0)
    return Material(
        id=text(row, "id"),
        name=text(row, "name"),
        family=choice(row, "family", FAMILIES),
        skin=choice(row, "skin", SKINS),
        density_low=low,
        density_typical=typical,
        density_high=high,
        magnet=_magnet(row),
        thickness_low=thin,
        thickness_high=thick,
        fresh=text(row, "fresh"),
        aged=text(row, "aged"),
        look_alikes=names(row, "look_alikes"),
        optics=names(row, "optics", optics()),
        rests_on=names(row, "rests_on"),
        source=text(row, "source"),
        trust=trust(row),
        core=choice(row, "core", ("", *FAMILIES)),
        hardness_low=soft,
        hardness_high=hard,
        yields_to=choice(row, "yields_to", YIELDS_TO),
        iacs_low=poor,
        iacs_high=good,
        filings=choice(row, "filings", FILINGS),
        spark=choice(row, "spark", SPARKS),
        dulls=number(row, "dulls", 0.001, 0.999),
        rings=number(row, "rings", 0.001, 0.999),
        insulates=number(row, "insulates", 0.001, 0.999),
        bench_source=text(row, "bench_source"),
        bench_trust=choice(row, "bench_trust", TRUST),
    )


def _hardness(row: Row) -> tuple[float, float]:
    """Low and high in HB; NaN both where the fields are empty: then `yields_to` says how soft it is."""
    if not any(row.values[column] for column in HARDNESS):
        return nan, nan
    if row.values["yields_to"]:
        refuse(row, "yields_to", "nothing, where a hardness is given")
    soft, hard = rising(row, HARDNESS, 1.0, 1000.0)
    return soft, hard


def _thickness(row: Row) -> tuple[float, float]:
    """Low and high in m; NaN both where the fields are empty: it comes in any thickness."""
    if not any(row.values[column] for column in THICKNESS):
        return nan, nan
    thin, thick = rising(row, THICKNESS, 0.01, 1000.0)
    return thin / 1000, thick / 1000


def _magnet(row: Row) -> Mapping[str, float]:
    """Chances of each pull: none of them 0 or 1, for nothing at a bench is certain."""
    chances = {pull: number(row, f"magnet_{pull}", 0.001, 0.999) for pull in MAGNET}
    if not isclose(sum(chances.values()), 1.0, abs_tol=1e-9):
        refuse(row, f"magnet_{MAGNET[-1]}", f"{' + '.join(MAGNET)} = 1, not {sum(chances.values()):g}")
    return MappingProxyType(chances)
