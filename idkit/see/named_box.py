"""The box that a person names as bare metal: whether it can be read, and what of it."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.cues.colour import FEWEST
from idkit.see.light import luminance
from idkit.see.patch import fit_to_judge, mask_of_box, of_mask
from idkit.see.scratch import FLOOR
from idkit.vocabulary import Floats, Mask, Part, Patch, Photo, White

Box = tuple[int, int, int, int]

CLEAR = 0.3  # quality of the outline from which a box is cut at it
ON_PART = 1 / 3  # share of the box that should lie on the part
LEAST_SHARE = 0.15  # of the box, that a colour must take to count as one of two
APART, CLEARLY = 0.1, 2.0  # how far two colours lie apart, in ln units and against their own spread
EVENEST = 0.05  # spread of the skin, in ln units, under which it is not counted as more even
FEWEST_NAMED = 100  # pixels fit to judge that a box must hold; from memory
AS_FOUND = "so the part is judged as found"


@dataclass(frozen=True)
class Skin:
    """What lies around the box: its middle, and half of what 80 in 100 lie between, on each of `axes`."""

    middle: Floats
    spread: Floats


def refusal_of_box(photo: Photo, box: Box, part: Part | None) -> str:
    """Why a box x, y, width, height in pixels of the photo can't be read, in one line; '' where it can.

    It must lie on the part that was found, a third of it at the least, and hold a hundred pixels fit to judge.
    CallError where it is off the picture.
    """
    whole = mask_of_box(photo, box)
    if share_on(whole, part) < ON_PART:
        return (
            f"the scratch box lies beside the part that was found, {AS_FOUND}: name a box on it, as X,Y,W,H from the "
            "top left of the picture"
        )
    count = _fit(photo, _on_part(whole, part))
    if count < FEWEST_NAMED:
        return (
            f"the scratch box holds {count} pixels fit to judge, {FEWEST_NAMED} are needed, {AS_FOUND}: name a larger "
            "box, or take a photo closer to the scratch without glare"
        )
    return ""


def of_named_box(photo: Photo, box: Box, part: Part | None, white: White) -> Patch:
    """The patch of bare metal in a box x, y, width, height in pixels of the photo that `refusal_of_box` lets pass.

    Where the part's outline is clear, only what of the box lies on it is read. Where the box holds two clearly
    different colours, the one less like the skin around the box is. CallError where the box is off the picture.
    """
    whole = mask_of_box(photo, box)
    skin = _around(photo, whole, part)
    return of_mask(photo, bare_piece(photo, _on_part(whole, part), skin), box, white)


def share_on(box: Mask, part: Part | None) -> float:
    """Share of the box that lies on the part; 1 where no part was found."""
    return 1.0 if part is None else float((box & part.mask).sum() / max(1, box.sum()))


def bare_piece(photo: Photo, mask: Mask, skin: Skin | None) -> Mask:
    """The bare metal where a mask holds two clearly different colours, skin and metal; else the mask as it is.

    Two groups (k-means of the axes in units of the skin's own spread, so that light and dark in a mirroring skin count
    for little), kept apart only where each takes a good share and their means lie `APART` ln units and `CLEARLY`
    spreads apart. The group less like the skin is metal; where there is no telling, the one nearer the middle.
    """
    rows, columns = np.nonzero(mask)
    fit = fit_to_judge(photo.linear[mask].astype(np.float64))
    if fit.sum() < 2 * FEWEST:
        return mask
    points = _axes_in(photo, mask)[fit]
    labels = _two(points if skin is None else points / np.maximum(skin.spread, EVENEST))
    groups = [points[labels == k] for k in (0, 1)]
    if min(len(group) for group in groups) < max(FEWEST, LEAST_SHARE * fit.sum()) or not _differ(groups):
        return mask
    metal = _less_like([np.median(group, axis=0) for group in groups], skin)
    if metal is None:
        metal = _nearer_middle(rows[fit], columns[fit], labels)
    kept = np.zeros_like(mask)
    kept[rows[fit][labels == metal], columns[fit][labels == metal]] = True
    return kept


def _axes_in(photo: Photo, mask: Mask) -> Floats:
    """The axes of what lies in a mask, single pixels smoothed away, n x 3."""
    return axes(cv2.medianBlur(photo.linear, 3)[mask].astype(np.float64))


def axes(colours: Floats) -> Floats:
    """Half of ln luminance, ln(R/G) and ln(B/G) of n x 3 linear colours, n x 3; damped in the dark."""
    logs = np.log(np.maximum(colours, 0) + FLOOR)
    light = 0.5 * np.log(luminance(np.maximum(colours, 0)) + FLOOR)
    return np.stack([light, logs[:, 0] - logs[:, 1], logs[:, 2] - logs[:, 1]], axis=1)


def _two(points: Floats) -> NDArray[np.int32]:
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 1e-3)
    cv2.setRNGSeed(1)
    _, labels, _ = cv2.kmeans(points.astype(np.float32), 2, np.empty(0), stop, 3, cv2.KMEANS_PP_CENTERS)
    return np.asarray(labels.ravel(), np.int32)


def _differ(groups: list[Floats]) -> bool:
    """Whether the groups are two colours, not one that varies: far apart in ln R/G and ln B/G against their spread."""
    one, two = (np.median(group[:, 1:], axis=0) for group in groups)
    apart = float(np.linalg.norm(one - two))
    spread = max(float(np.median(np.linalg.norm(g[:, 1:] - np.median(g[:, 1:], axis=0), axis=1))) for g in groups)
    return apart > APART and apart > CLEARLY * spread


def _less_like(middles: list[Floats], skin: Skin | None) -> int | None:
    """Which of two colours is plainly further from that of the skin."""
    if skin is None:
        return None
    first, second = (float(np.linalg.norm((middle - skin.middle)[1:])) for middle in middles)
    if max(first, second) < 1.5 * min(first, second):
        return None
    return 0 if first > second else 1


def _nearer_middle(rows: NDArray[np.intp], columns: NDArray[np.intp], labels: NDArray[np.int32]) -> int:
    away = np.hypot(
        (rows - rows.mean()) / max(1.0, float(np.ptp(rows))),
        (columns - columns.mean()) / max(1.0, float(np.ptp(columns))),
    )
    return 0 if away[labels == 0].mean() < away[labels == 1].mean() else 1


def _around(photo: Photo, box: Mask, part: Part | None) -> Skin | None:
    """The part in a ring around the box; None where there is too little of it to tell."""
    if part is None:
        return None
    reach = max(3, round(0.3 * float(np.sqrt(box.sum()))))
    kernel = cv2.getStructuringElement(cv2.MORPH_RECT, (2 * reach + 1, 2 * reach + 1))
    ring = (cv2.dilate(box.astype(np.uint8), kernel) > 0) & ~box & part.mask
    if ring.sum() < FEWEST:
        return None
    around = _axes_in(photo, ring)
    return Skin(np.median(around, axis=0), np.ptp(np.percentile(around, (10, 90), axis=0), axis=0) / 2)


def _on_part(box: Mask, part: Part | None) -> Mask:
    """What of a box lies on the part, where its outline is clear; else the box."""
    return np.asarray(box & part.mask) if part is not None and part.quality >= CLEAR else box


def _fit(photo: Photo, mask: Mask) -> int:
    colours = photo.linear[mask].astype(np.float64)
    return int(fit_to_judge(colours).sum()) if len(colours) else 0
