"""Where the part is, when the card is in view: found on the card seen from straight above, and put back."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see import part as parts
from idkit.see.card.drawing import raster
from idkit.see.card.finding import at, inverse, of_linear
from idkit.see.card.layout import MARKER, Layout, Rectangle, layout
from idkit.see.cielab import cielab
from idkit.see.light import luminance
from idkit.see.photo import srgb_to_linear
from idkit.vocabulary import Card, Floats, Image, Mask, Part, Photo

SCALE = 3  # pixels to the mm, of the card seen from above
INSET = 1.5  # mm inside the printed frame
REACH = 2.5  # mm to both sides within which the first outline is made exact
THIN, LETTERS = 2.3, 7.0  # mm: lines are thinner, and so are lines of type
ALIKE = 0.5  # correlation with the marker that is printed there, at which it is taken to be in view
COARSE, UNLIKE = 3, 10.0  # pixels of a view to one; CIELAB units from paper: where a part is first looked for
OVER = 0.004  # share of the edge of a view that a part may touch


@dataclass(frozen=True)
class View:
    """A rectangle of the card from straight above: its picture, and the homography from it to Photo.linear."""

    picture: Image
    to_photo: Floats


def find_on_card(photo: Photo, card: Card) -> Part | None:
    """The part that lies on the card, or beside it; None where there is none.

    It is looked for inside the printed frame; where it reaches over the frame, on the whole sheet with what is printed
    painted over, and of one larger than the sheet what lies on it is taken; where the sheet is bare, beside it; and
    where the sheet is hidden, in the photo as if there were no card.
    """
    printed = layout(card.paper)
    x, y, width, height = printed.place
    place = seen_from_above(photo, card, (x + INSET, y + INSET, width - 2 * INSET, height - 2 * INSET))
    found = _found_in(photo, place.picture)
    if found is not None and not _over_the_edge(found.mask):
        return _put_back(photo, found, place)
    sheet = _cleared(photo, card)
    found = _found_in(photo, sheet.picture)
    if found is None:
        return _beside(photo, _without_sheet(photo, card))
    if found.quality == 0:
        return parts.find(photo)
    return _put_back(photo, found, sheet)


def seen_from_above(photo: Photo, card: Card, box: Rectangle) -> View:
    """A rectangle of the card in mm, in linear light, SCALE pixels to the mm."""
    x, y, width, height = box
    to_mm = np.array([[1 / SCALE, 0, x + 0.5 / SCALE], [0, 1 / SCALE, y + 0.5 / SCALE], [0, 0, 1]])
    to_photo = np.asarray(inverse(of_linear(photo, card.to_mm)) @ to_mm)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    size = (round(width * SCALE), round(height * SCALE))
    picture = cv2.warpPerspective(photo.linear, to_photo, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return View(np.asarray(picture, np.float32), to_photo)


def _cleared(photo: Photo, card: Card) -> View:
    """The sheet from above without what is printed: lines and type closed, markers and steps in view painted over.

    What hides a marker or a step stays.
    """
    printed = layout(card.paper)
    view = seen_from_above(photo, card, (0.0, 0.0, printed.width, printed.height))
    size = view.picture.shape[1], view.picture.shape[0]
    template = np.asarray(cv2.resize(raster(card.paper, 2 * SCALE), size, interpolation=cv2.INTER_AREA), np.uint8)
    over = _markers_in_view(view, template, printed) | _steps_in_view(view, template, printed)
    paper = _nearby(view.picture, ~over & (template > 250) & _like_paper(view, template), 6.0 * SCALE)
    closed, lettered = (_closed(view.picture, size) for size in (THIN, LETTERS))
    type_here = _rows(printed, template.shape)
    clean = np.where(over[..., None], paper, np.where(type_here[..., None], lettered, closed))
    return replace(view, picture=np.asarray(clean, np.float32))


def _markers_in_view(view: View, template: NDArray[np.uint8], printed: Layout) -> Mask:
    light, over = view.picture.mean(axis=2), np.zeros(template.shape, bool)
    for corners in printed.markers.values():
        inside = _window((float(corners[0, 0]), float(corners[0, 1]), MARKER, MARKER))
        over[inside] = _correlation(light[inside], template[inside]) > ALIKE
    return over


def _steps_in_view(view: View, template: NDArray[np.uint8], printed: Layout) -> Mask:
    """Pixels of the grey scale as light as what is printed there, to a factor of 1.6, and of the paper's colour."""
    seen = _against_paper(view, template)
    meant = np.maximum(srgb_to_linear(template / 255.0), 0.04)
    neutral = (np.ptp(np.log(seen), axis=2) < 0.3) | (meant < 0.06)  # next to black, noise has every colour
    alike = (np.abs(np.log(luminance(seen) / meant)) < 0.47) & neutral
    over = np.zeros(template.shape, bool)
    for step in printed.steps:
        inside = _window(step.box)
        over[inside] = alike[inside] | (template[inside] > 250)
    return np.asarray(cv2.morphologyEx(over.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((5, 5), np.uint8)) > 0)


