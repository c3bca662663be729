"""The graph cut's first guess at a part: which patches of even colour are ground, and what is shadow on it."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.ground import length, nearest
from idkit.see.shadow import TINT, fading
from idkit.see.sheet import sheet_of
from idkit.vocabulary import Mask

BORDER = 0.06  # width of the frame's edge that is taken to be mostly ground
GROUPS, TRIES = 6, 4  # of colours in the frame; times they are looked for from other starts
SHADED = 5.0  # CIELAB units, lightness counting five twelfths, by which a ground may differ in light and shade
CENTRE = 0.25  # radius of the middle, as a share of the shorter side, that is taken to be mostly part
OF_GROUND = 2.5  # the same, within which a patch that the part encloses is ground seen through a hole
HOLE, LARGE_GROUND = 0.012, 0.05  # shares of the frame that such a patch, and the ground it is held against, take
OPEN = 0.1  # share of what is around a hole that may be ground outside
UNEVEN = 2.0  # CIELAB units of lightness by which it may vary more than the ground: a facet varies by more
NO_EDGE, LEAST_MET = 1.5, 10  # CIELAB units a pixel between patches of one surface; pixels along which they meet
MOST_SHADOW = 0.45  # share of the first guess at the part that may be shadow

Labels = NDArray[np.int32]


def border_of(shape: tuple[int, ...]) -> Mask:
    """The frame's edge, mostly ground."""
    edge = max(2, round(BORDER * min(shape[:2])))
    border = np.ones(shape[:2], bool)
    border[edge:-edge, edge:-edge] = False
    return border


def zones(shape: tuple[int, ...]) -> tuple[Mask, Mask]:
    """The frame's edge and its middle."""
    height, width = shape[:2]
    y, x = np.mgrid[:height, :width]
    border = border_of(shape)
    radius = CENTRE * min(height, width)
    middle = (y - height / 2) ** 2 + (x - width / 2) ** 2 < radius**2
    return border, middle


def first_guess(lab: NDArray[np.float32]) -> tuple[NDArray[np.uint8] | None, Mask | None]:
    """GrabCut's first guess, None where no patch of even colour is ground rather than part; and all that a sheet of
    paper under the part holds, if one is.

    A patch (one group of colours, connected) is ground where it takes a third of the frame's edge, or is met at the
    edge twice as often as in the middle, or at the edge a good deal and does not fill the middle; so is what reaches
    the edge and differs from such ground by little more than light and shade, step by step; and so are a sheet of paper
    that a part lies on, and all beside that sheet.
    """
    border, middle = zones(lab.shape)
    patches = _patches(_groups(lab))
    count = int(patches.max()) + 1
    at_border = np.bincount(patches[border], minlength=count) / border.sum()
    in_middle = np.bincount(patches[middle], minlength=count) / middle.sum()
    ground = (
        (at_border > 0.35) | (at_border > np.maximum(2 * in_middle, 0.004)) | ((at_border > 0.12) & (in_middle < 0.5))
    )
    means = _means(patches, lab, count)
    reaching = (at_border > 0.02) & (in_middle < 0.7)
    ground |= (nearest(means, means[ground & (at_border > 0.15)]) < SHADED) & reaching
    sizes = np.bincount(patches.ravel(), minlength=count)
    large = sizes > 0.05 * patches.size
    ground |= (nearest(means, means[ground & large]) < SHADED) & reaching & large
    ground = _going_on(ground, reaching, patches, means, lab)
    paper, beside, within = sheet_of(patches, sizes, means, ground, lab)
    ground |= paper | beside
    if at_border[ground].sum() < 0.15 or in_middle[~ground].sum() < (0.02 if within is None else 0):
        return None, None
    seeds = np.full(patches.shape, cv2.GC_PR_FGD, np.uint8)
    seeds[(ground | _holes(patches, lab, means, ground))[patches]] = cv2.GC_PR_BGD
    seeds[ground[patches] & border] = cv2.GC_BGD
    seeds[(_neighbours(means, ground, at_border, in_middle) & ~paper)[patches]] = cv2.GC_PR_FGD
    largest = patches == int(np.argmax(np.where(ground, at_border, -1)))
    for lit in (largest,) if within is None else (largest, paper[patches]):
        shadows = fading(lab, lit)
        part = seeds == cv2.GC_PR_FGD
        if (part & shadows).sum() < MOST_SHADOW * part.sum():  # else it leaked into a part as smooth and grey as shade
            seeds[shadows & part] = cv2.GC_PR_BGD
    return seeds, within


