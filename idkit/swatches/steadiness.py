"""How far a cue moves where a part is traced with four times the samples: one that moves with them tells of noise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from idkit import see
from idkit.swatches import pieces
from idkit.swatches.rows import photographed
from idkit.swatches.surfaces import Look, Optics
from idkit.vocabulary import Cue, Floats

MAKINGS = ("cast", "sheet", "drawn", "moulded")
EACH, EVERY = 3, 3  # parts of each making; every so manieth look of it
MOST = 0.1  # of its spread that a judged cue may move by in the middle


def shifts(of: Sequence[Look], optics: Optics, illuminants: Floats, seed: int) -> Iterator[tuple[str, float, float]]:
    """Of each judged cue: its name, how far it moves in the middle and by root mean square, both over its spread."""
    few, many = (_measured(of, optics, illuminants, seed, times * pieces.SAMPLES) for times in (1, 4))
    for column, cue in enumerate(_judged()):
        moved = (few - many)[:, column] / np.nanstd(many[:, column])
        yield cue.name, float(abs(np.nanmedian(moved))), float(np.sqrt(np.nanmean(moved**2)))


def _measured(of: Sequence[Look], optics: Optics, illuminants: Floats, seed: int, samples: int) -> Floats:
    """Looks on parts traced with that many samples a pixel, n x cues; but for those nothing hangs on `samples`."""
    found = []
    for made in MAKINGS:
        for number in range(EACH):
            part = pieces.one(made, number, seed, samples)
            for which, look in enumerate([look for look in of if made in look.made][::EVERY]):
                random = np.random.default_rng((seed, number, which))
                patch = see.of_part(*photographed(look, part, optics, illuminants, random))
                found.append([cue.measure(patch).value for cue in _judged()])
    return np.array(found)


def _judged() -> list[Cue]:
    return [cue for cue in see.CUES if cue.judged]
