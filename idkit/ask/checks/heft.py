"""Heft: is it heavier or lighter in the hand than a known piece of the same size and shape?

Plain heavier, same and lighter mean against aluminium. It is one sense with the other ways to density: where it was
weighed in water or measured, or floats, the hand adds nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from idkit import facts
from idkit.ask.apparent import DENSITY, apparent
from idkit.ask.choices import listed, named_outcomes, nearest, value_of
from idkit.ask.saying import even, row
from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Answers, Check, Floats, Material, Outcome

NAME, SLIP = "heft", 0.07
SAID = ("lighter", "same", "heavier")
JOINED = MappingProxyType({"lighter": "than", "same": "as", "heavier": "than"})
EVERYDAY: Mapping[str, str] = MappingProxyType(
    {"steel": "carbon-steel", "iron": "carbon-steel", "brass": "yellow-brass", "copper": "copper", "lead": "lead"}
    | {"aluminium": "aluminium-wrought", "zinc": "zinc-die-cast", "plastic": "plastic"}
)
"""Material ids by the everyday word for the known piece."""

SPELT = MappingProxyType({"aluminum": "aluminium"})
UNFELT, PLAIN = 1.3, 2.0
"""Ratios of density up to which a hand feels nothing, and from which it errs only by slips. From memory: under
1.3 hands contradict each other."""

PLAINLY = row(SAID, 1.0 - SLIP, 0.8 * SLIP, 0.2 * SLIP)
"""What a person says of a piece that is plainly lighter; the mirror image of one plainly heavier. From memory."""

PATTERN = re.compile(r"(lighter|same|heavier)(?: weight)?(?:[ -](?:than|as))?(?:[ -](.+))?")


def parse(typed: str) -> Answer:
    """lighter, same or heavier, and than what: an everyday word, a material's id or name; aluminium if not said.

    >>> [parse(text).value for text in ("heavier", "Same as brass", "lighter than zinc-die-cast")]
    ['heavier than aluminium', 'same as brass', 'lighter than zinc']
    """
    found = PATTERN.fullmatch(" ".join(typed.lower().replace("_", " ").split()))
    piece = _piece(found[2] or "aluminium") if found else ""
    if found is None or not piece:
        option = f"--answer {NAME}"
        right = f"lighter than, same as or heavier than {listed(EVERYDAY)}, or a material's id"
        known = (*EVERYDAY, *facts.materials())
        raise AnswerError(option, f"got {typed[:60]!r}", right, nearest(found[2] if found else typed, known))
    return Answer(NAME, f"{found[1]} {JOINED[found[1]]} {piece}", typed=typed)


def _piece(word: str) -> str:
    """The everyday word for the known piece, else its id; '' where no material is called so or its density varies."""
    word = SPELT.get(word, word)
    ids = {EVERYDAY.get(word, word), word.replace(" ", "-")}
    for id, each in facts.materials().items():
        if (id in ids or each.name == word) and id != "something-else":
            return next((name for name, of in EVERYDAY.items() if of == id), id)
    return ""


def outcomes(others: Answers) -> tuple[Outcome, ...]:  # noqa: ARG001
    """The three answers against aluminium, the piece that most benches have."""
    return named_outcomes(NAME, (f"{said} {joint} aluminium" for said, joint in JOINED.items()))


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the answer from a part of that material, hollow or with things on it or not; the three sum to 1."""
    if "weight-in-water" in others or "size" in others or value_of(others, "floats") == "yes":
        return 1.0 / len(SAID)
    said, _, piece = str(answer.value).split(" ", 2)
    known = facts.material(EVERYDAY.get(piece, piece)).density_typical
    of_part = (material.density_low, material.density_typical, material.density_high)
    return _said(*of_part, value_of(others, "hollow"), value_of(others, "attached"), known)[said]


@lru_cache(maxsize=4096)
def _said(
    low: float, typical: float, high: float, hollow: str | None, attached: str | None, known: float
) -> Mapping[str, float]:
    chances = apparent(low, typical, high, hollow, attached)
    return MappingProxyType({said: float(chances @ felt) for said, felt in _felt(known).items()})


@lru_cache(maxsize=64)
def _felt(known: float) -> Mapping[str, Floats]:
    """Chance of each answer for parts of each density on the grid, against one of a known density in kg/m³."""
    away = np.log(DENSITY / known)
    sureness = np.clip((np.abs(away) - np.log(UNFELT)) / np.log(PLAIN / UNFELT), 0.0, 1.0)
    nothing = even(SAID)
    return {
        said: sureness * np.where(away < 0.0, PLAINLY[said], PLAINLY[mirrored]) + (1.0 - sureness) * nothing[said]
        for said, mirrored in zip(SAID, reversed(SAID), strict=True)
    }


CHECK = Check(
    name=NAME,
    question="Is it heavier than the same piece in aluminium?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=1.0,
    how="Take a known piece of the same size and shape in the other hand, close your eyes, swap hands once. Name the "
    "piece: 'lighter than brass'; aluminium is meant where none is named. Mind edges and pinched fingers.",
    limits="A hand feels nothing under a ratio of 1.3 in density: steel, brass and copper are alike to it, zinc and "
    "steel too; a hollow part or one with things on it misleads.",
    source="densities from the materials table; what a hand feels from memory",
    trust="M",
    slip=SLIP,
    acts=("handle",),
    choices=(
        ("lighter than aluminium", "lighter than aluminium"),
        ("same as aluminium", "about as heavy"),
        ("heavier than aluminium", "heavier than aluminium"),
    ),
    reads=("weight-in-water", "size", "floats", "hollow", "attached"),
)
