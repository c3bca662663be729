"""Thickness of the metal, by calliper or by eye against something known."""

from __future__ import annotations

import re
from itertools import pairwise
from math import exp, hypot, isfinite, log, pi, sqrt

from idkit.ask.amounts import parse_length
from idkit.ask.bins import Bin, bins, normal_below
from idkit.errors import AmountError
from idkit.vocabulary import Answer, Answers, Check, Material, Outcome

LOW, HIGH = 0.0001, 0.3
"""m: where nearly every part lies."""

TAILS = ((0.045, LOW, HIGH), (0.005, 0.000001, 2.0))
"""Share, low and high in m of the log-uniform tails: any metal comes in any thickness now and then. From memory."""

CENTRAL_90 = 2.0 * 1.6449
"""Standard deviations of a normal distribution that hold nine in ten."""

_RANGE = re.compile(
    r"(?:under|below|less than) +(?P<under>.+)"
    r"|(?:over|above|from|at least) +(?P<over>.+)"
    r"|(?P<low>.+) +to +(?P<high>.+)",
    re.IGNORECASE,
)
WITHIN = 12  # bins that a given range is parted into
EDGES = tuple(LOW * (HIGH / LOW) ** (step / 24) for step in range(25))


def parse(typed: str) -> Answer:
    """A length, with the uncertainty of its last digit; or a range: 'under 1 mm', '1 mm to 3 mm', 'over 1/4 in'.

    >>> parse("3.2 mm").value, round(parse("1 mm to 4 mm").value, 6)
    (0.0032, 0.002)
    """
    said = _RANGE.fullmatch(typed.strip())
    if said is None:
        amount = parse_length(typed, "--thickness")
        return Answer("thickness", amount.value, "m", amount.step / sqrt(12.0), typed)
    low, high = (parse_length(text, "--thickness").value if text else None for text in _ends(said))
    return _range(low or LOW, high or HIGH, typed)


def _ends(said: re.Match[str]) -> tuple[str, str]:
    """The lower and the upper end of a range as typed, '' where it is open."""
    return said["low"] or said["over"] or "", said["high"] or said["under"] or ""


def _range(low: float, high: float, typed: str) -> Bin:
    if not low < high:
        option, got = "--thickness", f"got {typed!r}, which holds nothing"
        raise AmountError(option, got, "a range from thin to thick", "such as '1 mm to 3 mm'")
    middle, uncertainty = sqrt(low * high), (high - low) / sqrt(12.0)
    return Bin("thickness", middle, "m", uncertainty, typed, low, high, low == LOW, high == HIGH)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """24 bins, even in the logarithm, from 0.1 to 300 mm; the outermost take in what lies beyond. What a range that was
    given leaves open is twelve bins within it; a measured thickness leaves nothing open."""
    given = others.get("thickness")
    if given is None:
        return bins("thickness", "m", EDGES, lambda _: 0.0)
    if not isinstance(given, Bin):
        return ()
    edges = [given.low * (given.high / given.low) ** (step / WITHIN) for step in range(WITHIN + 1)]
    inner = [Bin("thickness", sqrt(low * high), "m", low=low, high=high) for low, high in pairwise(edges)]
    return tuple(Outcome(each, each.width) for each in inner)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """Density per natural-log unit of thickness.

    Log-normal about the geometric mean of the material's own low and high, which hold nine parts in ten, with broad
    tails; widened by the reading's uncertainty. Where the material has no range of its own, only the tails are left.
    """
    if isinstance(answer, Bin):
        above = 0.0 if answer.first else _below(material, answer.low)
        return ((1.0 if answer.last else _below(material, answer.high)) - above) / answer.width
    value = float(answer.value)
    share, middle, spread = _shape(material)
    spread = hypot(spread, answer.uncertainty / value)
    peak = exp(-0.5 * ((log(value) - middle) / spread) ** 2) / (spread * sqrt(2.0 * pi))
    tails = sum(part / log(high / low) for part, low, high in TAILS if low <= value <= high)
    return share * peak + (1.0 - share) / _tail_share() * tails


def _below(material: Material, edge: float) -> float:
    """Chance that a part of that material is thinner than the edge."""
    share, middle, spread = _shape(material)
    tails = sum(part * log(min(max(edge, low), high) / low) / log(high / low) for part, low, high in TAILS)
    return share * normal_below((log(edge) - middle) / spread) + (1.0 - share) / _tail_share() * tails


def _tail_share() -> float:
    return sum(part for part, _, _ in TAILS)


def _shape(material: Material) -> tuple[float, float, float]:
    """Share, middle and spread of the log-normal; share 0 where the material has no range."""
    low, high = material.thickness_low, material.thickness_high
    if not (isfinite(low) and isfinite(high) and 0.0 < low < high):
        return 0.0, 0.0, 1.0
    return 1.0 - _tail_share(), 0.5 * log(low * high), log(high / low) / CENTRAL_90


CHECK = Check(
    name="thickness",
    question="How thick is the metal?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=0.5,
    how="Measure the wall or the sheet with a calliper, away from ribs and rims. A coin or drill shank is a gauge.",
    limits="A hint only, but it decides light from heavy steel at 1/4 in (6 mm).",
    source="ranges from the materials table; broad tails from memory",
    trust="M",
    slip=0.05,
    acts=("handle",),
    choices=(
        ("under 1 mm", "under 1 mm: a tin lid"),
        ("1 mm to 3 mm", "1 to 3 mm: a coin or a key"),
        ("3 mm to 6.35 mm", "3 mm to 1/4 in"),
        ("over 6.35 mm", "1/4 in (6 mm) or more"),
    ),
)
