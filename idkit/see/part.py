"""Where the part is."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.cielab import cielab
from idkit.see.photo import srgb_to_linear
from idkit.vocabulary import Mask, Part, Photo

SMALL = 192  # longer side, in pixels, at which the part is looked for
BORDER = 0.06  # width of the frame's edge that is taken to be mostly ground
CENTRE = 0.25  # radius of the middle, as a share of the shorter side, that is taken to be mostly part
FAINTEST = 0.04  # quality, one CIELAB unit: what is left of uneven light on bare paper reaches 0.035

# A shadow: how far its a*, b* may be from the ground's in less light, and CIELAB units a pixel that are no edge.
SHADOW_TINT, SHADOW_SLOPE = 5.0, 3.0
MOST_SHADOW = 0.45  # share of the first guess at the part that may be shadow

Labels = NDArray[np.int32]


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
    mask = _outlined(lab)
    share = float(mask.mean())
    if share < 0.002 or share > 0.97:
        return _whole(photo, "the part fills the frame") if share > 0.97 or _textured(lab) else None
    quality = quality_of(lab, mask)
    if quality < FAINTEST:
        return None
    upright = turn(mask, back=True)
    return Part(
        enlarge(upright, photo), box_of(upright, photo), quality, f"stands out from its ground by {quality:.2f}"
    )


def whole(photo: Photo) -> Part:
    """The whole frame as the part."""
    return _whole(photo, "the whole frame was taken")


@lru_cache(maxsize=2)
def ground_of(part: Part) -> Mask:
    """What is not the part, kept clear of its edge and its contact shadow by a fiftieth of the frame."""
    height, width = part.mask.shape
    scale = max(1, round(max(height, width) / SMALL))
    small = cv2.resize(part.mask.astype(np.uint8), (max(1, width // scale), max(1, height // scale)))
    near = cv2.dilate(small, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (9, 9)))
    away = cv2.resize(near, (width, height), interpolation=cv2.INTER_NEAREST) == 0
    return np.asarray(away & ~part.mask)


def small_lab(photo: Photo, side: int = SMALL) -> NDArray[np.float32]:
    """CIELAB of the photo, area-averaged to at most `side` pixels."""
    height, width = photo.linear.shape[:2]
    scale = min(1.0, side / max(height, width))
    size = (max(8, round(width * scale)), max(8, round(height * scale)))
    small = cv2.resize(photo.linear, size, interpolation=cv2.INTER_AREA)
    shown = np.clip(small, 0, 1).astype(np.float64) ** (1 / 2.2)  # deep shadow a little darker than by sRGB's own curve
    return np.asarray(cielab(srgb_to_linear(shown)), np.float32)


def _outlined(lab: NDArray[np.float32]) -> Mask:
    seeds = _seeds(lab)
    return np.zeros(lab.shape[:2], bool) if seeds is None else _middle_piece(_cut(lab, seeds), lab)


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


def border_of(shape: tuple[int, ...]) -> Mask:
    """The frame's edge, mostly ground."""
    edge = max(2, round(BORDER * min(shape[:2])))
    border = np.ones(shape[:2], bool)
    border[edge:-edge, edge:-edge] = False
    return border


def _zones(shape: tuple[int, ...]) -> tuple[Mask, Mask]:
    """The frame's edge and its middle."""
    height, width = shape[:2]
    y, x = np.mgrid[:height, :width]
    border = border_of(shape)
    radius = CENTRE * min(height, width)
    middle = (y - height / 2) ** 2 + (x - width / 2) ** 2 < radius**2
    return border, middle