def _like_paper(view: View, template: NDArray[np.uint8]) -> Mask:
    seen = _against_paper(view, template)
    return np.asarray((np.ptp(np.log(seen), axis=2) < 0.3) & (luminance(seen) > 0.4))


def _against_paper(view: View, template: NDArray[np.uint8]) -> Floats:
    """Linear colours against the median of where paper is bare."""
    paper = np.median(view.picture[template > 250], axis=0).astype(np.float64)
    return np.asarray(np.maximum(view.picture / np.maximum(paper, 1e-4), 0.04))


def _closed(picture: Image, millimetres: float) -> Image:
    """What is dark and narrower than that filled with what is around it."""
    kernel = np.ones((round(millimetres * SCALE),) * 2, np.uint8)
    return np.asarray(cv2.morphologyEx(picture, cv2.MORPH_CLOSE, kernel), np.float32)


def _rows(printed: Layout, shape: tuple[int, ...]) -> Mask:
    """Above and below the frame, where there is type."""
    rows = np.zeros(shape, bool)
    rows[: round(printed.place[1] * SCALE)] = True
    rows[round((printed.place[1] + printed.place[3]) * SCALE) :] = True
    return rows


def _beside(photo: Photo, picture: Image) -> Part | None:
    found = _found_in(photo, picture)
    if found is None or found.quality == 0:  # nothing but the bench
        return None
    return replace(found, box=parts.box_of(found.mask, photo), how=f"{found.how}, beside the card")


def _found_in(photo: Photo, picture: Image) -> Part | None:
    """The part in a view of the card, looked for closely where the view differs most from paper."""
    window = _largest_thing(picture)
    if window is not None:
        found = parts.find(_as_photo(photo, picture[window]))
        if found is not None and not _over_the_edge(found.mask):
            mask = np.zeros(picture.shape[:2], bool)
            mask[window] = found.mask
            return replace(found, mask=mask)
    return parts.find(_as_photo(photo, picture))


def _largest_thing(picture: Image) -> tuple[slice, slice] | None:
    """Rows and columns around the largest piece that is not of the paper's colour; None where there is none.

    Paper is what most of the view's edge shows, its slow change of light taken out.
    """
    size = max(8, picture.shape[1] // COARSE), max(8, picture.shape[0] // COARSE)
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA).astype(np.float64)
    paper = parts.evened(np.asarray(cielab(np.clip(small, 0, 1)), np.float32))
    edge = np.concatenate([paper[0], paper[-1], paper[:, 0], paper[:, -1]])
    other = (np.linalg.norm(paper - np.median(edge, axis=0), axis=2) > UNLIKE).astype(np.uint8)
    count, _, boxes, _ = cv2.connectedComponentsWithStats(cv2.morphologyEx(other, cv2.MORPH_OPEN, np.ones((2, 2))))
    if count < 2:
        return None
    left, top, width, height, _ = (boxes[1 + int(np.argmax(boxes[1:, cv2.CC_STAT_AREA]))] * COARSE).tolist()
    around = round(max(0.4 * max(width, height), 12 * SCALE))
    return slice(max(top - around, 0), top + height + around), slice(max(left - around, 0), left + width + around)


