"""Where the part is."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.cielab import cielab, in_bytes
from idkit.see.ground import length, quadratic, surface
from idkit.see.neighbours import alone, heaviest
from idkit.see.seeds import border_of, first_guess
from idkit.see.shadow import cast
from idkit.see.srgb import srgb_to_linear
from idkit.vocabulary import Mask, Part, Photo

SMALL = 176  # longer side, in pixels, at which the part is looked for
NEAR = 8  # pixels either side of the outline learnt at half the size, within which it is cut again
ROUNDS = 2  # of the graph cut, in which it learns what colours the part and its ground have
LOST = 0.1  # share of the first guess at a part: where the cut leaves less of a plain one, that stands
PLAIN = 0.3  # quality from which a first guess is plain
FAINTEST = 0.04  # quality, one CIELAB unit: what is left of uneven light on bare paper reaches 0.035


class Turn(Protocol):
    """Turns a picture, or `back`."""

    def __call__(self, picture: NDArray[Any], *, back: bool = False) -> NDArray[Any]:
        """The picture turned."""


def find(photo: Photo) -> Part | None:
    """The one part a photo is of, or None where nothing stands out and the frame is one even ground.

    The slow change of light across the ground is fitted and taken out first.
    Colours of the whole frame are put into groups (k-means in CIELAB); patches of one group that lie along the edge
    are ground, paper and bench alike; a graph cut (GrabCut: Rother, Kolmogorov and Blake 2004) then finds the
    outline, the same however the photo is turned. A part that fills the frame has no ground: it is the whole frame,
    with quality 0.
    """
    lab = small_lab(photo)
    turn = _turn(lab)
    lab = evened(turn(lab))
    joined, sheet = _outlined(lab)
    mask = alone(joined)
    share = float(mask.mean())
    if share < 0.002 or share > 0.97:
        return _whole(photo, "the part fills the frame") if share > 0.97 or _textured(lab) else None
    quality = quality_of(lab, mask)
    if quality < FAINTEST:
        return None
    upright = turn(mask, back=True)
    how = f"stands out from its ground by {quality:.2f}"
    under, beside = (_enlarged(of, turn, photo) for of in (sheet, joined & ~mask))
    return Part(enlarge(upright, photo), box_of(upright, photo), quality, how, under, beside)


def _enlarged(mask: Mask | None, turn: Turn, photo: Photo) -> Mask | None:
    """A turned small mask as large as the photo; None where there is nothing in it."""
    return enlarge(turn(mask, back=True), photo) if mask is not None and mask.any() else None


def whole(photo: Photo) -> Part:
    """The whole frame as the part."""
    return _whole(photo, "the whole frame was taken")


@lru_cache(maxsize=2)
def ground_of(part: Part) -> Mask:
    """What is neither the part nor what touches it, kept clear of their edges and their contact shadows by a fiftieth
    of the frame."""
    height, width = part.mask.shape
    scale = max(1, round(max(height, width) / SMALL))
    taken = part.mask if part.beside is None else part.mask | part.beside
    small = cv2.resize(taken.astype(np.uint8), (max(1, width // scale), max(1, height // scale)))
    near = cv2.dilate(small, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (9, 9)))
    away = cv2.resize(near, (width, height), interpolation=cv2.INTER_NEAREST) == 0
    return np.asarray(away & ~taken)


@lru_cache(maxsize=1)
def small_lab(photo: Photo, side: int = SMALL) -> NDArray[np.float32]:
    """CIELAB of the photo, area-averaged to at most `side` pixels; a photo smaller than SMALL is enlarged to that, so
    that it is seen as a larger one of the same scene is. Not to be changed."""
    height, width = photo.linear.shape[:2]
    scale = min(side, max(SMALL, height, width)) / max(height, width)
    size = (max(8, round(width * scale)), max(8, round(height * scale)))
    small = cv2.resize(photo.linear, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC)
    shown = np.clip(small, 0, 1) ** np.float32(1 / 2.2)  # deep shadow a little darker than by sRGB's own curve
    lab = cielab(srgb_to_linear(np.asarray(shown, np.float32)))
    lab.setflags(write=False)
    return lab


def _outlined(lab: NDArray[np.float32]) -> tuple[Mask, Mask | None]:
    """The part with what touches it, and all that a sheet of paper under it holds."""
    seeds, sheet = first_guess(lab)
    if seeds is None:
        return np.zeros(lab.shape[:2], bool), sheet
    mask = _middle_piece(_cut(lab, seeds), lab)
    shadow = cast(lab, mask)
    return _middle_piece(mask & ~shadow, lab) if shadow.any() else mask, sheet


def _turn(lab: NDArray[np.float32]) -> Turn:
    """Turns and mirrors a picture so that it lies wide with its light to the lower right, and a mask of it back.

    K-means and graph cuts depend on the order in which pixels are scanned: in this one position a photo gives the
    same outline however it is turned or mirrored.
    """
    height, width = lab.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    down, across = (float((lab[..., 0] * axis).sum()) for axis in (y, x))
    flips = (slice(None, None, -1 if down < 0 else 1), slice(None, None, -1 if across < 0 else 1))
    on_end = height > width or (height == width and abs(down) > abs(across))

    def turn(picture: NDArray[Any], *, back: bool = False) -> NDArray[Any]:
        if back:
            return np.ascontiguousarray((picture.swapaxes(0, 1) if on_end else picture)[flips])
        return np.ascontiguousarray(picture[flips].swapaxes(0, 1) if on_end else picture[flips])

    return turn


def evened(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """Take out a quadratic fit to the ground, where the edge of the frame shows one ground (else unchanged).

    Reweighted least squares (Cauchy weights, scale 6 CIELAB units) over the edge of the frame, where neighbours and
    whatever of the part reaches it count for little; the curved terms are held stiff.
    """
    border = border_of(lab.shape)
    terms = quadratic(lab.shape[:2])
    at_edge, values = terms[border], lab[border].astype(np.float64)
    stiff = np.diag([0, 0, 0, 0.05, 0.05, 0.05]) * len(values)
    away = length(values - np.median(values, axis=0))
    for _ in range(6):
        weighted = at_edge / (1 + (away / 6) ** 2)[:, None]
        coefficients = np.linalg.solve(weighted.T @ at_edge + stiff, weighted.T @ values)
        away = length(values - at_edge @ coefficients)
    slope = surface(coefficients, lab.shape)
    tint = max(np.ptp(slope[..., 1]), np.ptp(slope[..., 2]))
    if np.percentile(away, 75) > 8 or tint > 6:  # more than one ground, or many neighbours: light changes, not colour
        return lab
    return np.asarray(lab - (slope - slope[border].mean(axis=0)), np.float32)


def _cut(lab: NDArray[np.float32], seeds: NDArray[np.uint8]) -> Mask:
    """The outline from its first guess: what colours both sides have is learnt at half the size, then it is cut. Where
    all of it, or nothing, was guessed to be part, there is nothing to learn."""
    guess = _is_part(seeds)
    if guess.all() or not guess.any():
        return guess
    scaled = in_bytes(lab)
    height, width = seeds.shape
    half = cv2.resize(scaled, (width // 2, height // 2), interpolation=cv2.INTER_AREA)
    labels = cv2.resize(seeds, (width // 2, height // 2), interpolation=cv2.INTER_NEAREST)
    if not _is_part(labels).any() or _is_part(labels).all():
        half, labels = scaled, seeds.copy()
    cv2.setRNGSeed(1)
    models = np.zeros((1, 65)), np.zeros((1, 65))
    cv2.grabCut(half, labels, (0, 0, 1, 1), *models, ROUNDS, cv2.GC_INIT_WITH_MASK)
    learnt = cv2.resize(_is_part(labels).astype(np.uint8), (width, height), interpolation=cv2.INTER_NEAREST)
    labels = np.where(learnt > 0, cv2.GC_PR_FGD, cv2.GC_PR_BGD).astype(np.uint8)
    near = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * NEAR + 1, 2 * NEAR + 1))
    inner = cv2.erode(learnt, near, borderValue=0) > 0
    labels[inner & _is_part(seeds)] = cv2.GC_FGD  # not a gap that was lost at half the size
    labels[(cv2.dilate(learnt, near) == 0) | (seeds == cv2.GC_BGD)] = cv2.GC_BGD
    cv2.grabCut(scaled, labels, (0, 0, 1, 1), *models, 1, cv2.GC_EVAL_FREEZE_MODEL)
    found = _is_part(labels)
    return guess if found.sum() < LOST * guess.sum() and quality_of(lab, guess) > PLAIN else found


def _is_part(labels: cv2.typing.MatLike) -> Mask:
    return np.asarray((labels == cv2.GC_FGD) | (labels == cv2.GC_PR_FGD))


def _middle_piece(mask: Mask, lab: NDArray[np.float32]) -> Mask:
    """The piece that weighs most toward the middle, opened where it touches others, with what is no hole filled."""
    height, width = mask.shape
    radius = max(1, round(min(height, width) / 40))
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1))
    opened = cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_OPEN, kernel)
    count, labels = cv2.connectedComponents(opened if opened.any() else mask.astype(np.uint8), connectivity=4)
    if count < 2:
        return np.zeros_like(mask)
    return _filled(labels == heaviest(labels), mask, lab)


def _filled(piece: Mask, mask: Mask, lab: NDArray[np.float32]) -> Mask:
    """The piece without gaps: a gap is a hole only where it is large and has the colour of the ground outside."""
    solid = piece.astype(np.uint8)
    outlines, _ = cv2.findContours(solid, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    whole = cv2.drawContours(np.zeros_like(solid), outlines, -1, 1, cv2.FILLED) > 0
    ground = ~whole & ~mask
    count, gaps = cv2.connectedComponents((whole & ~piece).astype(np.uint8), connectivity=4)
    for number in range(1, count):
        gap = gaps == number
        if ground.any() and gap.sum() > 0.01 * piece.sum():
            colour = np.median(lab[gap], axis=0)
            alike = np.linalg.norm(lab[ground] - colour, axis=1) < 8
            if alike.mean() > 0.02:
                whole &= ~gap
    return np.asarray(whole)


def quality_of(lab: NDArray[np.float32], mask: Mask) -> float:
    """How far apart the two sides of the outline are: 0 none, 1 at 25 CIELAB units or more."""
    kernel = np.ones((3, 3), np.uint8)
    inner = mask & (cv2.erode(mask.astype(np.uint8), kernel, iterations=4) == 0)
    outer = (cv2.dilate(mask.astype(np.uint8), kernel, iterations=4) > 0) & ~mask
    if not inner.any() or not outer.any():
        return 0.0
    apart = float(np.linalg.norm(np.median(lab[inner], axis=0) - np.median(lab[outer], axis=0)))
    return min(1.0, apart / 25)


def _textured(lab: NDArray[np.float32]) -> bool:
    return bool(np.std(lab[..., 0]) > 4)


def enlarge(mask: Mask, photo: Photo) -> Mask:
    """A mask found in a small picture, as large as Photo.linear."""
    height, width = photo.linear.shape[:2]
    large = cv2.resize(mask.astype(np.float32), (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(large > 0.5)


def box_of(mask: Mask, photo: Photo) -> tuple[int, int, int, int]:
    """x, y, width, height in Photo.encoded of what is set in a mask, of whatever size, over the whole frame."""
    height, width = photo.encoded.shape[:2]
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    across, down = width / mask.shape[1], height / mask.shape[0]
    left, top = int(columns[0] * across), int(rows[0] * down)
    return left, top, round((columns[-1] + 1) * across) - left, round((rows[-1] + 1) * down) - top


def _whole(photo: Photo, how: str) -> Part:
    height, width = photo.encoded.shape[:2]
    return Part(np.ones(photo.linear.shape[:2], bool), (0, 0, width, height), 0.0, how)
