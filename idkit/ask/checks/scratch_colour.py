"""Scratch colour: what colour is the bare metal where it was freshly scratched, as the eye sees it?"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from idkit.ask.choices import choose, named_outcomes, value_of
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

OPTIONS = ("copper-red", "orange-gold", "brass-yellow", "grey-white", "dark-granular")
_Chances = Mapping[str, float]


def _row(*chances: float) -> _Chances:
    return MappingProxyType(dict(zip(OPTIONS, chances, strict=True)))


SEEN: Mapping[str, _Chances] = MappingProxyType(
    {
        "copper-red": _row(0.850, 0.110, 0.020, 0.015, 0.005),
        "orange-gold": _row(0.120, 0.705, 0.150, 0.018, 0.007),
        "brass-yellow": _row(0.020, 0.120, 0.820, 0.035, 0.005),
        "grey-white": _row(0.006, 0.007, 0.022, 0.890, 0.075),
        "dark-granular": _row(0.005, 0.006, 0.009, 0.130, 0.850),
        "not-metal": _row(0.060, 0.060, 0.080, 0.500, 0.300),
    }
)
"""What a person says of bare metal of each family: neighbours are confused, and pale gold is taken for grey in poor
light. From memory."""

SKINS: Mapping[str, _Chances] = MappingProxyType(
    dict.fromkeys(("chrome", "tin", "zinc", "nickel"), SEEN["grey-white"])
    | {
        "copper": SEEN["copper-red"],
        "brass": SEEN["brass-yellow"],
        "enamel": _row(0.450, 0.420, 0.090, 0.020, 0.020),
    }
)
"""What a skin looks like to the same person; winding enamel is clear to amber."""

NOT_THROUGH = 0.12
"""Chance that a scratch has not cut through the skin: 10 to 15 in 100. From memory."""


def parse(typed: str) -> Answer:
    """One of the five colours."""
    return choose("scratch-colour", typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """The five colours; none where the part is a board, which has no bare metal of its own to scratch."""
    return () if value_of(others, "form") == "board" else named_outcomes("scratch-colour", OPTIONS)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the colour from a part of that material; over the five they sum to 1.

    A cut end shows the same metal to the same eye: where it was looked at, the scratch adds nothing.
    """
    if "cut-end" in others:
        return 1.0 / len(OPTIONS)
    said = str(answer.value)
    bare = SEEN.get(material.family, SEEN["not-metal"])[said]
    skin = SKINS.get(material.skin)
    return bare if skin is None else (1.0 - NOT_THROUGH) * bare + NOT_THROUGH * skin[said]


CHECK = Check(
    name="scratch-colour",
    question="What colour is a fresh scratch?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=1.0,
    how="File or scratch a hidden spot until the colour stops changing; look at it in daylight. Wear eye protection.",
    limits="Plating, anodising, paint and lacquer hide the metal until cut through; red and yellow brass are not told "
    "apart by eye; steel, aluminium and zinc all look grey-white.",
    source="colours: US Army OD1643 lesson 1 and common practice; rates of confusion from memory",
    trust="M",
    cautions=("filing",),
    slip=0.11,
    acts=("handle", "file"),
    choices=(
        ("copper-red", "copper red"),
        ("orange-gold", "orange gold"),
        ("brass-yellow", "brass yellow"),
        ("grey-white", "grey or white"),
        ("dark-granular", "dark and grainy"),
    ),
    reads=("form", "cut-end"),
)
