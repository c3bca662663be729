"""Where each of several parts is, on one plain ground."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see import part as one
from idkit.see.ground import away_from_ground, quadratic, surface
from idkit.see.parting import Labels, parted
from idkit.see.seeds import border_of
from idkit.see.srgb import brightest
from idkit.vocabulary import Mask, Part, Photo

SIDE = 1024  # longer side, in pixels, at which parts are looked for
FAINT = 4.0  # spreads of the ground: what is nearer is ground
CLEAR = 8.0  # spreads of the ground that some of a part must differ by
DUST = 0.02  # share of the area of a typical part below which a piece is dust or grain of the ground
SMALLEST = 0.0004  # share of the frame, likewise
RAGGED = 0.85  # mean solidity, by area, below which pieces are scraps of something that is too like its ground
LEAST_BESIDE = 0.02  # share of a part that must lie beside it before others are looked for
LEAST_GROUND, LEAST_GROUND_AT_EDGE = 0.4, 0.5  # share of the frame, and of its edge, that must be ground
SAME, CLEAR_OF = 0.8, 0.9  # overlap of a piece with the part that it is; share of a piece that is quite clear of it
LEAST_ON_IT, LEAST_ON_GROUND = 0.4, 0.1  # share of the part that pieces on it must make up; where it is mostly ground
ENOUGH_BESIDE = 3  # whole parts clear of the one that was found, however that one comes out
SOLID = 0.9  # solidity of whole parts; glare and print leave ragged pieces
BLOWN, MOST_BLOWN = 0.97, 0.3  # linear light, and share of the frame, from which a part may be blown out in between
CAP = 24.0  # spreads of the ground beyond which no rim is followed
SHADE, FEW = 25.0, 4000  # L* by which light falls off across a sheet, at most; pixels of it that are looked at
RIM_OF_SHEET = 0.01  # share of the longer side along the edge of a sheet that is left out: corners are not quite found
SOFTEST = 0.018  # share of the longer side: a wider rim is a shadow's, not a part's

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
    whole = one.find(photo)
    lab = _all_sheet(one.small_lab(photo, SIDE), whole)
    away = away_from_ground(lab)
    pieces = _pieces(away, _outlined(away))
    ragged = not pieces or np.average([*map(_solidity, pieces)], weights=[int(p.sum()) for p in pieces]) < RAGGED
    if ragged and whole is not None and whole.quality > 0 and _all_of_it(pieces, whole.mask):
        return (whole,)
    return tuple(_part(piece, lab, photo) for piece in pieces)


def among(photo: Photo, part: Part | None) -> tuple[Part | None, int]:
    """The part that was meant and how many lie apart with it, at the least; 1 unless that is quite certain.

    `part` is what `find` gave; the others are looked for in the same small picture, where pieces that touch are one.
    Certain is: the ground takes a good deal of the frame and of its edge, and of two or more pieces that nothing cuts,
    with sharp rims and a quarter of the largest or more, `part` is one; or some are on it and others quite clear of it:
    then the one nearest the middle is given instead. Glare and print leave pieces too, but `find` sees the whole that
    they are on; in a photo that is blown out a part may come in pieces, and nothing is said.
    """
    if (brightest(photo.linear[::4, ::4]) > BLOWN).mean() > MOST_BLOWN:
        return part, 1
    lab = _all_sheet(one.small_lab(photo), part)
    away = away_from_ground(lab)
    ground = away < FAINT
    if ground.mean() < LEAST_GROUND or ground[border_of(away.shape)].mean() < LEAST_GROUND_AT_EDGE:
        return part, 1
    outlined = _outlined(away)
    mask = _as_large(part, away.shape)
    if _clear_of(outlined, mask) < LEAST_BESIDE * mask.sum():
        return part, 1
    alike = _alike(_apart(away, outlined))
    if len(alike) > 1 and any(_overlap(piece, mask) > SAME for piece in alike):
        return part, len(alike)
    meant, count = _told(alike, mask, away)
    return (part if meant is None else _part(meant, lab, photo)), count


def _all_sheet(lab: Lab, part: Part | None) -> Lab:
    """The picture as if the sheet that the part lies on went on past the frame: what is beside it is painted over."""
    if part is None or part.sheet is None:
        return lab
    within = cv2.resize(part.sheet.view(np.uint8), lab.shape[1::-1], interpolation=cv2.INTER_NEAREST_EXACT)
    width = 2 * round(RIM_OF_SHEET * max(lab.shape)) + 3
    clear = cv2.erode(within, np.ones((width, width), np.uint8), borderValue=0) > 0
    if not clear.any():
        return lab
    paper = clear & (lab[..., 0] > np.percentile(lab[clear, 0], 90) - SHADE)
    some = np.flatnonzero(paper)[:: max(1, int(paper.sum()) // FEW)]
    terms, values = quadratic(lab.shape[:2]).reshape(-1, 6)[some, :3], lab.reshape(-1, 3)[some].astype(np.float64)
    level = np.zeros((6, 3))
    level[:3] = np.linalg.lstsq(terms, values, rcond=None)[0]  # and slopes; a curve would run away past the sheet
    return np.where(clear[..., None], lab, surface(level, lab.shape)).astype(np.float32)


def _told(alike: list[Mask], mask: Mask, away: Distance) -> tuple[Mask | None, int]:
    """How many parts lie apart where none of the pieces is the part that was found, and the one to take for it.

    None where the part is to be kept.
    """
    solid = [piece for piece in alike if _solidity(piece) > SOLID]
    beside = [piece for piece in solid if _clear_of(piece, mask) > CLEAR_OF * piece.sum()]
    on_it = [piece for piece in solid if (piece & mask).sum() > 0.5 * piece.sum()]
    ground_taken = _mostly_ground(mask, away)
    least = (LEAST_ON_GROUND if ground_taken else LEAST_ON_IT) * mask.sum()
    if on_it and np.any(on_it, axis=0).sum() < least:  # scraps of relief
        return None, 1
    if mask.any() and len(beside) >= ENOUGH_BESIDE and np.median([p.sum() for p in beside]) > mask.sum() / 5:
        return None, len(beside) + 1  # itself of several that touch
    if len(solid) < 2 or (mask.any() and not (on_it and (beside or ground_taken))):
        return None, 1
    return min(on_it or solid, key=_from_middle), len(alike)


def _as_large(part: Part | None, shape: tuple[int, ...]) -> Mask:
    if part is None:
        return np.zeros(shape, bool)
    return np.asarray(cv2.resize(part.mask.view(np.uint8), shape[::-1], interpolation=cv2.INTER_NEAREST_EXACT) > 0)


def _apart(away: Distance, outlined: Mask) -> list[Mask]:
    """Pieces of what differs from the ground that lie apart and that nothing cuts, sharp at their rims."""
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (3, 3))
    opened = cv2.morphologyEx(outlined.astype(np.uint8), cv2.MORPH_OPEN, kernel)
    labels = np.asarray(cv2.connectedComponents(opened, connectivity=4)[1], np.int32)
    slope = _slope(away)
    found = (_solid(labels, number, away) for number in _large(labels))
    return [p for p in found if not _touches(p) and _rim(p, away, slope) < SOFTEST * max(away.shape)]


def _mostly_ground(mask: Mask, away: Distance) -> bool:
    """Whether what was taken for one part is ground with things on it."""
    return bool((away[mask] < FAINT).sum() > 0.5 * max(1, mask.sum()))


def _clear_of(piece: Mask, mask: Mask) -> int:
    """Pixels of a piece that lie clear of a mask."""
    near = cv2.dilate(np.asarray(mask, np.uint8), np.ones((7, 7), np.uint8)) > 0
    return int(np.count_nonzero(piece & ~near))


def _all_of_it(pieces: list[Mask], mask: Mask) -> bool:
    """Whether the pieces are scraps of that one part: four fifths of their area lie in it."""
    if not pieces:
        return True
    whole = cv2.resize(mask.astype(np.uint8), pieces[0].shape[::-1], interpolation=cv2.INTER_NEAREST) > 0
    every = np.any(pieces, axis=0)
    return bool((every & whole).sum() > 0.8 * every.sum())


def _alike(pieces: list[Mask]) -> list[Mask]:
    largest = max((int(piece.sum()) for piece in pieces), default=0)
    return [piece for piece in pieces if piece.sum() > largest / 4]


def _overlap(piece: Mask, other: Mask) -> float:
    """Intersection over union, 0 to 1."""
    return float((piece & other).sum() / max(1, (piece | other).sum()))


def _solidity(piece: Mask) -> float:
    """Share of its convex hull that lies inside the outline of a piece, holes and all; 0 to 1."""
    outlines, _ = cv2.findContours(piece.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    around = cv2.contourArea(cv2.convexHull(np.concatenate(outlines)))
    return min(1.0, sum(map(cv2.contourArea, outlines)) / max(1.0, around))


def _from_middle(piece: Mask) -> float:
    """Distance of its middle from the frame's, in pixels."""
    middle = np.argwhere(piece).mean(axis=0)
    return float(np.linalg.norm(middle - np.array(piece.shape) / 2))


