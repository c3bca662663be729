"""Materials that a person names and describes: kept in the daybook, known to learning once enough parts are of one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from idkit import ask, facts, keep
from idkit.decide.adapting import FEWEST
from idkit.errors import CallError
from idkit.vocabulary import Material, Sample, Written

KIND = "material"
JOINS = FEWEST  # confirmed parts from which a described material is told apart
GRAMS, KILOS = ("g/cm3", "g/cm³", "g/ml"), ("kg/m3", "kg/m³")
DENSITY = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(\S*)")


def describe(name: str, like: str = "", density: str = "", magnet: str = "", colour: str = "") -> tuple[Material, bool]:
    """Name a material and describe it as typed, or say something anew of one that is there; it, and whether it is new.

    Where no row of the table is named that it is `like`, it is the nearest in density of its colour. CallError for
    what can't be read, and for a known name that is to be like another row: parts are called by it already.
    """
    said = {
        "density": _density(density),
        "magnet": str(ask.checks()["magnet"].parse(magnet).value) if magnet else "",
        "family": str(ask.checks()["scratch-colour"].parse(colour).value) if colour else "",
    }

    def compose(lines: Sequence[Written]) -> list[keep.Act]:
        known = {row.id: row for row in _read(lines)}
        there = known.get(facts.named(name, known.values()))
        row = _row_named(like) if like else facts.kin(there.id) if there else _nearest(said)
        if there and facts.kin(there.id) != row:
            was = facts.material(facts.kin(there.id)).name
            got, other = f"got {like!r}, but {there.name} is like {was}", "or another name for this one"
            raise CallError("--like", got, was, other)
        body = (_bodies(lines)[there.id] if there else {}) | {key: value for key, value in said.items() if value}
        return [(KIND, _row(name, row, body).id, "described", body)]

    before = {row.id for row in described()}
    (line,) = keep.write_acts(compose)
    return next(row for row in described() if row.id == line.name), line.name not in before


def described() -> tuple[Material, ...]:
    """Every described material as it was last described, in the order of their names' first use."""
    return _read(keep.acts(KIND))


def nameable_materials() -> tuple[Material, ...]:
    """Every material that a part may be called: those of the table, then the described ones."""
    return (*facts.materials().values(), *described())


def described_named(said: str) -> str:
    """The id of a described material by its id or name; '' for an unknown one."""
    return facts.named(said, described())


def confirmed(samples: Sequence[Sample]) -> Mapping[str, int]:
    """How many confirmed parts each described material has, by id."""
    count = Counter(sample.materials[0] for sample in samples if len(sample.materials) == 1)
    return {row.id: count[row.id] for row in described()}


def of_described(id: str) -> Mapping[str, Any]:
    """What there is to say of one described material, as plain fields; density low, typical and high in kg/m³."""
    row, goes_with = next(each for each in described() if each.id == id), facts.material(facts.kin(id))
    return {
        "id": row.id,
        "name": row.name,
        "goes_with": goes_with.id,
        "goes_with_name": goes_with.name,
        "density_kg_m3": [round(value, 1) for value in (row.density_low, row.density_typical, row.density_high)],
        "family": row.family,
        "magnet": max(row.magnet, key=row.magnet.__getitem__),
        "confirmed": confirmed(keep.samples())[id],
        "wanted": JOINS,
    }


def _read(lines: Sequence[Written]) -> tuple[Material, ...]:
    return tuple(_row(facts.material(id_).name, facts.kin(id_), body) for id_, body in _bodies(lines).items())


def _bodies(lines: Sequence[Written]) -> dict[str, dict[str, str]]:
    """What was last said of each described material, by id."""
    return {line.name: dict(line.body) for line in lines if line.kind == KIND}


def _row(name: str, like: str, body: Mapping[str, str]) -> Material:
    return facts.described(name, like, body.get("family", ""), float(body.get("density", 0)), body.get("magnet", ""))


def _row_named(said: str) -> str:
    return facts.named(said, facts.materials().values()) or "-".join(said.lower().split())


def _nearest(said: Mapping[str, str]) -> str:
    if not said["family"] or not said["density"]:
        right = "a material of idkit facts materials that it goes with"
        raise CallError("--like", "got nothing", right, "or give --colour and --density, and the nearest is taken")
    return facts.nearest(said["family"], float(said["density"]))


def _density(typed: str) -> str:
    """A density as typed to kg/m³, as text; '' where nothing was typed.

    >>> [_density(typed) for typed in ("8.4", "8,4 g/cm3", "8400 kg/m3", "7200")]
    ['8400', '8400', '8400', '7200']
    """
    found = DENSITY.fullmatch(typed.strip().lower())
    if not typed.strip():
        return ""
    number, unit = (float(found[1].replace(",", ".")), found[2]) if found else (0.0, "?")
    in_grams = unit in GRAMS or (not unit and number < 30)
    if unit not in ("", *GRAMS, *KILOS) or not 100 <= number * (1000 if in_grams else 1) <= 25000:
        raise CallError("--density", f"got {typed!r}", "such as 8.4 (g/cm3) or 8400 (kg/m3)")
    return f"{number * (1000 if in_grams else 1):g}"
