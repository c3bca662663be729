"""Where each of several parts is, on one plain ground."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see import part as one
from idkit.see.ground import away_from_ground
from idkit.vocabulary import Mask, Part, Photo

SIDE = 1024  # longer side, in pixels, at which parts are looked for
QUICK = 320  # the same where only their number is asked for
FAINT = 4.0  # spreads of the ground: what is nearer is ground
CLEAR = 8.0  # spreads of the ground that some of a part must differ by
NECK = 0.62  # a neck narrower than this share of what it joins parts them: two touching discs, blurred, reach 0.45
HOLLOW = 0.12  # share of the smaller of two pieces that may be missing from their common hull: two discs lack 0.27
DUST = 0.02  # share of the area of a typical part below which a piece is dust or grain of the ground
SMALLEST = 0.0004  # share of the frame, likewise
SOFTEST = 0.018  # share of the longer side: a wider rim is a shadow's, not a part's

Labels = NDArray[np.int32]
Lab = NDArray[np.float32]
Distance = NDArray[np.float32]  # from the ground, in spreads of the ground


def find_each(photo: Photo) -> tuple[Part, ...]:
    """Every separate part on a plain ground, touching ones too, in reading order; empty where there is none.

    What differs from the ground (see ground.py) is outlined where the difference has fallen to two fifths of its own;
    pieces that narrow necks join are parted by a watershed of the distance to the outline (Vincent and Soille 1991;
    Meyer 1994), with one basin for each maximum that stands out by a share of its height (h-maxima of its logarithm).
    Left out: what is small beside the others, what fades out softly as shadows do, and what the frame's edge cuts
    where less than about half of it seems to be in view. Quality is that of `find`.
    """
    lab, pieces = _pieces(photo, SIDE)
    return tuple(_part(piece, lab, photo) for piece in pieces)


def in_full_view(photo: Photo) -> tuple[Part, ...]:
    """The parts that the frame's edge does not touch and that are about as large as the largest; looked for quickly."""
    lab, pieces = _pieces(photo, QUICK)
    found = [piece for piece in pieces if not _touches(piece)]
    largest = max((int(piece.sum()) for piece in found), default=0)
    return tuple(_part(piece, lab, photo) for piece in found if piece.sum() > largest / 4)


def together(parts: tuple[Part, ...]) -> Part:
    """All the parts of one photo as one, so that none of them is taken for ground; at least one part."""
    return Part(np.any([each.mask for each in parts], axis=0), parts[0].box, parts[0].quality, "all parts together")


def _pieces(photo: Photo, side: int) -> tuple[Lab, list[Mask]]:
    lab = one.small_lab(photo, side)
    away = away_from_ground(lab)
    labels = _rejoined(_parted(_outlined(away)))
    found = _large([_solid(labels, number, away) for number in range(1, int(labels.max()) + 1)])
    return lab, _in_reading_order([piece for piece in found if _is_part(piece, away)])


def _outlined(away: Distance) -> Mask:
    """What differs from the ground by two fifths of what its surroundings that differ do, at least 4, at most 20.

    Half-way up the blurred step is where an outline is, whether the part is pale or dark; a soft shadow stays below.
    """
    differs = np.where(away > FAINT, np.minimum(away, 60), np.float32(0))
    sigma = max(away.shape) / 40
    weight = cv2.GaussianBlur(differs, (0, 0), sigma)
    around = cv2.GaussianBlur(differs**2, (0, 0), sigma) / np.maximum(weight, 1e-3)  # the clearer weighs more
    mask = away > np.clip(0.4 * around, FAINT, 24)
    _, pieces = cv2.connectedComponents(mask.astype(np.uint8), connectivity=4)
    clear = np.bincount(pieces.ravel(), (away > CLEAR).ravel()) > 0.1 * np.bincount(pieces.ravel())
    return np.asarray(mask & clear[pieces])


