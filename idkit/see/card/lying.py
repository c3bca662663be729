"""Where the part is, when the card is in view: found on the card seen from straight above, and put back."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see import part as parts
from idkit.see.card.clearing import SCALE, View, cleared, nearby, seen_from_above
from idkit.see.card.finding import at, inverse, of_linear
from idkit.see.card.layout import layout
from idkit.see.cielab import cielab
from idkit.see.parts import find_each
from idkit.vocabulary import Card, Image, Mask, Part, Photo

INSET = 1.5  # mm inside the printed frame
REACH = 2.5  # mm to both sides within which the first outline is made exact
COARSE, UNLIKE = 3, 10.0  # pixels of a view to one; CIELAB units from paper: where a part is first looked for
OVER = 0.004  # share of the edge of a view that a part may touch
WORTH_COUNTING = 0.1  # of the largest piece that differs from paper, from which another may be a part; from memory
SAME = 0.5  # of an outline that lies in a piece which goes on over the edge: it is of that piece
NEAR, ALONG = 6, 0.1  # pixels from the painted sheet, and the share of an outline that lies so; from memory
TOUCHES = 0.001  # the same of the view of the frame: half a millimetre or so


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
    if found is not None and not any(
        _over_the_edge(each, TOUCHES) for each in (found.mask, _largest_other(place.picture))
    ):
        return _put_back(photo, found, place)
    sheet = cleared(photo, card)
    found = _found_in(photo, sheet.picture)
    if found is None:
        return _beside(photo, card)
    if found.quality == 0:
        return parts.find(photo)
    return _put_back(photo, replace(found, mask=_whole(found.mask, sheet.picture)), sheet)


def _whole(mask: Mask, picture: Image) -> Mask:
    """An outline with the rest of a thing that goes on over the view's edge, where the outline ends short of it."""
    other = _largest_other(picture)
    if not _over_the_edge(other, TOUCHES):
        return mask
    larger = cv2.resize(other.astype(np.uint8), mask.shape[::-1], interpolation=cv2.INTER_NEAREST) > 0
    return np.asarray(mask | larger) if (mask & larger).sum() > SAME * mask.sum() else mask


def find_each_on_card(photo: Photo, card: Card) -> tuple[Part, ...]:
    """Every part that lies on the sheet, what is printed on it painted over; where none does, every one beside it.

    Outlines are those of `find_each`, of the sheet seen from straight above, put back into the photo.
    """
    sheet = cleared(photo, card)
    on_it = (_put_back(photo, part, sheet, exact=False) for part in find_each(_as_photo(photo, sheet.picture)))
    found = tuple(part for part in on_it if part.quality > 0 and part.mask.any())
    if found:
        return found
    sheet_in_photo = _sheet(photo, card)
    beside = find_each(_as_photo(photo, _without(photo, sheet_in_photo)))
    meant = (part for part in beside if part.quality > 0 and not _along(part.mask, sheet_in_photo))
    return tuple(replace(part, box=parts.box_of(part.mask, photo)) for part in meant)


def count_on_card(photo: Photo, card: Card) -> int:
    """How many parts plainly lie inside the printed frame: 1 where only one piece there differs from paper."""
    x, y, width, height = layout(card.paper).place
    place = seen_from_above(photo, card, (x + INSET, y + INSET, width - 2 * INSET, height - 2 * INSET))
    _, areas = _others(place.picture)
    if (areas > WORTH_COUNTING * areas.max(initial=0)).sum() < 2:
        return 1
    return len(find_each_on_card(photo, card))


def _beside(photo: Photo, card: Card) -> Part | None:
    """The part beside a bare card; a piece of the bench is none."""
    sheet = _sheet(photo, card)
    found = _found_in(photo, _without(photo, sheet))
    if found is None or found.quality == 0 or _along(found.mask, sheet):
        return None
    return replace(found, box=parts.box_of(found.mask, photo), how=f"{found.how}, beside the card")