def evened(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """Take out a quadratic fit to the ground, where the edge of the frame shows one ground (else unchanged).

    Reweighted least squares (Cauchy weights, scale 6 CIELAB units) over the edge of the frame, where neighbours and
    whatever of the part reaches it count for little; the curved terms are held stiff.
    """
    border, _ = _zones(lab.shape)
    height, width = lab.shape[:2]
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    terms = np.stack([np.ones_like(x), x, y, x * y, x**2, y**2], axis=-1)
    at_edge, values = terms[border], lab[border].astype(np.float64)
    stiff = np.diag([0, 0, 0, 0.05, 0.05, 0.05]) * len(values)
    away = np.linalg.norm(values - np.median(values, axis=0), axis=1)
    for _ in range(6):
        weighted = at_edge / (1 + (away / 6) ** 2)[:, None]
        coefficients = np.linalg.solve(weighted.T @ at_edge + stiff, weighted.T @ values)
        away = np.linalg.norm(values - at_edge @ coefficients, axis=1)
    slope = terms @ coefficients
    tint = np.ptp(slope[..., 1:].reshape(-1, 2), axis=0).max()
    if np.percentile(away, 75) > 8 or tint > 6:  # more than one ground, or many neighbours: light changes, not colour
        return lab
    return np.asarray(lab - (slope - slope[border].mean(axis=0)), np.float32)


def _seeds(lab: NDArray[np.float32]) -> NDArray[np.uint8] | None:
    """GrabCut's first guess, or None where no patch of even colour is ground rather than part.

    A patch (one group of colours, connected) is ground where it takes a third of the frame's edge, or is met at the
    edge twice as often as in the middle, or at the edge a good deal and does not fill the middle; so is what reaches
    the edge and differs from such ground by little more than light and shade.
    """
    border, middle = _zones(lab.shape)
    patches = _patches(_groups(lab))
    count = int(patches.max()) + 1
    at_border = np.bincount(patches[border], minlength=count) / border.sum()
    in_middle = np.bincount(patches[middle], minlength=count) / middle.sum()
    ground = (
        (at_border > 0.35) | (at_border > np.maximum(2 * in_middle, 0.004)) | ((at_border > 0.12) & (in_middle < 0.5))
    )
    means = _means(patches, lab, count)
    ground |= _shaded_alike(means, ground & (at_border > 0.15)) & (at_border > 0.02) & (in_middle < 0.7)
    if at_border[ground].sum() < 0.15 or in_middle[~ground].sum() < 0.02:
        return None
    seeds = np.full(patches.shape, cv2.GC_PR_FGD, np.uint8)
    seeds[ground[patches]] = cv2.GC_PR_BGD
    seeds[ground[patches] & border] = cv2.GC_BGD
    seeds[_neighbours(means, ground, at_border, in_middle)[patches]] = cv2.GC_PR_FGD
    largest = patches == int(np.argmax(np.where(ground, at_border, -1)))
    shadows = _shadows(lab, largest)
    part = (seeds == cv2.GC_PR_FGD) | (seeds == cv2.GC_FGD)
    if (part & shadows).sum() < MOST_SHADOW * part.sum():  # else it has leaked into a part as smooth and grey as shade
        seeds[shadows] = cv2.GC_PR_BGD
    return seeds


def _shadows(lab: NDArray[np.float32], ground: Mask) -> Mask:
    """What fades into the ground without an edge and is the ground's colour in less light.

    In k times the light L* + 16 is k to the power 1/3 of what it was, and a*, b* are that share of theirs (by the cube
    root of CIELAB, CIE 15, its linear foot neglected).
    """
    of_ground = np.median(lab[ground], axis=0)
    share = (lab[..., 0] + 16) / (of_ground[0] + 16)
    tint = np.linalg.norm(lab[..., 1:] - share[..., None] * of_ground[1:], axis=2)
    smooth = cv2.GaussianBlur(lab, (0, 0), 0.7)
    slope = np.hypot(cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)).max(axis=2) / 8
    fades = (tint < SHADOW_TINT) & (share < 1.02) & (share > 0.4) & (slope < SHADOW_SLOPE)
    wide = cv2.erode((fades | ground).astype(np.uint8), np.ones((3, 3), np.uint8))  # no leak at a weak edge
    _, pieces = cv2.connectedComponents(wide, connectivity=4)
    reached = np.bincount(pieces.ravel(), ground.ravel()) > 0
    reached[0] = False
    return np.asarray(fades & (cv2.dilate(reached[pieces].astype(np.uint8), np.ones((3, 3), np.uint8)) > 0))


def _neighbours(
    means: NDArray[np.float64],
    ground: Mask,
    at_border: NDArray[np.float64],
    in_middle: NDArray[np.float64],
) -> Mask:
    """Which patches at the edge are other parts like the one in the middle, and so no example of the ground."""
    part, mostly = int(np.argmax(np.where(ground, -1, in_middle))), int(np.argmax(at_border))
    alike, apart = (np.linalg.norm(means - means[i], axis=1) for i in (part, mostly))
    return np.asarray(ground & (at_border < 0.2) & (alike < 15) & (apart > 15))


def _means(patches: Labels, lab: NDArray[np.float32], count: int) -> NDArray[np.float64]:
    """Mean CIELAB of each patch, patches x 3."""
    sizes = np.maximum(np.bincount(patches.ravel(), minlength=count), 1)
    return np.stack([np.bincount(patches.ravel(), lab[..., i].ravel(), count) / sizes for i in range(3)], axis=1)


def _shaded_alike(means: NDArray[np.float64], ground: Mask) -> Mask:
    """Which patches have the colour of a ground patch, lightness counting little: 5 CIELAB units, 12 of L*."""
    scaled = means * np.array([5 / 12, 1, 1])
    if not ground.any():
        return np.zeros_like(ground)
    return np.asarray(np.linalg.norm(scaled[:, None] - scaled[None, ground], axis=2).min(axis=1) < 5)


def _patches(groups: Labels) -> Labels:
    """Connected pieces of each group, numbered through."""
    found = np.zeros(groups.shape, np.int32)
    total = 0
    for group in np.unique(groups):
        count, labels = cv2.connectedComponents((groups == group).astype(np.uint8), connectivity=4)
        inside = labels > 0
        found[inside] = labels[inside] - 1 + total
        total += count - 1
    return found


def _groups(lab: NDArray[np.float32]) -> Labels:
    blurred = cv2.bilateralFilter(lab, 5, 12, 2)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 20, 0.5)
    cv2.setRNGSeed(1)
    pixels = blurred.reshape(-1, 3) * np.array([0.6, 1, 1], np.float32)
    _, labels, _ = cv2.kmeans(pixels, 6, np.empty(0), stop, 4, cv2.KMEANS_PP_CENTERS)
    return np.asarray(labels.reshape(lab.shape[:2]), np.int32)


def _cut(lab: NDArray[np.float32], seeds: NDArray[np.uint8]) -> Mask:
    shifted = lab * np.array([2.55, 1, 1], np.float32) + np.array([0, 128, 128], np.float32)
    scaled = np.clip(shifted, 0, 255).astype(np.uint8)
    labels = seeds.copy()
    cv2.setRNGSeed(1)
    models = np.zeros((1, 65)), np.zeros((1, 65))
    cv2.grabCut(scaled, labels, (0, 0, 1, 1), *models, 3, cv2.GC_INIT_WITH_MASK)
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
    y, x = np.mgrid[:height, :width]
    weight = np.exp(-8 * (((y - height / 2) / height) ** 2 + ((x - width / 2) / width) ** 2))
    best = int(np.argmax(np.bincount(labels.ravel(), weight.ravel(), count)[1:])) + 1
    return _filled(labels == best, mask, lab)


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
