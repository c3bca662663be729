"""Is the scale right? What it shows for pieces whose mass is published."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import hypot, sqrt

from idkit import facts
from idkit.ask.amounts import parse_mass
from idkit.ask.choices import listed
from idkit.ask.water import reading_uncertainty
from idkit.errors import CallError
from idkit.vocabulary import CheckPiece

MOST = 10000  # pieces


@dataclass(frozen=True)
class ScaleCheck:
    """What the pieces weigh and what the scale shows, in kg; `uncertainty` is that of the difference of the two."""

    piece: CheckPiece
    count: int
    true: float
    shown: float
    uncertainty: float

    @property
    def off(self) -> float:
        """How far the scale is off, as a share of the true mass."""
        return (self.shown - self.true) / self.true

    @property
    def agrees(self) -> bool:
        """Whether the difference is within twice its standard uncertainty."""
        return abs(self.shown - self.true) <= 2.0 * self.uncertainty


def check_scale(shown: str, pieces: str) -> ScaleCheck:
    """What a scale shows ("101 g") for so many pieces ("20 US nickels", "1 litre of water").

    The pieces differ from each other, so that the tolerance of n of them together is √n times that of one.

    >>> found = check_scale("104 g", "20 US nickels")
    >>> found.agrees, round(found.off, 3)
    (False, 0.04)
    """
    amount = parse_mass(shown, "--shows")
    counted = re.fullmatch(r"\s*(\d+)\s*(?:x|×|of)?\s+(.*\S)\s*", pieces)
    count, said = (int(counted[1]), counted[2]) if counted else (1, pieces)
    piece = facts.check_piece_of(pieces) if counted is None else facts.check_piece_of(said)
    if piece is None or not 1 <= count <= MOST:
        known = listed(each.words[0] for each in facts.check_pieces().values())
        thing, right = "pieces", "a count and a known piece, such as '20 us nickels'"
        raise CallError(thing, f"got {pieces!r}", right, f"of {known}")
    uncertainty = hypot(reading_uncertainty(amount), sqrt(count) * piece.tolerance)
    return ScaleCheck(piece, count, count * piece.mass, amount.value, uncertainty)