def _along(mask: Mask, sheet: Mask) -> bool:
    """Whether a share of ALONG of an outline follows the sheet: so does the bench between it and something else."""
    rim = mask & ~(cv2.erode(mask.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0)
    near = cv2.dilate(sheet.astype(np.uint8), np.ones((2 * NEAR + 1,) * 2, np.uint8)) > 0
    return bool((rim & near).sum() > ALONG * rim.sum())


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
    """Rows and columns around the largest piece that is not of the paper's colour; None where there is none."""
    rows, columns = (np.flatnonzero(_largest_other(picture).any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        return None
    left, top = int(columns[0]) * COARSE, int(rows[0]) * COARSE
    width, height = (int(np.ptp(side)) * COARSE + COARSE for side in (columns, rows))
    around = round(max(0.4 * max(width, height), 12 * SCALE))
    return slice(max(top - around, 0), top + height + around), slice(max(left - around, 0), left + width + around)


def _largest_other(picture: Image) -> Mask:
    """The largest piece that is not of the paper's colour, COARSE pixels to one; nothing set where there is none."""
    pieces, areas = _others(picture)
    return np.asarray(pieces == 1 + int(np.argmax(areas))) if len(areas) else np.zeros(pieces.shape, bool)


def _others(picture: Image) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Pieces that are not of the paper's colour, numbered from 1, COARSE pixels to one, and the area of each.

    Paper is what most of the view's edge shows, its slow change of light taken out.
    """
    size = max(8, picture.shape[1] // COARSE), max(8, picture.shape[0] // COARSE)
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA).astype(np.float64)
    paper = parts.evened(np.asarray(cielab(np.clip(small, 0, 1)), np.float32))
    edge = np.concatenate([paper[0], paper[-1], paper[:, 0], paper[:, -1]])
    other = (np.linalg.norm(paper - np.median(edge, axis=0), axis=2) > UNLIKE).astype(np.uint8)
    _, pieces, boxes, _ = cv2.connectedComponentsWithStats(cv2.morphologyEx(other, cv2.MORPH_OPEN, np.ones((2, 2))))
    return np.asarray(pieces, np.int32), np.asarray(boxes[1:, cv2.CC_STAT_AREA], np.int32)


def _as_photo(photo: Photo, picture: Image) -> Photo:
    return replace(photo, linear=picture, encoded=np.empty(picture.shape, np.uint8))


def _over_the_edge(mask: Mask, share: float = OVER) -> bool:
    edge = np.concatenate([mask[0], mask[-1], mask[:, 0], mask[:, -1]])
    return bool(edge.mean() > share)


def _put_back(photo: Photo, found: Part, view: View, *, exact: bool = True) -> Part:
    outlined = _exact(view.picture, found.mask) if exact else found.mask
    mask = (
        cv2.warpPerspective(
            outlined.astype(np.float32), view.to_photo, photo.linear.shape[1::-1], flags=cv2.INTER_LINEAR
        )
        > 0.5
    )
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
    of_part, of_paper = (nearby(lab, where, 2 * REACH * SCALE) for where in (inner, ~wide))
    nearer = np.linalg.norm(lab - of_part, axis=2) < np.linalg.norm(lab - of_paper, axis=2)
    exact = np.where(wide & ~inner, nearer, mask).astype(np.uint8)
    return np.asarray(cv2.morphologyEx(exact, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8)) > 0)


def _sheet(photo: Photo, card: Card) -> Mask:
    """Where the sheet lies in the photo, and a little around it."""
    printed = layout(card.paper)
    corners = np.array([[0, 0], [printed.width, 0], [printed.width, printed.height], [0, printed.height]])
    middle = corners.mean(axis=0)
    outline = at(inverse(of_linear(photo, card.to_mm)), middle + 1.03 * (corners - middle))
    flat = np.zeros(photo.linear.shape[:2], np.uint8)
    return np.asarray(cv2.fillConvexPoly(flat, np.round(outline).astype(np.int32), 1) > 0)


def _without(photo: Photo, sheet: Mask) -> Image:
    """The photo with the sheet painted over in the colour of what lies around it."""
    shown = photo.linear.copy()
    shown[sheet] = np.median(photo.linear[~sheet], axis=0) if (~sheet).mean() > 0.05 else 0.5
    return shown
