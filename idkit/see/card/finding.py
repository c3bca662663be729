"""Find the card in a photo: its markers, and from their corners where every pixel lies on the card in mm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import combinations
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.card.layout import FIRST_MARKER, Layout, dictionary, layout
from idkit.see.srgb import glimpse, in_8_bits
from idkit.vocabulary import Card, Floats, Photo

SIDE = 2000  # longer side, in pixels, at which markers are looked for at most
SMALLEST = 0.08  # the way around a marker, as a share of the longer side: a card too far away gives nothing
BITS_OFF = 8  # of 36 that may be wrong in what is a sign of a marker: one square of chance in 50 has as few
FEWEST = 2  # markers
NOISE = 0.3  # pixels that a corner is off, at SIDE; from memory
WORST = 2.0  # mm rms that corners may be off: paper that is not quite flat
GUESSES = 24
ONE_MARKER = (
    "the printed card is in view with one of its four corner markers only, two are needed to measure by it: have the "
    "whole card in the picture, flat and in even light, or take it out of the picture"
)


def find_card(photo: Photo) -> Card | None:
    """The card in this photo, or None where fewer than two of its markers are seen.

    Four markers are best; the plane is fitted by least squares to the corners of those that are seen (Hartley and
    Zisserman 2004, 4.1). `possible` repeats the fit with corners moved by as much as they are uncertain, so that what
    is measured far from the markers carries the doubt. A marker that fits no plane with the others is left out.
    """
    return look_for_card(photo)[0]


def look_for_card(photo: Photo) -> tuple[Card | None, str]:
    """The same, and what to do where the card is in view and yet can't be used, in one line; else ''."""
    if not _is_signed(glimpse(photo)):
        return None, ""
    grey, scale = _grey(photo)
    seen = _markers(grey)
    card = _card_of(seen, scale)
    return card, ONE_MARKER if card is None and len(_numbers() & seen.keys()) == 1 else ""


def _card_of(seen: Mapping[int, Floats], scale: float) -> Card | None:
    """The card whose markers are those, at least two of them that fit one plane."""
    for paper in FIRST_MARKER:
        card = layout(paper)
        for chosen in _choices([number for number in card.markers if number in seen]):
            fitted = _fitted(card, {number: seen[number] for number in chosen}, scale)
            if fitted is not None:
                return fitted
    return None


def at(plane: Floats, points: Floats) -> Floats:
    """Points n x 2 through a homography 3 x 3.

    >>> at(np.diag([2.0, 2.0, 1.0]), np.array([[1.0, 3.0]])).tolist()
    [[2.0, 6.0]]
    """
    through = np.column_stack([points, np.ones(len(points))]) @ plane.T
    return np.asarray(through[:, :2] / through[:, 2:])


def inverse(plane: Floats) -> Floats:
    """The homography the other way."""
    return np.asarray(np.linalg.inv(plane), np.float64)


def of_linear(photo: Photo, plane: Floats) -> Floats:
    """The same homography for pixels of Photo.linear, which is the smaller picture."""
    across, down = photo.encoded.shape[1] / photo.linear.shape[1], photo.encoded.shape[0] / photo.linear.shape[0]
    grown = np.array([[across, 0, (across - 1) / 2], [0, down, (down - 1) / 2], [0, 0, 1]])
    return np.asarray(plane @ grown)