def _parted(mask: Mask) -> Labels:
    """Pieces numbered from 1, parted at narrow necks; 0 is ground."""
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))
    opened = _without_pinholes(cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_OPEN, kernel))
    inside = np.pad(opened, 1, mode="edge")  # the frame's edge is no outline
    depth = cv2.distanceTransform(np.pad(inside, 1), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)[2:-2, 2:-2]
    return _flooded(_maxima(depth, opened), depth, opened)


def _flooded(markers: Labels, depth: Distance, mask: NDArray[np.uint8]) -> Labels:
    """The mask shared out among the markers; where each piece has one, that is its own number."""
    count, pieces = cv2.connectedComponents(mask, connectivity=4)
    if int(markers.max()) == count - 1:
        return np.asarray(pieces, np.int32)
    from skimage.segmentation import watershed  # slow to import

    return np.asarray(watershed(-depth, markers, mask=mask > 0), np.int32)


def _rejoined(labels: Labels) -> Labels:
    """Neighbours joined again that fill their common convex hull: glare had cut one part, no neck."""
    areas = np.bincount(labels.ravel())
    for small, large in sorted(_neighbours(labels), key=lambda pair: min(areas[list(pair)])):
        both = (labels == small) | (labels == large)
        points = cv2.findNonZero(both.astype(np.uint8))
        if points is None:
            continue
        hull = cv2.fillConvexPoly(np.zeros(labels.shape, np.uint8), cv2.convexHull(points), 1)
        smaller = min(int((labels == small).sum()), int((labels == large).sum()))
        if hull.sum() - both.sum() < HOLLOW * smaller:
            labels = np.where(both, large, labels)
    return labels


def _neighbours(labels: Labels) -> set[tuple[int, int]]:
    """Pairs of pieces that touch."""
    pairs: set[tuple[int, int]] = set()
    for one_side, other in ((labels[1:], labels[:-1]), (labels[:, 1:], labels[:, :-1])):
        meet = (one_side != other) & (one_side > 0) & (other > 0)
        found = np.sort(np.stack([one_side[meet], other[meet]], axis=1), axis=1)
        pairs |= {(int(a), int(b)) for a, b in np.unique(found, axis=0)}
    return pairs


def _maxima(depth: NDArray[np.float32], mask: NDArray[np.uint8]) -> Labels:
    """One number for each part of each piece: maxima that no neck wider than NECK joins to a higher one."""
    lowered = _reconstructed(depth * np.float32(NECK), depth)
    peaks = (lowered > _reconstructed(lowered - np.float32(0.01), lowered) + 0.005) & (mask > 0)
    _, numbers = cv2.connectedComponents(peaks.astype(np.uint8), connectivity=8)
    return np.asarray(numbers, np.int32)


def _reconstructed(low: Distance, high: Distance) -> Distance:
    """Grey-scale reconstruction of `high` from `low` by dilation (Vincent 1993): peaks cut down to what joins them."""
    kernel = np.ones((3, 3), np.uint8)
    while True:
        grown = np.minimum(cv2.dilate(low, kernel, iterations=1), high)
        if np.array_equal(grown, low):
            return low
        low = grown


