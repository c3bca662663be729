"""A border or bar of one tone about the photo, as frames and screenshots have: it may pass for white paper."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from idkit.see.srgb import in_8_bits
from idkit.vocabulary import Fault, Scene

ONE_TONE, OTHER = 2, 6  # codes within which a row is of one tone, and from which a pixel is of another
ACROSS = 256  # pixels of a row that are looked at
BEYOND = 12  # pixels past the border at which the photo has begun: JPEG blurs its edge over a block of 8
FEWEST, MOST = 3, 0.8  # rows; share of the row past the border that has to be of another tone


def border(scene: Scene) -> float:
    """Largest share of the photo's height or width that a border on one side takes, 0 to 1.

    Its rows have one and the same tone to the code, and most of the photo beside it has another: blown-out paper has
    one tone too, but ends raggedly.
    """
    encoded = scene.photo.encoded
    sides = (encoded, encoded[::-1], encoded.swapaxes(0, 1), encoded.swapaxes(0, 1)[::-1])
    return max(_rows(side) / len(side) for side in sides)


def _rows(encoded: NDArray[np.uint8] | NDArray[np.uint16]) -> int:
    """Rows of the border at the top; 0 where there is none."""
    if np.ptp(in_8_bits(np.ascontiguousarray(encoded[:FEWEST])), axis=(0, 1)).max() > ONE_TONE:
        return 0
    codes = in_8_bits(np.ascontiguousarray(encoded[:, :: max(1, encoded.shape[1] // ACROSS)])).astype(np.int16)
    tone = codes[0].mean(axis=0)
    alike = (np.abs(codes - tone) <= ONE_TONE).all(axis=(1, 2))
    count = int(np.argmin(alike)) if not alike.all() else 0
    if count < FEWEST or count + BEYOND >= len(codes):
        return 0
    photo = np.abs(codes[count + BEYOND] - tone).max(axis=1) > OTHER
    return count if photo.mean() > MOST else 0


FAULTS = (
    Fault(
        "border",
        "a border or bar of one colour about the photo: cut it off, or send the file as the phone made it",
        border,
        limit=0.01,
        worst=0.05,
        doubt=0.6,  # what is taken for the part or for paper may be the border
        colour=True,
        source="rows and columns of one tone to the code",
    ),
)