def _as_photo(photo: Photo, picture: Image) -> Photo:
    return replace(photo, linear=picture, encoded=np.empty(picture.shape, np.uint8))


def _over_the_edge(mask: Mask) -> bool:
    edge = np.concatenate([mask[0], mask[-1], mask[:, 0], mask[:, -1]])
    return bool(edge.mean() > OVER)


def _put_back(photo: Photo, found: Part, view: View) -> Part:
    exact = _exact(view.picture, found.mask).astype(np.float32)
    mask = cv2.warpPerspective(exact, view.to_photo, photo.linear.shape[1::-1], flags=cv2.INTER_LINEAR) > 0.5
    return Part(np.asarray(mask), parts.box_of(mask, photo), found.quality, f"{found.how}, on the card")


def _exact(picture: Image, mask: Mask) -> Mask:
    """The outline moved by at most REACH to where the colour is nearer to that of the part close by than the paper's.

    Two means from local neighbourhoods, as in Lankton and Tannenbaum 2008, Localizing region-based active contours.
    """
    lab = cielab(np.clip(picture, 0, 1).astype(np.float64))
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * round(REACH * SCALE) + 1,) * 2)
    solid = mask.astype(np.uint8)
    core, wide = cv2.erode(solid, kernel) > 0, cv2.dilate(solid, kernel) > 0
    inner = core if core.sum() > 0.1 * mask.sum() else mask
    of_part, of_paper = (_nearby(lab, where, 2 * REACH * SCALE) for where in (inner, ~wide))
    nearer = np.linalg.norm(lab - of_part, axis=2) < np.linalg.norm(lab - of_paper, axis=2)
    exact = np.where(wide & ~inner, nearer, mask).astype(np.uint8)
    return np.asarray(cv2.morphologyEx(exact, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8)) > 0)


def _nearby(picture: NDArray[np.floating], where: Mask, spread: float) -> Floats:
    """Mean of the pixels of `where` around each pixel, Gaussian; the overall mean where none is near."""
    weight = cv2.GaussianBlur(where.astype(np.float64), (0, 0), spread)
    total = cv2.GaussianBlur(picture.astype(np.float64) * where[..., None], (0, 0), spread)
    overall = picture[where].mean(axis=0) if where.any() else picture.reshape(-1, 3).mean(axis=0)
    return np.asarray((total + 1e-4 * overall) / (weight + 1e-4)[..., None])


def _window(box: Rectangle, around: float = 2.0) -> tuple[slice, slice]:
    """Rows and columns of a rectangle, with a little paper around."""
    x, y, width, height = box
    left, top, right, bottom = (
        round(edge * SCALE) for edge in (x - around, y - around, x + width + around, y + height + around)
    )
    return slice(top, bottom), slice(left, right)


def _correlation(first: NDArray[np.floating], second: NDArray[np.uint8]) -> float:
    a, b = first - first.mean(), second - second.mean()
    return float((a * b).sum() / max(np.sqrt((a**2).sum() * (b**2).sum()), 1e-12))


def _without_sheet(photo: Photo, card: Card) -> Image:
    """The photo with the sheet painted over in the colour of what lies around it."""
    printed = layout(card.paper)
    corners = np.array([[0, 0], [printed.width, 0], [printed.width, printed.height], [0, printed.height]])
    middle = corners.mean(axis=0)
    outline = at(inverse(of_linear(photo, card.to_mm)), middle + 1.03 * (corners - middle))
    sheet = cv2.fillConvexPoly(np.zeros(photo.linear.shape[:2], np.uint8), np.round(outline).astype(np.int32), 1) > 0
    shown = photo.linear.copy()
    shown[sheet] = np.median(photo.linear[~sheet], axis=0) if (~sheet).mean() > 0.05 else 0.5
    return shown
