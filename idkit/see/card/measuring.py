"""Length, width and area of the part in mm, by the card."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np

from idkit.see.card.drawing import raster
from idkit.see.card.finding import at, of_linear
from idkit.see.card.layout import Layout, Rectangle, frame, layout
from idkit.see.cielab import cielab
from idkit.vocabulary import Card, Floats, Mask, Part, Photo, Size

EDGE = 0.5  # mm that each side of an outline may be off: blur, contact shadow; from memory
LOOKED, STEPS = 5.0, 41  # mm either side of an outline in which its edge is looked for, and in how many places
PLACES, SOFTEST = 240, 85  # places of an outline that are looked at; percentile of the widths of its edge that counts
SHARP = 2.5  # pixels of Photo.linear over which a sharp edge is drawn
SOFT = 0.7  # of what an edge is wider than that, that the outline may be off; from memory
SHEET_EDGE = 2.5  # mm from the edge of the sheet within which an outline is taken to end there
DOTS = 4  # to the mm, of the sheet on which it is told whether an outline ends at print
PRINT_EDGE = 4.0  # mm from print within which an outline may end at it: as much around type is cleared, and a bit
STEP_EDGE, ALONG = 1.0, 4.5  # mm beside a step's edge, and mm along it, at which an outline follows it
FRAME_EDGE, SLENDER, CUT_BACK = 2.0, 8.0, 1.0  # mm from the frame's line; width of an end; mm back at which it is had
PRINT = 0.005  # share by which a page printed at 100 % is off; from memory


def size(photo: Photo, card: Card, part: Part) -> Size | None:
    """The part's smallest rectangle and its area where its outline falls on the card, in mm.

    None where its outline can't be followed: see `size_refusal`.

    Exact for what is flat. What stands high is nearer to the phone and, where the phone is tilted, displaced: its
    outline reads larger, by its height times the tangent of the tilt and by height over distance. The uncertainty
    (standard) holds the outline, the print and the markers' corners, not the height.
    """
    outline = _outline(part)
    plane = of_linear(photo, card.to_mm)
    on_card = at(plane, outline)
    if size_refusal(photo, card, part):
        return None
    length, width = _rectangle(on_card)
    area = float(_areas(plane, part).sum())
    guessed = np.array([_rectangle(at(of_linear(photo, guess), outline)) for guess in card.possible])
    edge = float(np.hypot(EDGE, SOFT * _softness(photo, card, part, min(LOOKED, 0.4 * width))))
    print_and_edge = np.hypot(np.sqrt(2) * edge, PRINT * np.array([length, width]))
    off = np.hypot(print_and_edge, guessed.std(axis=0))
    relative = float(np.hypot(guessed.prod(axis=1).std() / guessed.prod(axis=1).mean(), 2 * PRINT))
    off_area = float(np.hypot(relative * area, edge * (length + width)))
    tilt = _tilt(plane, outline.mean(axis=0))
    how = f"by {len(card.markers)} markers, phone tilted by about {5 * round(tilt / 5)} degrees"
    return Size(length, width, area, float(off.max()), off_area, how)


def _softness(photo: Photo, card: Card, part: Part, far: float) -> float:
    """How many mm wider than a sharp edge that of the part is, where it is soft, as a shadow that was taken in ends.

    Along the outline's normals, the way over which the colour goes from a tenth to nine tenths of the step between so
    `far` (mm) inside and outside of it.
    """
    plane = of_linear(photo, card.to_mm)
    contour = _contour(part)
    smooth = cv2.GaussianBlur(part.mask.astype(np.float32), (0, 0), 2.0)
    down, across = (cv2.Sobel(smooth, cv2.CV_32F, *order) for order in ((0, 1), (1, 0)))
    columns, rows = contour[:: max(1, len(contour) // PLACES)].astype(int).T
    outward = -np.column_stack([across[rows, columns], down[rows, columns]]).astype(np.float64)
    outward /= np.maximum(np.linalg.norm(outward, axis=1, keepdims=True), 1e-6)
    start = np.column_stack([columns, rows]).astype(np.float64)
    mm = np.linalg.norm(at(plane, start + outward) - at(plane, start), axis=1)  # to the pixel, along the normal
    steps = np.linspace(-far, far, STEPS)
    places = start[:, None] + outward[:, None] * (steps / np.maximum(mm, 1e-6)[:, None])[..., None]
    lab = cielab(np.clip(photo.linear, 0, 1).astype(np.float64)).astype(np.float32)
    x, y = np.moveaxis(places.astype(np.float32), 2, 0)
    seen = cv2.remap(lab, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    ends = [seen[:, each].mean(axis=1) for each in (slice(0, 4), slice(-4, None))]
    step = ends[1] - ends[0]
    way = ((seen - ends[0][:, None]) * step[:, None]).sum(axis=2) / np.maximum((step**2).sum(axis=1), 1.0)[:, None]
    wide = 2 * far / (STEPS - 1) * ((way > 0.1) & (way < 0.9)).sum(axis=1)
    return float(max(0.0, np.percentile(wide - SHARP * mm, SOFTEST)))


def size_refusal(photo: Photo, card: Card, part: Part) -> str:
    """Why the part's size can't be told, in one line; '' where it can: its outline is cut off, or lost in print."""
    printed, on_card = layout(card.paper), at(of_linear(photo, card.to_mm), _contour(part))
    if _is_cut(part, on_card, card):
        return (
            "the part reaches over the sheet's or the picture's edge, so its size is not told: lay it on the card whole"
        )
    if _meets_print(on_card, printed) or _ends_at_the_frame(on_card, printed.place):
        return (
            "the part reaches over the card's frame to what is printed there, so its size is not told: lay it inside "
            "the frame, clear of its lines"
        )
    return ""


def _is_cut(part: Part, on_card: Floats, card: Card) -> bool:
    """Whether the outline reaches the edge of the photo, or runs along the edge of the sheet."""
    edge = np.concatenate([part.mask[0], part.mask[-1], part.mask[:, 0], part.mask[:, -1]])
    page = np.array([layout(card.paper).width, layout(card.paper).height])
    past = np.minimum(on_card, page - on_card).min(axis=1)  # mm inside the sheet, negative outside
    return bool(edge.any() or (np.abs(past) < SHEET_EDGE).any())


def _meets_print(on_card: Floats, printed: Layout) -> bool:
    """Whether an outline in mm may end at print where the part does not: beside marker, type or ruler, or along a step.

    What lies across the grey scale is told from it by its colour; an outline that follows the edge of a step is not.
    """
    near = _near_print(printed.paper)
    columns, rows = np.floor(on_card * DOTS).astype(int).T
    inside = (rows >= 0) & (rows < near.shape[0]) & (columns >= 0) & (columns < near.shape[1])
    if near[rows[inside], columns[inside]].any():
        return True
    return any(_runs_along(on_card, step.box) for step in printed.steps)


def _runs_along(on_card: Floats, box: Rectangle) -> bool:
    """Whether more than ALONG mm of an outline follow one edge of a rectangle."""
    x, y, width, height = box
    for axis, edges, other in ((0, (x, x + width), (y, y + height)), (1, (y, y + height), (x, x + width))):
        across = on_card[(on_card[:, 1 - axis] > other[0]) & (on_card[:, 1 - axis] < other[1])]
        for edge in edges:
            beside = across[np.abs(across[:, axis] - edge) < STEP_EDGE, 1 - axis]
            if len(beside) and np.ptp(beside) > ALONG:
                return True
    return False


@cache
def _near_print(paper: str) -> Mask:
    """Where on the sheet an outline may end at print, DOTS to the mm: by markers, type and ruler."""
    printed = layout(paper)
    page = raster(paper, DOTS) < 250
    for mark in (*frame(printed.place), *printed.steps):
        page[_dots(mark.box, 0.5)] = False
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * round(PRINT_EDGE * DOTS) + 1,) * 2)
    near = cv2.dilate(page.astype(np.uint8), kernel) > 0
    near[_dots(printed.place, 0.5)] = False  # inside the frame nothing is printed
    return np.asarray(near)


def _ends_at_the_frame(on_card: Floats, place: Rectangle) -> bool:
    """Whether an outline in mm ends at the frame's line in a slender end that may have been cut in two there.

    How far the end would go on is told by its width at the line and a little inside: a corner comes to its tip.
    """
    x, y, width, height = place
    low, high = np.array([x, y]), np.array([x + width, y + height])
    outside = np.maximum(low - on_card, on_card - high).max(axis=1)
    if outside.max() > FRAME_EDGE or outside.max() < -FRAME_EDGE:
        return False
    wide, wider = (
        float(np.ptp(on_card[outside > outside.max() - back], axis=0).max()) for back in (CUT_BACK, 4 * CUT_BACK)
    )
    return wide < SLENDER and wider - wide < 3 * CUT_BACK


def _dots(box: Rectangle, around: float) -> tuple[slice, slice]:
    """Rows and columns of a rectangle in mm with that much around it."""
    x, y, width, height = box
    return (
        slice(round((y - around) * DOTS), round((y + height + around) * DOTS)),
        slice(round((x - around) * DOTS), round((x + width + around) * DOTS)),
    )


def _outline(part: Part) -> Floats:
    """Hull of the outline, n x 2 in pixels of Photo.linear.

    Outermost pixels' middles lie inside the true edge by half a pixel where it runs along a row, and by next to
    nothing where it runs askew: a quarter is put on.
    """
    centres = _contour(part)[:, None]
    around = np.array([[-0.25, -0.25], [0.25, -0.25], [0.25, 0.25], [-0.25, 0.25]])
    hull = cv2.convexHull((centres + around).reshape(-1, 2).astype(np.float32))
    return np.asarray(hull.reshape(-1, 2), np.float64)


def _contour(part: Part) -> Floats:
    """Middles of the outermost pixels, n x 2 in pixels of Photo.linear."""
    lines, _ = cv2.findContours(part.mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(np.concatenate(lines).reshape(-1, 2), np.float64)


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
