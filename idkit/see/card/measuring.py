"""Length, width and area of the part in mm, by the card."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.see.card.finding import at, of_linear
from idkit.see.card.layout import layout
from idkit.vocabulary import Card, Floats, Part, Photo, Size

EDGE = 0.5  # mm that each side of an outline may be off: blur, contact shadow; from memory
SHEET_EDGE = 2.5  # mm from the edge of the sheet within which an outline is taken to end there
PRINT = 0.005  # share by which a page printed at 100 % is off; from memory


def size(photo: Photo, card: Card, part: Part) -> Size | None:
    """The part's smallest rectangle and its area where its outline falls on the card, in mm.

    None where its outline is cut off: by the edge of the photo, or of the sheet.

    Exact for what is flat. What stands high is nearer to the phone and, where the phone is tilted, displaced: its
    outline reads larger, by its height times the tangent of the tilt and by height over distance. The uncertainty
    (standard) holds the outline, the print and the markers' corners, not the height.
    """
    outline = _outline(part)
    plane = of_linear(photo, card.to_mm)
    on_card = at(plane, outline)
    if _is_cut(part, on_card, card):
        return None
    length, width = _rectangle(on_card)
    area = float(_areas(plane, part).sum())
    guessed = np.array([_rectangle(at(of_linear(photo, guess), outline)) for guess in card.possible])
    print_and_edge = np.hypot(np.sqrt(2) * EDGE, PRINT * np.array([length, width]))
    off = np.hypot(print_and_edge, guessed.std(axis=0))
    relative = float(np.hypot(guessed.prod(axis=1).std() / guessed.prod(axis=1).mean(), 2 * PRINT))
    off_area = float(np.hypot(relative * area, EDGE * (length + width)))
    tilt = _tilt(plane, outline.mean(axis=0))
    how = f"by {len(card.markers)} markers, phone tilted by about {5 * round(tilt / 5)} degrees"
    return Size(length, width, area, float(off.max()), off_area, how)


def _is_cut(part: Part, on_card: Floats, card: Card) -> bool:
    """Whether the outline reaches the edge of the photo, or runs along the edge of the sheet."""
    edge = np.concatenate([part.mask[0], part.mask[-1], part.mask[:, 0], part.mask[:, -1]])
    page = np.array([layout(card.paper).width, layout(card.paper).height])
    past = np.minimum(on_card, page - on_card).min(axis=1)  # mm inside the sheet, negative outside
    return bool(edge.any() or (np.abs(past) < SHEET_EDGE).any())


def _outline(part: Part) -> Floats:
    """Hull of the outline, n x 2 in pixels of Photo.linear.

    Outermost pixels' middles lie inside the true edge by half a pixel where it runs along a row, and by next to
    nothing where it runs askew: a quarter is put on.
    """
    lines, _ = cv2.findContours(part.mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    centres = np.concatenate(lines).reshape(-1, 1, 2).astype(np.float64)
    around = np.array([[-0.25, -0.25], [0.25, -0.25], [0.25, 0.25], [-0.25, 0.25]])
    hull = cv2.convexHull((centres + around).reshape(-1, 2).astype(np.float32))
    return np.asarray(hull.reshape(-1, 2), np.float64)


def _rectangle(outline: Floats) -> tuple[float, float]:
    """Longer and shorter side of the rectangle of least area around the points."""
    _, sides, _ = cv2.minAreaRect(outline.astype(np.float32))
    return max(sides), min(sides)


def _areas(plane: Floats, part: Part) -> Floats:
    """Area in mm² of each pixel of the part: the homography's Jacobian, det(H) / w³."""
    rows, columns = np.nonzero(part.mask)
    depth = plane[2, 0] * columns + plane[2, 1] * rows + plane[2, 2]
    return np.asarray(np.abs(np.linalg.det(plane) / depth**3))


def _tilt(plane: Floats, middle: Floats) -> float:
    """Degrees between the line of sight and straight down: how much shorter the card is seen one way than the other."""
    near = at(plane, middle + np.array([[0, 0], [1.0, 0], [0, 1.0]]))
    scales = np.linalg.svd(near[1:] - near[0], compute_uv=False)
    return float(np.degrees(np.arccos(scales[1] / scales[0])))