def _grey(photo: Photo) -> tuple[cv2.typing.MatLike, float]:
    """Grey, 8 bit, and how many times smaller than the photo: a whole number, which is quick to average by."""
    encoded: NDArray[Any] = photo.encoded
    scale = -(-max(encoded.shape[:2]) // SIDE)
    if scale > 1:
        rows, columns = (side // scale for side in encoded.shape[:2])
        whole = encoded[: rows * scale, : columns * scale]
        encoded = cv2.resize(whole, (columns, rows), interpolation=cv2.INTER_AREA)
    return cv2.cvtColor(in_8_bits(encoded), cv2.COLOR_RGB2GRAY), scale


def _is_signed(picture: NDArray[np.uint8]) -> bool:
    """Whether anything in the picture is nearly one of the card's markers; large ones are glanced at halved."""
    _, numbers, _ = _glancing().detectMarkers(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
    return numbers is not None and len(numbers) > 0


@cache
def _glancing() -> cv2.aruco.ArucoDetector:
    """Told of the card's own markers alone, it lets many of their bits be wrong."""
    every = dictionary()
    own = cv2.aruco.Dictionary(every.bytesList[sorted(_numbers())], every.markerSize, BITS_OFF)
    settings = cv2.aruco.DetectorParameters()
    settings.minMarkerPerimeterRate, settings.errorCorrectionRate = 0.9 * SMALLEST, 1.0
    settings.maxErroneousBitsInBorderRate = 0.5
    settings.adaptiveThreshWinSizeMin = settings.adaptiveThreshWinSizeMax = 21
    return cv2.aruco.ArucoDetector(own, settings)


@cache
def _numbers() -> frozenset[int]:
    """Of the markers of every card."""
    return frozenset(number for paper in FIRST_MARKER for number in layout(paper).markers)


@cache
def _detector() -> cv2.aruco.ArucoDetector:
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.cornerRefinementWinSize, settings.relativeCornerRefinmentWinSize = 5, 0.5  # pixels; share of a cell
    settings.minMarkerPerimeterRate = SMALLEST
    return cv2.aruco.ArucoDetector(dictionary(), settings)


def _markers(grey: cv2.typing.MatLike) -> dict[int, Floats]:
    """Corners 4 x 2 in pixels by number; of two with one number, the larger."""
    corners, numbers, _ = _detector().detectMarkers(grey)
    found: dict[int, Floats] = {}
    names = [] if numbers is None else np.ravel(numbers).astype(int).tolist()
    for number, four in zip(names, corners, strict=True):
        square = np.asarray(four, np.float64).reshape(4, 2)
        if number not in found or _area(square) > _area(found[number]):
            found[number] = square
    return found


def _choices(numbers: list[int]) -> Iterator[tuple[int, ...]]:
    """All the markers, then all but one, and so on down to the fewest."""
    for count in range(len(numbers), FEWEST - 1, -1):
        yield from combinations(numbers, count)


def _fitted(card: Layout, seen: Mapping[int, Floats], scale: float) -> Card | None:
    on_card = np.concatenate([card.markers[number] for number in seen])
    in_photo = (np.concatenate(list(seen.values())) + 0.5) * scale - 0.5
    plane = _plane(on_card, in_photo)
    if plane is None or not _is_seen_from_above(card, plane):
        return None
    off = at(plane, in_photo) - on_card
    fault = float(np.sqrt((off**2).sum(axis=1).mean()))
    if fault > WORST:
        return None
    random = np.random.default_rng(1)
    noise = max(NOISE * scale, float(np.sqrt(((at(inverse(plane), on_card) - in_photo) ** 2).mean())))
    moved = (in_photo + random.normal(0, noise, in_photo.shape) for _ in range(GUESSES))
    possible = [each for points in moved if (each := _plane(on_card, points)) is not None]
    return Card(card.paper, plane, np.array(possible), tuple(seen), fault)


def _plane(on_card: Floats, in_photo: Floats) -> Floats | None:
    """From pixels to mm; fitted the other way round, as it is the pixels that are uncertain."""
    found, _ = cv2.findHomography(on_card, in_photo, 0)
    if found is None or abs(np.linalg.det(found)) < 1e-12:
        return None
    return inverse(np.asarray(found, np.float64))


def _is_seen_from_above(card: Layout, plane: Floats) -> bool:
    """Whether the whole card lies before the camera, printed side up."""
    back = inverse(plane)
    corners = np.array([[0, 0], [card.width, 0], [card.width, card.height], [0, card.height]])
    depth = np.column_stack([corners, np.ones(4)]) @ back[2] / back[2, 2]
    return bool((depth > 0).all()) and _area(at(back, corners)) > 0


def _area(corners: Floats) -> float:
    """Signed area of a quadrilateral, positive clockwise in a picture (y down)."""
    x, y = corners.T
    return float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)) / 2)
