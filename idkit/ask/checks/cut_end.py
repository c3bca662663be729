"""Cut end: what a scraped, freshly cut end shows: the colour inside, and whether a skin lies over it.

It is one sense with the colour of a scratch and with 'inside': where it is answered, those two say nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import Chances, choose_for, row, with_slips
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "cut-end", 0.06
CHOICES = (
    ("copper-red", "copper red all through"),
    ("orange-gold", "orange gold all through"),
    ("brass-yellow", "brass yellow all through"),
    ("grey-white", "grey or white all through"),
    ("dark-granular", "dark and grainy"),
    ("red-over-grey", "red skin over grey or white"),
    ("silver-over-red", "silver skin over red"),
    ("silver-over-yellow", "silver skin over yellow"),
    ("yellow-over-grey", "yellow skin over grey"),
    ("silver-over-grey", "silver skin over a greyer core"),
    ("not-metal", "no metal inside"),
)
OPTIONS = tuple(typed for typed, _ in CHOICES)
CUT_THROUGH = frozenset({None, "unknown", "wire", "cable", "tube", "sheet", "extrusion", "bar", "fastener"})
"""Forms that snips or a saw go through in a minute or two; no form said is one of them."""

COLOURS = ("copper-red", "orange-gold", "brass-yellow", "grey-white", "dark-granular", "not-metal")

CORE: Mapping[str, Chances] = MappingProxyType(
    {
        "copper-red": row(COLOURS, 0.95, 0.045, 0.005, 0.0, 0.0, 0.0),
        "orange-gold": row(COLOURS, 0.12, 0.74, 0.13, 0.01, 0.0, 0.0),
        "brass-yellow": row(COLOURS, 0.01, 0.10, 0.87, 0.02, 0.0, 0.0),
        "grey-white": row(COLOURS, 0.0, 0.0, 0.01, 0.97, 0.015, 0.005),
        "dark-granular": row(COLOURS, 0.0, 0.0, 0.0, 0.14, 0.85, 0.01),
        "not-metal": row(COLOURS, 0.0, 0.0, 0.0, 0.04, 0.04, 0.92),
        "": row(COLOURS, 0.25, 0.05, 0.10, 0.25, 0.05, 0.30),
    }
)
"""The colour a careful eye names in a cut end of each core; neighbours run into each other. From memory."""

NOTICED = MappingProxyType(
    {"": 0.02, "copper": 0.92, "enamel": 0.85, "brass": 0.75, "tin": 0.75, "chrome": 0.65, "nickel": 0.60, "zinc": 0.40}
)
"""Chance that a skin is seen as a layer at a cut end: a cladding is thick, zinc on steel grey on grey; 2 in 100 take
tarnish or a burr on solid metal for one. From memory."""

SMEARED = MappingProxyType({"copper": 0.5, "enamel": 0.3})
"""Of ends where no layer is seen, the share over which a blunt cutter smeared the red skin. From memory."""

_SILVER = ("silver-over-red", "silver-over-yellow", "silver-over-yellow", *("silver-over-grey",) * 2, "not-metal")
LAYERED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "copper": ("copper-red", "orange-gold", "brass-yellow", *("red-over-grey",) * 2, "not-metal"),
        "brass": ("copper-red", "orange-gold", "brass-yellow", *("yellow-over-grey",) * 2, "not-metal"),
    }
)
"""What is said where a skin is seen over a core of each of COLOURS; every other skin is silver."""


def parse(typed: str) -> Answer:
    """One of the eleven looks of a cut end."""
    return choose_for(NAME, typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """The eleven looks; none for what is not cut through at a bench, or where scratch and core were both looked at."""
    seen = "scratch-colour" in others and "inside" in others
    return named_outcomes(NAME, OPTIONS) if value_of(others, "form") in CUT_THROUGH and not seen else ()


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Chance of the look from a part of that material; over the eleven they sum to 1."""
    return _said(material.core, material.skin)[str(answer.value)]


@lru_cache(maxsize=128)
def _said(core: str, skin: str) -> Chances:
    seen, noticed, smeared = CORE[core], NOTICED[skin], SMEARED.get(skin, 0.0)
    layered = LAYERED.get("copper" if skin == "enamel" else skin, _SILVER)
    found = dict.fromkeys(OPTIONS, 0.0)
    for colour, name in zip(COLOURS, layered, strict=True):
        found[name] += noticed * seen[colour]
        found[colour] += (1.0 - noticed) * (1.0 - smeared) * seen[colour]
    found["copper-red"] += (1.0 - noticed) * smeared
    return with_slips(found, SLIP)


CHECK = Check(
    name=NAME,
    question="What does a scraped, cut end show?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=2.0,
    how="Snip or saw off an end, scrape it across with a knife and look at the face in daylight, core against rim. "
    "Wear eye protection; cut nothing that is sealed, under pressure or live.",
    limits="Steel, aluminium, zinc and their like are grey or white all through; thin plating is easily missed, and a "
    "blunt cutter smears copper over a grey core.",
    source="copper over steel or aluminium and tinned copper: makers' data and common practice; rates from memory",
    trust="M",
    cautions=("filing",),
    slip=SLIP,
    acts=("handle", "cut", "file"),
    choices=CHOICES,
    reads=("form", "scratch-colour", "inside"),
    replaces=("scratch-colour", "inside"),
)