def _going_on(
    ground: Mask, may_be: Mask, patches: Labels, means: NDArray[np.float64], lab: NDArray[np.float32]
) -> Mask:
    """The ground with the patches into which it goes on without an edge, step by step, as where the light falls off."""
    found = ground.copy()
    if not (may_be & ~found).any():
        return found
    one, other = _meeting(patches, means, lab)
    while True:
        more = np.zeros_like(found)
        more[one[found[other]]] = more[other[found[one]]] = True
        more &= may_be & ~found
        if not more.any():
            return found
        found |= more


def _meeting(
    patches: Labels, means: NDArray[np.float64], lab: NDArray[np.float32]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs of patches that meet without an edge and are one colour in more and less light: the one, the other."""
    smooth = cv2.GaussianBlur(lab, (0, 0), 1.0)
    keys, steps = [], []
    for first, second in ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:])):
        across = patches[first] != patches[second]
        pair = np.sort(np.stack([patches[first][across], patches[second][across]]), axis=0).astype(np.int64)
        keys.append(pair[0] * len(means) + pair[1])
        steps.append(length(smooth[first][across] - smooth[second][across]))
    pairs, which, counts = np.unique(np.concatenate(keys), return_inverse=True, return_counts=True)
    even = np.bincount(which.ravel(), np.concatenate(steps)) < NO_EDGE * counts
    one, other = np.divmod(pairs, len(means))
    share = (means[one, :1] + 16) / (means[other, :1] + 16)
    alike = length(means[one, 1:] - share * means[other, 1:]) < TINT
    kept = even & alike & (counts > LEAST_MET)
    return one[kept], other[kept]


def _holes(patches: Labels, lab: NDArray[np.float32], means: NDArray[np.float64], ground: Mask) -> Mask:
    """Which patches are ground seen through a hole: large ones of its very colour, as even as it is, inside a part."""
    sizes = np.bincount(patches.ravel(), minlength=len(means))
    large = np.flatnonzero(ground & (sizes > LARGE_GROUND * patches.size))
    may_be = np.flatnonzero(~ground & (sizes > HOLE * patches.size) & (nearest(means, means[large]) < OF_GROUND))
    found = np.zeros_like(ground)
    if not may_be.size:
        return found
    even = UNEVEN + max(float(lab[..., 0][patches == number].std()) for number in large)
    for number in may_be:
        inside = (patches == number).astype(np.uint8)
        around = (cv2.dilate(inside, np.ones((7, 7), np.uint8)) > 0) & (inside == 0)
        edged = ground[patches[around]].mean() >= OPEN  # then it lies at the part's edge, as a facet does
        found[number] = not edged and lab[..., 0][inside > 0].std() < even
    return found


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
    """Which group of colours each pixel is in; the groups are found among each second pixel of each second row."""
    blurred = cv2.bilateralFilter(lab, 5, 12, 2) * np.array([0.6, 1, 1], np.float32)
    few = np.ascontiguousarray(blurred[::2, ::2].reshape(-1, 3))
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 20, 0.5)
    cv2.setRNGSeed(1)
    _, _, middles = cv2.kmeans(few, GROUPS, np.empty(0), stop, TRIES, cv2.KMEANS_PP_CENTERS)
    return np.asarray(np.argmin((middles**2).sum(axis=1) - 2 * blurred @ middles.T, axis=2), np.int32)
