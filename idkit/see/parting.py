"""Touching parts told apart by the necks between them."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.vocabulary import Mask

NECK = 0.62  # a neck narrower than this share of what it joins parts them: two touching discs, blurred, reach 0.45
SEAM = 0.85  # share of the smaller piece's width from which a seam is no neck
HOLLOW = 0.12  # share of the smaller of two pieces that may be missing from their common hull: two discs lack 0.27

Labels = NDArray[np.int32]
Depth = NDArray[np.float32]  # distance to the outline, in pixels


def parted(mask: Mask) -> Labels:
    """Pieces of a mask numbered from 1, parted at narrow necks; 0 is ground.

    A watershed of the distance to the outline (Vincent and Soille 1991; Meyer 1994), one basin for each maximum that
    stands out by a share of its own height; what glare has cut is joined again.
    """
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))
    opened = _without_pinholes(np.asarray(cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_OPEN, kernel), np.uint8))
    inside = np.pad(opened, 1, mode="edge")  # the frame's edge is no outline
    depth = _depth(np.pad(inside, 1))[2:-2, 2:-2]
    return _rejoined(_flooded(_maxima(depth, opened), depth, opened))


def _flooded(markers: Labels, depth: Depth, mask: NDArray[np.uint8]) -> Labels:
    """The mask shared out among the markers; where each piece has one, that is its own number."""
    count, pieces = cv2.connectedComponents(mask, connectivity=4)
    if int(markers.max()) == count - 1:
        return np.asarray(pieces, np.int32)
    from skimage.segmentation import watershed  # slow to import

    return np.asarray(watershed(-depth, markers, mask=mask > 0), np.int32)


def _maxima(depth: Depth, mask: NDArray[np.uint8]) -> Labels:
    """One number for each part of each piece: maxima that no neck wider than NECK joins to a higher one."""
    lowered = _reconstructed(depth * np.float32(NECK), depth)
    peaks = (lowered > _reconstructed(lowered - np.float32(0.01), lowered) + 0.005) & (mask > 0)
    _, numbers = cv2.connectedComponents(peaks.astype(np.uint8), connectivity=8)
    return np.asarray(numbers, np.int32)


def _reconstructed(low: Depth, high: Depth) -> Depth:
    """Grey-scale reconstruction of `high` from `low` by dilation (Vincent 1993): peaks cut down to what joins them."""
    kernel = np.ones((3, 3), np.uint8)
    while True:
        grown = np.minimum(cv2.dilate(low, kernel, iterations=1), high)
        if np.array_equal(grown, low):
            return low
        low = grown


def _rejoined(labels: Labels) -> Labels:
    """Neighbours joined again that glare or a hole had cut, no neck: they fill their common convex hull, or the seam
    between them is about as long as the smaller is wide."""
    seams = _seams(labels)
    number = np.arange(int(labels.max()) + 1)
    areas = np.bincount(labels.ravel())
    for one, two in sorted(seams, key=lambda pair: int(min(areas[list(pair)]))):
        small, large = (number == number[one])[labels], (number == number[two])[labels]
        if number[one] != number[two] and (
            seams[one, two] > SEAM * min(_width(small), _width(large)) or _hollow(small, large) < HOLLOW
        ):
            number[number == number[one]] = number[two]
    return np.asarray(number[labels], np.int32)


def _width(piece: Mask) -> float:
    """Diameter of the largest circle inside the outline of a piece, its holes filled."""
    x, y, width, height = cv2.boundingRect(piece.astype(np.uint8))
    solid = np.pad(piece[y : y + height, x : x + width].astype(np.uint8), 1)
    outlines, _ = cv2.findContours(solid, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    filled = np.asarray(cv2.drawContours(solid, outlines, -1, 1, cv2.FILLED), np.uint8)
    return 2 * float(_depth(filled).max())


def _hollow(one: Mask, two: Mask) -> float:
    """What two pieces lack of their common convex hull, as a share of the smaller."""
    points = cv2.findNonZero((one | two).astype(np.uint8))
    hull = cv2.fillConvexPoly(np.zeros(one.shape, np.uint8), cv2.convexHull(points), 1)
    return float((int(hull.sum()) - int((one | two).sum())) / max(1, min(int(one.sum()), int(two.sum()))))


def _seams(labels: Labels) -> dict[tuple[int, int], float]:
    """Pairs of pieces that touch, and the length of the seam between them: its box's diagonal, in pixels."""
    places: dict[tuple[int, int], list[NDArray[np.intp]]] = {}
    for shift, other in (((1, 0), labels[:-1]), ((0, 1), labels[:, :-1])):
        first = labels[shift[0] :, shift[1] :]
        at = np.argwhere((first != other) & (first > 0) & (other > 0))
        pairs = np.sort(np.stack([first[tuple(at.T)], other[tuple(at.T)]], axis=1), axis=1)
        for pair in np.unique(pairs, axis=0):
            places.setdefault((int(pair[0]), int(pair[1])), []).append(at[(pairs == pair).all(axis=1)])
    return {pair: float(np.linalg.norm(np.ptp(np.concatenate(found), axis=0))) for pair, found in places.items()}


def _without_pinholes(mask: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Holes filled that are smaller than a hundredth of a disc as wide as the piece about them."""
    count, gaps, stats, _ = cv2.connectedComponentsWithStats(1 - mask, connectivity=4)
    depth = _depth(np.pad(mask, 1))[1:-1, 1:-1]
    deepest = float(np.median(_heights(depth, mask))) if mask.any() else 0.0
    small = stats[:, cv2.CC_STAT_AREA] < np.pi * deepest**2 / 100
    small[0] = False
    return np.asarray(mask | (small[gaps] & (mask == 0)), np.uint8)


def _heights(depth: Depth, mask: NDArray[np.uint8]) -> NDArray[np.float64]:
    """The largest depth of each piece."""
    count, pieces = cv2.connectedComponents(mask, connectivity=4)
    found = np.zeros(count)
    np.maximum.at(found, np.asarray(pieces, np.int64).ravel(), depth.ravel().astype(np.float64))
    return found[1:]


def _depth(mask: NDArray[np.uint8]) -> Depth:
    """The distance of each pixel to the nearest outside the mask. Its square is a whole number; OpenCV's last bits hang
    on where in memory the picture lies, and a watershed on them."""
    found = cv2.distanceTransform(mask, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    return np.asarray(np.sqrt(np.rint(found * found)), np.float32)
