"""Size: the sides of a plain solid piece, which with its weight give a density that reads low.

Rims, chamfers and hollows all make the measured box larger than the metal: raised rims read 10 to 29 % low, plain bars
a few per cent; so the likelihood is one-sided and wide. Where the part was weighed in water, it adds nothing.
"""

from __future__ import annotations

import re
from functools import lru_cache
from math import hypot, log, pi, prod, sqrt

import numpy as np

from idkit.ask.amounts import parse_length
from idkit.ask.apparent import DENSITY, LOG_DENSITY, SPACING, apparent
from idkit.ask.bins import Bin, bins
from idkit.ask.choices import value_of
from idkit.errors import AmountError
from idkit.vocabulary import Amount, Answer, Answers, Check, Floats, Material, Outcome

NAME, UNIT = "size", "m³"
PLAIN = frozenset({None, "unknown", "bar", "plate", "sheet", "wire"})
"""Forms that may be a plain solid; no form said is one of them."""

RIMMED = 0.35
"""Share of parts whose outline is fuller than their metal: rims, steps, holes. From memory."""

READS_LOW = (0.05, 0.30)
"""By how much such parts read low, from and to, evenly: published coins read 10 to 29 % low (median 18)."""

PLAIN_LOW = 0.03
"""Mean by which the others read low, falling off exponentially: edges broken, corners rounded. From memory."""

EITHER_WAY = 0.015
"""Relative standard deviation of any reading: a calliper held askew, a bent piece. From memory."""

SLIP = 0.03
"""Share of readings gone wrong altogether: a radius for a diameter, a wrong unit. From memory."""

COARSER, LIGHTEST = 4, float(LOG_DENSITY[0])

EDGES = tuple(500.0 * 1.12**step for step in range(34))
"""kg/m³, 500 to 21 000."""

ROUND = r"(?:dia(?:meter)?\.?|ø|⌀|round)"


def parse(typed: str) -> Answer:
    """The volume in m³ of a block of three sides, or of a rod of a diameter and a length.

    The unit may stand once, at the end.

    >>> round(1e6 * parse("50 x 30 x 12 mm").value, 3), round(1e6 * parse("20 dia x 100 mm").value, 3)
    (18.0, 31.416)
    """
    text = " ".join(typed.lower().replace("×", "x").replace("*", "x").split())
    pieces = [piece.strip() for piece in re.split(r"x|\bby\b", text)]
    is_round = len(pieces) == 2 and re.search(ROUND, pieces[0]) is not None
    if len(typed) > 120 or not (is_round or len(pieces) == 3):
        right = "three sides as '50 x 30 x 12 mm', or a rod as '20 dia x 100 mm'"
        raise AmountError(f"--answer {NAME}", f"got {typed[:60]!r}", right, "give --weight with it")
    sides = _sides([re.sub(ROUND, "", piece).strip() for piece in pieces])
    if is_round:
        return _answer(pi / 4.0, sides, (2, 1), typed)
    return _answer(1.0, sides, (1, 1, 1), typed)


def _sides(pieces: list[str]) -> list[Amount]:
    """Lengths in m; one without a unit has that of the last."""
    unit = re.sub(r"^[\d.,/ ]*", "", pieces[-1])
    return [parse_length(f"{piece} {unit}" if piece[-1:].isdigit() else piece, f"--answer {NAME}") for piece in pieces]


def _answer(share: float, sides: list[Amount], powers: tuple[int, ...], typed: str) -> Answer:
    """A share of the product of the sides, each to its power, with the uncertainty that rounding them brings."""
    both = list(zip(sides, powers, strict=True))
    volume = share * prod(side.value**power for side, power in both)
    relative = hypot(*(power * side.step / (sqrt(12.0) * side.value) for side, power in both))
    return Answer(NAME, volume, UNIT, volume * relative, typed)


def outcomes(others: Answers) -> tuple[Outcome, ...]:
    """Bins of volume that stand for bins of density; none without a weight, or for what is no plain solid."""
    weight = others.get("weight")
    if weight is None or value_of(others, "form") not in PLAIN:
        return ()
    return bins(NAME, UNIT, [float(weight.value) / edge for edge in reversed(EDGES)], lambda _: 0.0)


