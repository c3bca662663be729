"""A picture of what was seen: the part outlined, where colour was read, the measured swatch, the verdict in words."""

from __future__ import annotations

import textwrap
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from idkit import flows
from idkit.errors import CallError
from idkit.flows import Identified, Seen
from idkit.show import words
from idkit.vocabulary import Photo, Record

SIDE = 900  # longer side of the photo in the picture
PANEL = 620  # width of the words beside it
MARGIN = 24
DASH = 14  # from the start of one dash to the next
Canvas = NDArray[np.uint8]

PAPER, INK, QUIET = (250, 250, 247), (30, 30, 30), (95, 95, 95)
GOOD, DOUBT, WARN = (30, 110, 40), (160, 90, 0), (170, 30, 30)
OUTLINE, READ = (255, 0, 200), (0, 220, 255)
SIZES = {"title": 26, "big": 24, "text": 19, "small": 16}


def draw(found: Identified, path: Path) -> None:
    """Write the picture as PNG; the first photo is the one shown."""
    panel = _panel(found.record, found.seen[0] if found.seen else None)
    if found.seen:
        photo = _photo(found.seen[0])
        height = max(photo.shape[0], panel.shape[0])
        canvas = np.hstack([_padded(photo, height), _padded(panel, height)])
    else:
        canvas = panel
    write(canvas, path)


def write(canvas: Canvas, path: Path) -> None:
    """A picture in red, green, blue to a PNG file; CallError for another ending or where it can't be written."""
    if path.suffix.lower() != ".png":
        raise CallError("--picture", f"got {path.name!r}", "a name that ends in .png", "try --picture seen.png")
    done, data = cv2.imencode(".png", canvas[..., ::-1])
    try:
        if done:
            path.write_bytes(data.tobytes())
    except OSError as error:
        raise CallError("--picture", f"{path} can't be written ({error.strerror})", "a folder that is there") from None


def shown(photo: Photo, side: int) -> Canvas:
    """The photo in 8 bits, its longer side as asked."""
    encoded = photo.encoded
    picture = encoded if encoded.dtype == np.uint8 else (encoded >> 8).astype(np.uint8)
    scale = side / max(picture.shape[:2])
    size = (max(1, round(picture.shape[1] * scale)), max(1, round(picture.shape[0] * scale)))
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    return np.ascontiguousarray(cv2.resize(picture, size, interpolation=how), np.uint8)


def _photo(seen: Seen) -> Canvas:
    canvas = shown(seen.photo, SIDE)
    scale = SIDE / max(seen.photo.encoded.shape[:2])
    if seen.part is not None:
        outline(canvas, seen.part.mask, OUTLINE)
    if seen.patch is not None and seen.scratch is not None:
        x, y, width, height = (round(value * scale) for value in seen.scratch)
        cv2.rectangle(canvas, (x, y), (x + width, y + height), (0, 0, 0), 5)
        cv2.rectangle(canvas, (x, y), (x + width, y + height), READ, 2)
    if seen.bare is not None and seen.bare.certainty >= flows.WORTH_SAYING:
        _dashed(canvas, tuple(round(value * scale) for value in seen.bare.box))
    return canvas


def _dashed(canvas: Canvas, box: tuple[int, ...]) -> None:
    """A dashed box: bare metal that idkit found by itself."""
    x, y, width, height = box
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
        dashes = max(2, round(float(np.hypot(end[0] - start[0], end[1] - start[1])) / DASH))
        points = np.linspace(start, end, 2 * dashes).round().astype(int).tolist()
        for a, b in zip(points[::2], points[1::2], strict=True):
            cv2.line(canvas, a, b, (0, 0, 0), 4)
            cv2.line(canvas, a, b, READ, 2)


