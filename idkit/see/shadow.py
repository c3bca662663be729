"""Shadows on the ground: what is the ground's colour in less light.

In k times the light L* + 16 is k to the power 1/3 of what it was, and a*, b* are that share of theirs (by the cube root
of CIELAB, CIE 15, its linear foot neglected): a* and b* over L* + 16 stay as they are.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.ground import length
from idkit.see.srgb import brightest
from idkit.vocabulary import Mask

# One that fades: how far its a*, b* may be from the ground's in less light, and CIELAB units a pixel that are no edge.
TINT, SLOPE = 5.0, 3.0
DARKEST, BRIGHTEST = 0.4, 1.02  # of a shadow: its L* + 16 as a share of the ground's

# One with an edge, beside a coloured part. a* and b* over L* + 16 are in hundredths here.
NEAR = 2, 9  # pixels from the outline between which the ground is looked at
LEAST_TINT, TIMES = 4.0, 2.0  # how far from the ground's its tint may be: this, or so many spreads of the ground itself
COOLER = 10.0  # how much bluer it may be: lit by the sky where the ground is lit by the sun, 30 mired; from memory
CLEARLY = 2.5  # times that from which a pixel is coloured otherwise than the ground
LEAST_COLOURED, LEAST_LEFT = 0.3, 0.35  # shares of the outline that are coloured so, and that a shadow leaves
CAST_BRIGHTEST, CAST_SLOPE = 0.97, 4.0  # as above, of one with an edge
PIECE = 0.01  # share of the outline that one takes at the least


def fading(lab: NDArray[np.float32], ground: Mask) -> Mask:
    """Shadows that fade into the ground without an edge."""
    of_ground = np.median(lab[ground], axis=0)
    share = (lab[..., 0] + 16) / (of_ground[0] + 16)
    tint = np.linalg.norm(lab[..., 1:] - share[..., None] * of_ground[1:], axis=2)
    fades = (tint < TINT) & (share < BRIGHTEST) & (share > DARKEST) & (_slope(lab) < SLOPE)
    wide = cv2.erode((fades | ground).astype(np.uint8), np.ones((3, 3), np.uint8))  # no leak at a weak edge
    _, pieces = cv2.connectedComponents(wide, connectivity=4)
    reached = np.bincount(pieces.ravel(), ground.ravel()) > 0
    reached[0] = False
    return np.asarray(fades & (cv2.dilate(reached[pieces].astype(np.uint8), np.ones((3, 3), np.uint8)) > 0))


def cast(lab: NDArray[np.float32], outlined: Mask) -> Mask:
    """Shadows with an edge that an outline took in, where what casts them is coloured otherwise than the ground.

    Beside a part of the ground's own tint none is told from the part: nothing.
    """
    solid, none = outlined.astype(np.uint8), np.zeros_like(outlined)
    inner, outer = (cv2.dilate(solid, _disc(radius)) > 0 for radius in NEAR)
    ring = outer & ~inner
    few = lab[::2, ::2][outlined[::2, ::2]]
    if not len(few) or not ring[::2, ::2].any():
        return none
    beside = np.median(lab[::2, ::2][ring[::2, ::2]], axis=0)
    apart = length(few[:, 1:] / (few[:, :1] + 16) - beside[1:] / (beside[0] + 16))
    if np.mean(100 * apart > CLEARLY * LEAST_TINT) < LEAST_COLOURED / 2:  # by a first look
        return none
    smooth = cv2.GaussianBlur(lab, (0, 0), 1.0)
    light = smooth[..., 0] + 16
    tints = 100 * smooth[..., 1:] / light[..., None]
    of_ground = np.median(tints[ring], axis=0)
    away = tints - of_ground
    within = max(LEAST_TINT, TIMES * 1.48 * float(np.median(length(away[ring]))))
    away[..., 1] += np.clip(-away[..., 1], 0, COOLER)
    tint, share = length(away), light / float(np.median(light[ring]))
    coloured = outlined & (tint > CLEARLY * within)
    shade = outlined & (tint < within) & (share < CAST_BRIGHTEST) & (share > DARKEST) & (_slope(lab) < CAST_SLOPE)
    if coloured.sum() < LEAST_COLOURED * outlined.sum():
        return none
    found = _at_the_outline(shade, outlined) & ~coloured
    return found if (outlined & ~found).sum() > LEAST_LEFT * outlined.sum() else none


def _at_the_outline(shade: Mask, outlined: Mask) -> Mask:
    """The pieces of it that are no specks and reach the outline, with a pixel around."""
    opened = cv2.morphologyEx(shade.astype(np.uint8), cv2.MORPH_OPEN, _disc(1))
    count, pieces = cv2.connectedComponents(opened, connectivity=4)
    beyond = cv2.dilate((~outlined).astype(np.uint8), _disc(2))
    reach, size = np.bincount(pieces.ravel(), beyond.ravel(), count), np.bincount(pieces.ravel(), minlength=count)
    kept = (reach > 0) & (size > PIECE * outlined.sum())
    kept[0] = False
    return np.asarray(cv2.dilate(kept[pieces].astype(np.uint8), _disc(1)) > 0)


def _slope(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """How steeply any of L*, a*, b* changes, in CIELAB units a pixel."""
    smooth = cv2.GaussianBlur(lab, (0, 0), 0.7)
    down, across = cv2.Sobel(smooth, cv2.CV_32F, 0, 1), cv2.Sobel(smooth, cv2.CV_32F, 1, 0)
    return np.asarray(brightest(np.hypot(across, down)) / 8, np.float32)


def _disc(radius: int) -> NDArray[np.uint8]:
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1)), np.uint8)