def _without_pinholes(mask: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Holes filled that are smaller than a hundredth of a disc as wide as the piece about them."""
    count, gaps, stats, _ = cv2.connectedComponentsWithStats(1 - mask, connectivity=4)
    depth = cv2.distanceTransform(np.pad(mask, 1), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)[1:-1, 1:-1]
    deepest = float(np.median(_heights(depth, mask))) if mask.any() else 0.0
    small = stats[:, cv2.CC_STAT_AREA] < np.pi * deepest**2 / 100
    small[0] = False
    return np.asarray(mask | (small[gaps] & (mask == 0)), np.uint8)


def _heights(depth: NDArray[np.float32], mask: NDArray[np.uint8]) -> NDArray[np.float64]:
    """The largest depth of each piece."""
    count, pieces = cv2.connectedComponents(mask, connectivity=4)
    found = np.zeros(count)
    np.maximum.at(found, pieces.ravel(), depth.ravel())
    return found[1:]


def _solid(labels: Labels, number: int, away: Distance) -> Mask:
    """One piece without gaps: a gap stays a hole where it is of the ground's colour and over a hundredth of the piece."""
    piece = labels == number
    outlines, _ = cv2.findContours(piece.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    whole = cv2.drawContours(np.zeros(piece.shape, np.uint8), outlines, -1, 1, cv2.FILLED) > 0
    whole &= (labels == 0) | piece
    count, gaps, stats, _ = cv2.connectedComponentsWithStats((whole & ~piece).astype(np.uint8), connectivity=4)
    for gap in range(1, count):
        inside = gaps == gap
        if stats[gap, cv2.CC_STAT_AREA] > 0.01 * piece.sum() and np.median(away[inside]) < FAINT:
            whole &= ~inside
    return np.asarray(whole)


def _large(pieces: list[Mask]) -> list[Mask]:
    """The pieces that are no dust: a typical part is the one in the middle of all the area there is."""
    areas = np.array([int(piece.sum()) for piece in pieces])
    if not len(areas):
        return []
    order = np.sort(areas)
    typical = order[np.searchsorted(np.cumsum(order), order.sum() / 2)]
    least = max(DUST * typical, SMALLEST * pieces[0].size)
    return [piece for piece, area in zip(pieces, areas, strict=True) if area >= least]


def _is_part(piece: Mask, away: Distance) -> bool:
    return bool(_mostly_in_view(piece) and _rim(piece, away) < SOFTEST * max(piece.shape))


def _rim(piece: Mask, away: Distance) -> float:
    """Width, in pixels, over which the difference from the ground falls off at the outline: its median."""
    edge = piece & (cv2.erode(piece.astype(np.uint8), np.ones((3, 3), np.uint8)) == 0)
    capped = np.minimum(away, 24)
    slope = np.hypot(cv2.Sobel(capped, cv2.CV_32F, 1, 0), cv2.Sobel(capped, cv2.CV_32F, 0, 1)) / 8
    steepest = cv2.dilate(slope, np.ones((5, 5), np.uint8))[edge]
    height = float(np.percentile(capped[piece], 75))
    return height / max(float(np.median(steepest)), 1e-6)


def _touches(piece: Mask) -> bool:
    return bool(piece[:2].any() or piece[-2:].any() or piece[:, :2].any() or piece[:, -2:].any())


def _mostly_in_view(piece: Mask) -> bool:
    """Whether more than about half of it is in the frame: it is wider, or reaches farther in, than where it is cut."""
    for side in (piece, piece[::-1], piece.T, piece.T[::-1]):  # cut by the first row
        if side[:2].any():
            cut = float(side[:3].any(axis=0).sum())
            rows = np.flatnonzero(side.any(axis=1))
            widest = float(side.sum(axis=1).max())
            if widest < 1.1 * cut and rows[-1] + 1 < 1.5 * cut:
                return False
    return True


def _in_reading_order(pieces: list[Mask]) -> list[Mask]:
    """From the top left: rows of pieces whose middles lie within the height of the first, each from the left."""
    boxes = [cv2.boundingRect(piece.astype(np.uint8)) for piece in pieces]
    left = sorted(range(len(pieces)), key=lambda i: boxes[i][1] + boxes[i][3] / 2)
    ordered: list[int] = []
    while left:
        _, y, _, height = boxes[left[0]]
        row = [i for i in left if boxes[i][1] + boxes[i][3] / 2 < y + height]
        ordered += sorted(row, key=lambda i: boxes[i][0] + boxes[i][2] / 2)
        left = [i for i in left if i not in row]
    return [pieces[i] for i in ordered]


def _part(piece: Mask, lab: Lab, photo: Photo) -> Part:
    quality = one.quality_of(lab, piece)
    how = f"stands out from its ground by {quality:.2f}"
    return Part(one.enlarge(piece, photo), one.box_of(piece, photo), quality, how)