def together(parts: tuple[Part, ...]) -> Part:
    """All the parts of one photo as one, so that none of them is taken for ground; at least one part."""
    return Part(np.any([each.mask for each in parts], axis=0), parts[0].box, parts[0].quality, "all parts together")


def _pieces(away: Distance, outlined: Mask) -> list[Mask]:
    labels = parted(outlined)
    slope = _slope(away)
    found = (_solid(labels, number, away) for number in _large(labels))
    kept = [piece for piece in found if _mostly_in_view(piece) and _rim(piece, away, slope) < SOFTEST * max(away.shape)]
    return _in_reading_order(kept)


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


def _solid(labels: Labels, number: int, away: Distance) -> Mask:
    """One piece without gaps: a hole is what has the ground's colour and takes over a hundredth of the piece."""
    mask = labels == number
    x, y, width, height = cv2.boundingRect(mask.astype(np.uint8))
    box = slice(y, y + height), slice(x, x + width)
    piece = mask[box]
    outlines, _ = cv2.findContours(piece.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    whole = cv2.drawContours(np.zeros(piece.shape, np.uint8), outlines, -1, 1, cv2.FILLED) > 0
    whole &= (labels[box] == 0) | piece
    count, gaps, stats, _ = cv2.connectedComponentsWithStats((whole & ~piece).astype(np.uint8), connectivity=4)
    for gap in range(1, count):
        inside = gaps == gap
        if stats[gap, cv2.CC_STAT_AREA] > 0.01 * piece.sum() and np.median(away[box][inside]) < FAINT:
            whole &= ~inside
    mask[box] = whole
    return np.asarray(mask)


def _large(labels: Labels) -> list[int]:
    """The pieces that are no dust: a typical part is the one in the middle of all the area there is."""
    areas = np.bincount(labels.ravel())
    areas[0] = 0
    order = np.sort(areas)
    typical = order[np.searchsorted(np.cumsum(order), order.sum() / 2)]
    least = max(DUST * typical, SMALLEST * labels.size)
    return [int(number) for number in np.flatnonzero(areas >= least)]


def _slope(away: Distance) -> Distance:
    """How steeply the distance from the ground changes, a pixel; the steepest of five by five pixels."""
    capped = np.minimum(away, CAP)
    across, down = cv2.Sobel(capped, cv2.CV_32F, 1, 0), cv2.Sobel(capped, cv2.CV_32F, 0, 1)
    return np.asarray(cv2.dilate(np.hypot(across, down) / 8, np.ones((5, 5), np.uint8)))


def _rim(piece: Mask, away: Distance, slope: Distance) -> float:
    """Width, in pixels, over which the difference from the ground falls off at the outline: its median."""
    x, y, width, height = cv2.boundingRect(piece.view(np.uint8))
    box = slice(max(0, y - 1), y + height + 1), slice(max(0, x - 1), x + width + 1)
    inside = piece[box]
    edge = inside & (cv2.erode(inside.view(np.uint8), np.ones((3, 3), np.uint8)) == 0)
    top = min(CAP, float(np.percentile(away[box][inside], 75)))
    return top / max(float(np.median(slope[box][edge])), 1e-6)


def _touches(piece: Mask) -> bool:
    return bool(piece[:2].any() or piece[-2:].any() or piece[:, :2].any() or piece[:, -2:].any())


def _mostly_in_view(piece: Mask) -> bool:
    """Whether more than about half of it is in the frame: it is wider, or reaches farther in, than where it is cut."""
    for side in (piece, piece[::-1], piece.T, piece.T[::-1]):  # cut by the first row
        if side[:2].any():
            cut = float(side[:3].any(axis=0).sum())
            rows = np.flatnonzero(side.any(axis=1))
            widest = float(side.sum(axis=1).max())
            if widest < 1.03 * cut + 3 and rows[-1] + 1 < 1.5 * cut:  # 3 pixels: outlines are ragged
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
