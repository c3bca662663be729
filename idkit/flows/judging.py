"""From the pixels of one part to what the classifier makes of them, under every white that is possible."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from idkit import see
from idkit.decide import classifier
from idkit.see import Fitness
from idkit.vocabulary import Cue, Floats, Patch, Photo, PhotoEvidence

JUDGED = tuple(cue for cue in see.CUES if cue.judged)

Judge = Callable[[Patch, str], PhotoEvidence | None]  # of a patch and its surface; None where it says nothing


def judge_of(photo: Photo, model: classifier.Model, fitness: Fitness, *, trusted: bool) -> Judge:
    """What the classifier makes of a patch of this photo; `trusted` where nothing but its faults touches its colour.

    A photo without colour, without a part, or with another fault that leaves nothing to see says nothing.
    """

    def judge(patch: Patch, surface: str) -> PhotoEvidence | None:
        values = rows(patch) if photo.coloured and fitness.doubt < 1 else np.full((1, len(JUDGED)), np.nan)
        if np.isnan(values).all():
            return None
        return classifier.photo_evidence(
            model,
            values,
            patch.white.grid[:, 2],
            surface,
            trusted=trusted and fitness.trusted_colour,
            doubt=fitness.doubt,
        )

    return judge


def rows(patch: Patch) -> Floats:
    """The judged cues under each possible white, whites x cues; those that do not move with white are measured once."""
    values = np.tile(
        [float("nan") if cue.by_white else cue.measure(patch).value for cue in JUDGED], (len(patch.white.grid), 1)
    )
    for column, cue in enumerate(JUDGED):
        if cue.by_white:
            values[:, column] = _under_each(cue, patch)
    return values


def _under_each(cue: Cue, patch: Patch) -> Floats:
    """One cue under each possible white, at once where it can be had so."""
    if cue.under is not None:
        return cue.under(patch, patch.white.grid[:, :2])
    whites = (replace(patch.white, red_green=row[0], blue_green=row[1]) for row in patch.white.grid.tolist())
    return np.array([cue.measure(replace(patch, white=white)).value for white in whites])
