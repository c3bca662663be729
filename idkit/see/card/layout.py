"""Where things are on the card, in mm from the top left corner of the page, x to the right and y down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np

from idkit.errors import CallError
from idkit.vocabulary import Floats

Rectangle = tuple[float, float, float, float]  # x, y, width, height

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; ANSI Y14.1 size A
FIRST_MARKER = {"a4": 171, "letter": 181}  # numbers in the AprilTag 36h11 dictionary (Olson 2011), clockwise
MARGIN, MARKER, RULER = 12.0, 28.0, 100.0
GREYS = (0.85, 0.7, 0.55, 0.4, 0.25, 0.0)  # sRGB levels of the grey steps, lightest on top
STEP = (18.0, 23.0)
INCH = 25.4

ADVICE = (
    "Print at 100 % (not 'fit to page') on plain white paper, and lay it flat.",
    "Check the ruler below against a real one: 100 mm must be 100 mm.",
    "Lay the part inside the frame, clear of its lines.",
    "Hold the phone above it: the whole card in the picture, even light, no flash.",
)


@dataclass(frozen=True)
class Mark:
    """A filled rectangle; `grey` is 0 for black, 1 for white (sRGB)."""

    box: Rectangle
    grey: float


@dataclass(frozen=True)
class Text:
    """A line of text: its left end on the baseline, and the height of the type."""

    x: float
    y: float
    height: float
    words: str


@dataclass(frozen=True)
class Layout:
    """One card. `markers` are corners by number, 4 x 2 each, clockwise from the marker's own top left."""

    paper: str
    width: float
    height: float
    markers: dict[int, Floats]
    place: Rectangle  # where the part is laid
    steps: tuple[Mark, ...]  # the grey scale
    marks: tuple[Mark, ...]  # all that is printed but the text
    texts: tuple[Text, ...]
    ruler: tuple[float, float, float]  # x, y of its zero, and its length


@cache
def layout(paper: str) -> Layout:
    """The card on that paper; CallError for a paper there is no card for."""
    if paper not in PAPERS:
        raise CallError("--paper", f"got {paper!r}", " or ".join(PAPERS), "try --paper a4")
    width, height = PAPERS[paper]
    far_x, far_y = width - MARGIN - MARKER, height - MARGIN - MARKER
    at = ((MARGIN, MARGIN), (far_x, MARGIN), (far_x, far_y), (MARGIN, far_y))
    numbered = {FIRST_MARKER[paper] + i: corner for i, corner in enumerate(at)}
    place = (MARGIN + STEP[0] + 5, MARGIN + MARKER + 7, width - 2 * MARGIN - STEP[0] - 5, far_y - MARGIN - MARKER - 14)
    top = (height - STEP[1] * len(GREYS)) / 2
    steps = tuple(Mark((MARGIN, top + i * STEP[1], *STEP), grey) for i, grey in enumerate(GREYS))
    ruler = ((width - RULER) / 2, far_y + 13.0, RULER)
    printed = [mark for number, corner in numbered.items() for mark in _marker(number, *corner)]
    printed += [*steps, *frame(place), *_ticks(*ruler)]
    corners = {number: _square(*corner) for number, corner in numbered.items()}
    texts = (*_advice(paper, place), *_numbers(*ruler))
    return Layout(paper, width, height, corners, place, steps, tuple(printed), texts, ruler)


def dictionary() -> cv2.aruco.Dictionary:
    """The markers' dictionary: 6 x 6 bits, any two at least 11 bits apart."""
    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)


def _square(x: float, y: float) -> Floats:
    return np.array([[x, y], [x + MARKER, y], [x + MARKER, y + MARKER], [x, y + MARKER]])


def _marker(number: int, x: float, y: float) -> Iterator[Mark]:
    """A black square with white runs along rows and along columns: where they cross no seam can show."""
    bits = cv2.aruco.generateImageMarker(dictionary(), number, 8, borderBits=1) > 0
    cell = MARKER / 8
    yield Mark((x, y, MARKER, MARKER), 0.0)
    for row, start, stop in _runs(bits):
        yield Mark((x + start * cell, y + row * cell, (stop - start) * cell, cell), 1.0)
    for column, start, stop in _runs(bits.T):
        yield Mark((x + column * cell, y + start * cell, cell, (stop - start) * cell), 1.0)


def _runs(bits: np.ndarray) -> Iterator[tuple[int, int, int]]:
    """Row, first and one past the last column of each run of set bits."""
    for row, line in enumerate(bits):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], line, [0]])))
        for start, stop in edges.reshape(-1, 2).tolist():
            yield row, start, stop


def frame(place: Rectangle, line: float = 0.4, grey: float = 0.45) -> Iterator[Mark]:
    """The four lines around the place for the part."""
    x, y, width, height = place
    for box in (
        (x, y, width, line),
        (x, y + height - line, width, line),
        (x, y, line, height),
        (x + width - line, y, line, height),
    ):
        yield Mark(box, grey)


def _ticks(x: float, y: float, length: float, line: float = 0.2) -> Iterator[Mark]:
    """A line with millimetres above it and inches, in eighths, below."""
    yield Mark((x - line / 2, y - line / 2, length + line, line), 0.0)
    for millimetre in range(int(length) + 1):
        tall = 6.0 if millimetre % 10 == 0 else 4.5 if millimetre % 5 == 0 else 3.0
        yield Mark((x + millimetre - line / 2, y - tall, line, tall), 0.0)
    for eighth in range(int(length / INCH * 8) + 1):
        tall = 6.0 if eighth % 8 == 0 else 4.5 if eighth % 4 == 0 else 3.0
        yield Mark((x + eighth * INCH / 8 - line / 2, y, line, tall), 0.0)


def _numbers(x: float, y: float, length: float) -> Iterator[Text]:
    for millimetre in range(0, int(length) + 1, 10):
        yield Text(x + millimetre - 0.75 * len(str(millimetre)), y - 7.0, 2.6, str(millimetre))
    yield Text(x + length + 3, y - 1.0, 2.6, "mm")
    for inch in range(int(length / INCH) + 1):
        yield Text(x + inch * INCH - 0.75, y + 9.0, 2.6, str(inch))
    yield Text(x + length + 3, y + 4.0, 2.6, "in")


def _advice(paper: str, place: Rectangle) -> Iterator[Text]:
    left = MARGIN + MARKER + 5
    yield Text(left, MARGIN + 4.5, 4.6, f"idkit reference card, {paper.upper() if paper == 'a4' else paper}")
    for number, line in enumerate(ADVICE):
        yield Text(left, MARGIN + 10.5 + 4.6 * number, 3.0, f"{number + 1}. {line}")
    yield Text(place[0], place[1] - 1.5, 3.0, "Part here")
