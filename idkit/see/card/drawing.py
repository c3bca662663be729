"""The card as a PDF page for the printer, and as pixels for whoever needs to know what is printed where."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit.see.card.layout import Layout, Mark, Text, layout

POINTS = 72 / 25.4  # a millimetre in PDF units


def pdf(paper: str) -> bytes:
    """The card as one page of PDF 1.6: filled rectangles and lines of Helvetica, exact to a hundredth of a point.

    CallError for a paper there is no card for.

    >>> pdf("a4")[:8], b"/MediaBox [0 0 595.28 841.89]" in pdf("a4")
    (b'%PDF-1.6', True)
    """
    card = layout(paper)
    drawn = [*(_fill(card, mark) for mark in card.marks), "0 g", *(_words(card, text) for text in card.texts)]
    content = "\n".join(drawn).encode("ascii")
    page = f"/MediaBox [0 0 {card.width * POINTS:.2f} {card.height * POINTS:.2f}]"
    return _file(
        [
            b"<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> >>",
            b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
            f"<< /Type /Page /Parent 2 0 R {page} /Contents 4 0 R /Resources << /Font << /F 5 0 R >> >> >>".encode(),
            b"<< /Length %d >>\nstream\n%s\nendstream" % (len(content), content),
            b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
        ]
    )


@cache
def raster(paper: str, scale: int) -> NDArray[np.uint8]:
    """The card as grey pixels, `scale` of them to the mm, white at 255; height x width."""
    card = layout(paper)
    page = np.full((round(card.height * scale), round(card.width * scale)), 255, np.uint8)
    for mark in card.marks:
        x, y, width, height = (value * scale for value in mark.box)
        left, top = round(x), round(y)
        right, bottom = max(round(x + width), left + 1), max(round(y + height), top + 1)
        page[top:bottom, left:right] = round(255 * mark.grey)
    for text in card.texts:
        at = round(text.x * scale), round(text.y * scale)
        cv2.putText(page, text.words, at, (0, 0, 0), cv2.FontFace("sans"), max(4, round(text.height * scale)), 400)
    page.setflags(write=False)
    return page


def _fill(card: Layout, mark: Mark) -> str:
    x, y, width, height = mark.box
    numbers = (x, card.height - y - height, width, height)
    return f"{mark.grey:g} g " + " ".join(f"{value * POINTS:.3f}" for value in numbers) + " re f"


def _words(card: Layout, text: Text) -> str:
    words = text.words.replace("\\", r"\\").replace("(", r"\(").replace(")", r"\)")
    x, y = text.x * POINTS, (card.height - text.y) * POINTS
    return f"BT /F {text.height * POINTS:.2f} Tf {x:.2f} {y:.2f} Td ({words}) Tj ET"


def _file(objects: list[bytes]) -> bytes:
    """Objects numbered from 1, the table of their places, and the trailer (ISO 32000-1, 7.5)."""
    out = b"%PDF-1.6\n"
    places = []
    for number, body in enumerate(objects, start=1):
        places.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    size = len(objects) + 1
    tail = b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (size, len(out))
    return out + b"xref\n0 %d\n0000000000 65535 f \n" % size + table + tail
