"""The card seen from straight above, and the same without what is printed on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.card.drawing import raster
from idkit.see.card.finding import inverse, of_linear
from idkit.see.card.layout import MARKER, Layout, Rectangle, layout
from idkit.see.light import luminance
from idkit.see.srgb import srgb_to_linear
from idkit.vocabulary import Card, Floats, Image, Mask, Photo

SCALE = 3  # pixels to the mm, of the card seen from above
THIN, LETTERS = 2.3, 7.0  # mm: lines are thinner, and so are lines of type
AROUND_TYPE, LINE = 3.0, 2.0  # mm around type and lines that are cleared of them: a bent card lies that far off
ALIKE = 0.5  # correlation with the marker that is printed there, at which it is taken to be in view


@dataclass(frozen=True)
class View:
    """A rectangle of the card from straight above: its picture, and the homography from it to Photo.linear."""

    picture: Image
    to_photo: Floats


def seen_from_above(photo: Photo, card: Card, box: Rectangle) -> View:
    """A rectangle of the card in mm, in linear light, SCALE pixels to the mm."""
    x, y, width, height = box
    to_mm = np.array([[1 / SCALE, 0, x + 0.5 / SCALE], [0, 1 / SCALE, y + 0.5 / SCALE], [0, 0, 1]])
    to_photo = np.asarray(inverse(of_linear(photo, card.to_mm)) @ to_mm)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    size = (round(width * SCALE), round(height * SCALE))
    picture = cv2.warpPerspective(photo.linear, to_photo, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return View(np.asarray(picture, np.float32), to_photo)


def cleared(photo: Photo, card: Card) -> View:
    """The sheet from above without what is printed: lines and type closed, markers and steps in view painted over.

    What hides a marker or a step stays.
    """
    printed = layout(card.paper)
    view = seen_from_above(photo, card, (0.0, 0.0, printed.width, printed.height))
    size = view.picture.shape[1], view.picture.shape[0]
    template = np.asarray(cv2.resize(raster(card.paper, 2 * SCALE), size, interpolation=cv2.INTER_AREA), np.uint8)
    over = _markers_in_view(view, template, printed) | _steps_in_view(view, template, printed)
    paper = nearby(view.picture, ~over & (template > 250) & _like_paper(view, template), 6.0 * SCALE)
    closed, lettered = (_closed(view.picture, size) for size in (THIN, LETTERS))
    plain = np.where(_grown(template < 250, LINE)[..., None], closed, view.picture)
    clean = np.where(over[..., None], paper, np.where(_type(printed, template)[..., None], lettered, plain))
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
        over[inside] = alike[inside]
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


def _type(printed: Layout, template: NDArray[np.uint8]) -> Mask:
    """Where there is type, or the ruler, above and below the frame."""
    ink = template < 250
    ink[round((printed.place[1] - 1) * SCALE) : round((printed.place[1] + printed.place[3] + 1) * SCALE)] = False
    for corners in printed.markers.values():
        ink[_window((float(corners[0, 0]), float(corners[0, 1]), MARKER, MARKER))] = False
    return _grown(ink, AROUND_TYPE)


def _grown(mask: Mask, millimetres: float) -> Mask:
    """The mask and that much around it."""
    around = np.ones((2 * round(millimetres * SCALE) + 1,) * 2, np.uint8)
    return np.asarray(cv2.dilate(mask.astype(np.uint8), around) > 0)


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


def nearby(picture: NDArray[np.floating], where: Mask, spread: float) -> Floats:
    """Mean of the pixels of `where` around each pixel, Gaussian; the overall mean where none is near."""
    weight = cv2.GaussianBlur(where.astype(np.float64), (0, 0), spread)
    total = cv2.GaussianBlur(picture.astype(np.float64) * where[..., None], (0, 0), spread)
    overall = picture[where].mean(axis=0) if where.any() else picture.reshape(-1, 3).mean(axis=0)
    return np.asarray((total + 1e-4 * overall) / (weight + 1e-4)[..., None])
