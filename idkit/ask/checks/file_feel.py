"""File feel: what does a file do on the bare metal, and what does it take off?"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from idkit.ask.choices import named_outcomes, value_of
from idkit.ask.saying import Chances, choose_for, even, mixed, row, share_above, with_slips
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

NAME, SLIP = "file-feel", 0.10
CHOICES = (
    ("skates", "skates and won't bite"),
    ("black-powder", "black powder"),
    ("curls", "bites, long curls"),
    ("clogs", "smears, clogs the teeth"),
    ("chips", "short bright chips"),
)
OPTIONS = tuple(typed for typed, _ in CHOICES)

TAKEN: Mapping[str, Chances] = MappingProxyType(
    {
        "powder": row(OPTIONS, 0.02, 0.96, 0.01, 0.0, 0.01),
        "curls": row(OPTIONS, 0.02, 0.02, 0.84, 0.03, 0.09),
        "clogs": row(OPTIONS, 0.0, 0.0, 0.10, 0.84, 0.06),
        "grains": row(OPTIONS, 0.01, 0.02, 0.14, 0.46, 0.37),
        "chips": row(OPTIONS, 0.01, 0.02, 0.13, 0.04, 0.80),
        "shreds": row(OPTIONS, 0.04, 0.04, 0.36, 0.42, 0.14),
        "": even(OPTIONS),
    }
)
"""What a careful person says of what the file takes off; the heat treatment and the file make one alloy do several.
From memory; cast iron to powder, soft aluminium clogging and brass in short chips: common practice, no source."""

SKATES_FROM, SPREAD = 420.0, 0.12
"""HB at which a file no longer bites one piece in two (a file is itself about 700 HB), and its scale in natural
logarithms. From memory."""

HARDENED = 0.06
"""Share of plain steel that was hardened past what the table gives: tools, bearings, springs. From memory."""

SKATES_ON = MappingProxyType({"chrome": 0.35, "nickel": 0.15})
"""Chance that it is judged on the hard skin, before the file is through. From memory."""


def parse(typed: str) -> Answer:
    """skates, black-powder, curls, clogs or chips."""
    return choose_for(NAME, typed, OPTIONS)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """The five answers; none for a board, which has no bare metal of its own to file."""
    return () if value_of(others, "form") == "board" else named_outcomes(NAME, OPTIONS)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Chance of the answer from a part of that material; over the five they sum to 1."""
    hardens = material.filings == "curls" and material.spark == "long-white" and material.magnet["strong"] > 0.5
    said = _said(material.filings, material.hardness_low, material.hardness_high, material.skin, hardens)
    return said[str(answer.value)]


@lru_cache(maxsize=256)
def _said(filings: str, low: float, high: float, skin: str, hardens: bool) -> Chances:
    too_hard = share_above(low, high, SKATES_FROM, SPREAD) if low == low else 0.0
    too_hard = max(too_hard, HARDENED if hardens else 0.0)
    bites = (1.0 - too_hard) * (1.0 - SKATES_ON.get(skin, 0.0))
    skating = row(OPTIONS, 1.0, 0.0, 0.0, 0.0, 0.0)
    return with_slips(mixed([(bites, TAKEN[filings]), (1.0 - bites, skating)]), SLIP)


CHECK = Check(
    name=NAME,
    question="What does a file do on it?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.8,
    how="Clamp it and take three strokes with a clean file on a hidden edge, through any skin; look at the teeth and "
    "at what fell. Eyes covered; chips that may be magnesium stay few and far from sparks; wash lead off your hands.",
    limits="Soft copper, aluminium and lead all smear; zinc, magnesium and brass all chip; chrome and hardened steel "
    "both skate.",
    source="hardness from the materials table; what a file takes off: common practice; rates from memory",
    trust="M",
    cautions=("filing",),
    slip=SLIP,
    acts=("handle", "file"),
    choices=CHOICES,
    reads=("form",),
)
