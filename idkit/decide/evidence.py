"""Readings to one named, ordered row, missing as NaN."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from idkit.vocabulary import SURFACES, Answers, Evidence, Floats, Reading

# Evidence patterns that the likely set is calibrated for: with a photo and without, each the barest first.
PATTERNS = (
    "photo",
    "photo-and-one-answer",
    "photo-and-answers",
    "photo-and-water",
    "form-only",
    "one-answer",
    "answers-only",
    "answers-and-water",
)


def row(readings: Iterable[Reading], cues: Sequence[str]) -> Floats:
    """Values of the named cues in that order; NaN for one that is missing.

    >>> row([Reading("hue", 95.0, "degrees")], ["chroma", "hue"]).tolist()
    [nan, 95.0]
    """
    found = {reading.name: reading.value for reading in readings}
    return np.array([found.get(name, np.nan) for name in cues], float)


def surface_columns(surface: str) -> Floats:
    """One column a surface, 1 where it is that one; all 0 where the surface is not known."""
    return np.array([float(surface == name) for name in SURFACES])


def pattern(evidence: Evidence) -> str:
    """Which of PATTERNS this evidence is most like; a photo unlike anything known is as good as none."""
    blind = evidence.photo is None or evidence.photo.unlike
    told = 3 if "weight-in-water" in evidence.answers else min(len(informative(evidence.answers)), 2)
    return PATTERNS[told + (4 if blind else 0)]


def informative(answers: Answers) -> tuple[str, ...]:
    """The answered checks that bear on the material by themselves; form and weight are context."""
    context = ("form", "weight", "jar", "hung", "attached", "hollow", "scale", "magnet-kind")
    return tuple(name for name in answers if name not in context)
