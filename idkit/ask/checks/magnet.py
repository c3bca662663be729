"""Magnet: does a hand magnet pull, on several spots, away from screws?"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from idkit.ask.choices import choose, named_outcomes, value_of
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

OPTIONS = ("none", "weak", "strong", "in-places")
_Chances = Mapping[str, float]


def _row(none: float, weak: float, strong: float, in_places: float) -> _Chances:
    return MappingProxyType(dict(zip(OPTIONS, (none, weak, strong, in_places), strict=True)))


SAID: Mapping[str, _Chances] = MappingProxyType(
    {
        "none": _row(0.975, 0.013, 0.005, 0.007),
        "weak": _row(0.120, 0.790, 0.070, 0.020),
        "strong": _row(0.007, 0.020, 0.961, 0.012),
    }
)
"""What a person says of a clean body that truly pulls so: about 2 slips in 100 where the pull is plain, more where
it is weak and a small magnet misses it. From memory."""

WEAK_BY_KIND: Mapping[str, _Chances] = MappingProxyType(
    {"neodymium": _row(0.030, 0.820, 0.130, 0.020), "ferrite": _row(0.350, 0.600, 0.035, 0.015)}
)
"""The same of a weak pull by the magnet that was held to it: a rare-earth magnet misses it seldom. From memory."""

SAID_WITH_STEEL: Mapping[str, _Chances] = MappingProxyType(
    {
        "none": _row(0.40, 0.09, 0.11, 0.40),
        "weak": _row(0.09, 0.44, 0.12, 0.35),
        "strong": _row(0.005, 0.02, 0.945, 0.03),
    }
)
"""The same where steel is on it: some test the body, some the screw, some say so. From memory."""

STEEL_ON = MappingProxyType({"none": 0.0, "plastic": 0.0, "steel": 1.0, "other": 0.5, None: 0.05})
"""Chance that steel is on the part, by what was said to be attached; None where nothing was said. From memory."""

HIDDEN_INSERT = 0.04
"""Chance that a body cast or moulded in a die hides a steel insert. From memory."""

CASTABLE_BELOW = 7000.0
"""kg/m³: what is cast or moulded round steel inserts (magnesium, aluminium, zinc, plastics) is lighter than this."""


def parse(typed: str) -> Answer:
    """none, weak, strong or in-places."""
    return choose("magnet", typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:  # noqa: ARG001
    """The four answers; a magnet can be held to anything."""
    return named_outcomes("magnet", OPTIONS)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Chance of the answer from a part of that material; over the four answers they sum to 1.

    The pull of the bare metal is the material's own; people slip, steel on the part or hidden in it pulls too.
    """
    steel = STEEL_ON.get(value_of(others, "attached"), STEEL_ON["other"])
    hidden = HIDDEN_INSERT if material.density_typical < CASTABLE_BELOW else 0.0
    total, kind = sum(material.magnet.values()), value_of(others, "magnet-kind")
    return sum(
        chance / total * _said(pull, str(answer.value), steel, hidden, kind) for pull, chance in material.magnet.items()
    )


def _said(pull: str, said: str, steel: float, hidden: float, kind: str | None) -> float:
    """Chance of the answer where the bare body pulls so."""
    with_steel = steel + (1.0 - steel) * (hidden if pull == "none" else 0.0)
    bare = WEAK_BY_KIND.get(kind or "", SAID[pull]) if pull == "weak" else SAID[pull]
    return with_steel * SAID_WITH_STEEL[pull][said] + (1.0 - with_steel) * bare[said]


CHECK = Check(
    name="magnet",
    question="Does a magnet pull on it?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.2,
    how="Hold a magnet to several spots of the body, away from screws and ends. Say in-places where only some pull.",
    limits="None does not mean aluminium; stainless may pull a little where it was bent or welded; plating may tickle "
    "a strong magnet; nickel pulls like steel.",
    source="fcc stainless and the limits of the test: US Navy Steelworker manual and US Army EN0562, as quoted; "
    "rates of human error from memory",
    trust="M",
    slip=0.025,
    acts=("handle",),
    choices=(
        ("none", "no pull"),
        ("weak", "a weak pull"),
        ("strong", "a strong pull"),
        ("in-places", "pulls in places only"),
    ),
    reads=("attached", "magnet-kind"),
)
