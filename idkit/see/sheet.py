"""A sheet of paper that lies on the ground, with parts on it."""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.ground import nearest
from idkit.vocabulary import Mask

BRIGHT = 0.8  # its L*, as a share of the brightest in the frame
ALIKE = 8.0  # CIELAB units, lightness counting five twelfths, between patches of one sheet: light falls off across it
HOLE = 5.0  # the same, within which a gap in it has the colour of the ground that would show through a hole
LEAST = 0.08  # share of the frame that is seen of it
SEEN = 0.75  # share of its rim that is seen
PIECE = 0.1  # share of what is seen of it that a piece of it takes at the least
STRIP = 2.5  # length against width from which it is no sheet: A4 has 1.4, and is seen at a slant
STRAIGHT = 0.9  # share of its hull that the quadrilateral of its corners takes
ON_IT, MOST_OF_IT = 0.02, 0.6  # share of the sheet that the thing on it takes, and of all that hides the sheet
BESIDE = 0.1  # share of a patch within the sheet's corners under which it lies beside it

Labels = NDArray[np.int32]


class Sheet(NamedTuple):
    """Which patches are paper, and which lie beside the sheet; `within` is what its corners hold, a mask; None where
    there is no sheet."""

    paper: Mask
    beside: Mask
    within: Mask | None


def sheet_of(
    patches: Labels, sizes: NDArray[np.int64], means: NDArray[np.float64], ground: Mask, lab: NDArray[np.float32]
) -> Sheet:
    """The sheet of paper that parts lie on, if there is one.

    `patches` number the pixels, `sizes` counts those of each and `means` is their CIELAB, `ground` those known to be
    ground. A sheet is as
    bright as anything in the frame, has four corners, is no strip, and something lies on it: one thing, or several
    that are not of the ground's colours, as the holes of a bright plate are.
    """
    none = Sheet(np.zeros_like(ground), np.zeros_like(ground), None)
    bright = ~ground & (means[:, 0] > BRIGHT * np.percentile(lab[..., 0], 98))
    if not bright.any():
        return none
    first = int(np.argmax(np.where(bright, sizes, 0)))
    sheet = np.asarray(bright & (nearest(means, means[[first]]) < ALIKE))
    seen = np.asarray(sheet[patches], np.uint8)
    if seen.mean() < LEAST:
        return none
    whole = _four_cornered(seen)
    if whole is None or not _rim_is_seen(seen, whole):
        return none
    beside = np.asarray(np.bincount(patches.ravel(), whole.ravel(), len(means)) < BESIDE * sizes)
    like_ground = nearest(means, means[ground & beside]) < HOLE
    if not _things_on(seen, whole, like_ground[patches]):
        return none
    return Sheet(sheet, beside, whole > 0)


def _four_cornered(seen: NDArray[np.uint8]) -> NDArray[np.uint8] | None:
    """The hull of its pieces, filled, where it is nearly a quadrilateral and no strip."""
    outlines, _ = cv2.findContours(seen, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    pieces = [each for each in outlines if cv2.contourArea(each) > PIECE * np.count_nonzero(seen)]
    if not pieces:
        return None
    hull = cv2.convexHull(np.concatenate(pieces))
    corners = hull.reshape(-1, 2).astype(np.float32)
    while len(corners) > 4:  # without the one that matters least
        before, after = np.roll(corners, 1, axis=0) - corners, np.roll(corners, -1, axis=0) - corners
        corners = np.delete(corners, np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]).argmin(), axis=0)
    _, sides, _ = cv2.minAreaRect(hull)
    if cv2.contourArea(corners) < STRAIGHT * cv2.contourArea(hull) or max(sides) > STRIP * min(sides):
        return None
    return np.asarray(cv2.drawContours(np.zeros_like(seen), [hull], -1, 1, cv2.FILLED), np.uint8)


def _rim_is_seen(seen: NDArray[np.uint8], whole: NDArray[np.uint8]) -> bool:
    """Whether the sheet shows nearly all along its edge, a little inside of it."""
    outer, inner = (cv2.erode(whole, np.ones((width, width), np.uint8), borderValue=0) for width in (5, 11))
    return bool(seen[(outer > 0) & (inner == 0)].mean() >= SEEN)


def _things_on(seen: NDArray[np.uint8], whole: NDArray[np.uint8], like_ground: Mask) -> bool:
    """Whether one thing, its shadow included, makes up most of what hides the sheet, or most of that is no ground."""
    hidden = cv2.morphologyEx(whole & (1 - seen), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    areas = cv2.connectedComponentsWithStats(hidden, connectivity=4)[2][1:, cv2.CC_STAT_AREA]
    if len(areas) == 0 or areas.max() < ON_IT / 2 * whole.sum() or areas.sum() < ON_IT * whole.sum():
        return False
    one = bool(areas.max() > max(ON_IT * whole.sum(), MOST_OF_IT * areas.sum()))
    return one or bool(like_ground[hidden > 0].mean() < 1 - MOST_OF_IT)