def outline(canvas: Canvas, mask: NDArray[np.bool_], colour: tuple[int, int, int]) -> None:
    """Draw round a mask, black under the colour so that it shows on any ground."""
    large = cv2.resize(mask.astype(np.uint8), (canvas.shape[1], canvas.shape[0]), interpolation=cv2.INTER_NEAREST)
    lines, _ = cv2.findContours(large, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    cv2.drawContours(canvas, lines, -1, (0, 0, 0), 5)
    cv2.drawContours(canvas, lines, -1, colour, 2)


def _panel(record: Record, seen: Seen | None) -> Canvas:
    canvas = np.full((2400, PANEL, 3), PAPER, np.uint8)
    y = MARGIN
    verdict = record.verdict
    y = _text(canvas, record.part, y, "title", INK)
    y = _text(canvas, words.answer(record), y + 6, "big", GOOD if verdict.sure else DOUBT)
    y = _bars(canvas, record, y + 12)
    if seen is not None:
        y = _swatch(canvas, seen, y + 10)
    for style, line in words.details(record):
        colour = {"warn": WARN, "dim": QUIET, "good": GOOD}.get(style, INK)
        y = _text(canvas, line, y + 8, "small" if style == "dim" else "text", colour)
    return canvas[: y + MARGIN]


def _bars(canvas: Canvas, record: Record, y: int) -> int:
    for name in record.verdict.likely[: words.SHOWN]:
        chance = record.verdict.chances[name]
        put(canvas, flows.name_of(name), (MARGIN, y + 18), SIZES["text"], INK)
        left, width = 300, PANEL - 300 - 110
        cv2.rectangle(canvas, (left, y + 3), (left + width, y + 20), (225, 225, 220), cv2.FILLED)
        cv2.rectangle(canvas, (left, y + 3), (left + max(2, round(width * chance)), y + 20), INK, cv2.FILLED)
        put(canvas, words.percent(chance), (left + width + 10, y + 18), SIZES["small"], INK)
        y += 30
    return y


def _swatch(canvas: Canvas, seen: Seen, y: int) -> int:
    """The measured colour against white, where white is known; else as the camera gave it."""
    if seen.patch is None or not len(seen.patch.colours) or seen.evidence is None:
        return y
    known = np.isfinite(seen.patch.white.luminance)
    gains = np.exp([-seen.patch.white.red_green, 0.0, -seen.patch.white.blue_green])
    level = seen.patch.white.luminance if known else 1.0
    linear = np.clip(np.median(seen.patch.colours, axis=0) * gains / level, 0, 1)
    shown = (np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055) * 255).round()
    cv2.rectangle(canvas, (MARGIN, y), (MARGIN + 90, y + 56), tuple(int(v) for v in shown), cv2.FILLED)
    cv2.rectangle(canvas, (MARGIN, y), (MARGIN + 90, y + 56), INK, 1)
    where = "colour read in the box" if seen.scratch else "colour read inside the outline"
    put(canvas, f"{where},", (MARGIN + 106, y + 22), SIZES["small"], INK)
    against = "against white in view" if known else "white not known: don't trust it"
    put(
        canvas,
        f"{against}; {100 * seen.patch.used:.0f} % of it fit to judge",
        (MARGIN + 106, y + 44),
        SIZES["small"],
        INK,
    )
    return y + 62


def _text(canvas: Canvas, text: str, y: int, size: str, colour: tuple[int, int, int]) -> int:
    pixels = SIZES[size]
    for line in textwrap.wrap(text, int((PANEL - 2 * MARGIN) / (0.50 * pixels))) or [""]:
        y += round(pixels * 1.25)
        put(canvas, line, (MARGIN, y), pixels, colour)
    return y


def put(canvas: Canvas, text: str, at: tuple[int, int], pixels: int, colour: tuple[int, int, int]) -> None:
    """Write one line of text, its baseline at x, y."""
    cv2.putText(canvas, text, at, colour, cv2.FontFace("sans"), pixels, 400)


def _padded(picture: Canvas, height: int) -> Canvas:
    tall = np.full((height, picture.shape[1], 3), PAPER, np.uint8)
    tall[: picture.shape[0]] = picture
    return tall