def likelihood(material: Material, answer: Answer, others: Answers) -> float:
    """Density per natural-log unit of volume, from a part of that material and weight.

    The same for every material where the weight is not known or the part was weighed in water.
    """
    weight = others.get("weight")
    if weight is None or "weight-in-water" in others:
        return 1.0 / log(EDGES[-1] / EDGES[0])
    below = _read_below(
        material.density_low,
        material.density_typical,
        material.density_high,
        value_of(others, "hollow"),
        value_of(others, "attached"),
    )
    mass = float(weight.value)
    if isinstance(answer, Bin):
        heaviest = 1.0 if answer.first else _at(below, mass / answer.low)
        lightest = 0.0 if answer.last else _at(below, mass / answer.high)
        return max(heaviest - lightest, 1e-9) / answer.width
    density = mass / float(answer.value)
    half = max(sqrt(3.0) * hypot(answer.uncertainty / float(answer.value), weight.uncertainty / mass), 0.01)
    low, high = density * (1.0 - min(half, 0.9)), density * (1.0 + half)
    return max((_at(below, high) - _at(below, low)) / log(high / low), 1e-9)


def _at(below: tuple[float, ...], density: float) -> float:
    """Chance of reading below a density in kg/m³."""
    place = (log(density) - LIGHTEST) / (COARSER * SPACING)
    if place <= 0.0:
        return 0.0
    if place >= len(below) - 1:
        return 1.0
    at = int(place)
    return below[at] + (place - at) * (below[at + 1] - below[at])


@lru_cache(maxsize=512)
def _read_below(low: float, typical: float, high: float, hollow: str | None, attached: str | None) -> tuple[float, ...]:
    """Chance of reading below every COARSER-th density of the grid, from parts of that metal."""
    spread = np.fft.irfft(np.fft.rfft(apparent(low, typical, high, hollow, attached)) * _reading(), len(DENSITY))
    anything = 1.0 / len(DENSITY)
    chances = (1.0 - SLIP) * np.clip(spread, 0.0, None) / spread.sum() + SLIP * anything
    return tuple(np.cumsum(chances / chances.sum())[::COARSER].tolist())


@lru_cache(maxsize=1)
def _reading() -> Floats:
    """Transform of the moves along LOG_DENSITY from what a part weighs in its own outline to what is read."""
    low = np.arange(len(DENSITY)) * SPACING  # how far below, in natural logarithms
    plain = np.exp(-low / PLAIN_LOW)
    first, last = (-np.log1p(-share) for share in READS_LOW)
    rimmed = ((low >= first) & (low <= last)) * np.exp(-low)  # even in the share, not in its logarithm
    falls = (1.0 - RIMMED) * plain / plain.sum() + RIMMED * rimmed / rimmed.sum()
    away = np.minimum(low, low[-1] + SPACING - low)
    either = np.exp(-0.5 * (away / EITHER_WAY) ** 2)
    towards_lighter = np.conj(np.fft.rfft(falls))
    return np.asarray(towards_lighter * np.fft.rfft(either / either.sum()))


CHECK = Check(
    name=NAME,
    question="How large is the plain solid piece?",
    parse=parse,
    outcomes=outcomes,
    likelihood=likelihood,
    minutes=1.5,
    how="Measure length, width and height, or diameter and length, with a calliper, and weigh it: --weight with "
    "--answer size='50 x 30 x 12 mm'. Take the least of several readings; mind burrs and sharp edges.",
    limits="Only for a plain solid block or rod: rims, holes and hollows make it read light, by a fifth or more, so it "
    "tells aluminium from zinc or steel, hardly zinc from brass.",
    source="published coins, whose rim geometry reads 10 to 29 % low, computed; the rest from memory",
    trust="D",
    slip=SLIP,
    acts=("handle",),
    reads=("weight", "form", "weight-in-water", "hollow", "attached"),
    replaces=("floats", "heft"),
)
