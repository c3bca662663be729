"""A picture of what was seen, wide as a phone: the part outlined, where colour was read, the verdict below."""

from __future__ import annotations

import textwrap
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from idkit import flows
from idkit.errors import CallError
from idkit.flows import Identified, Seen
from idkit.show import taken, words
from idkit.vocabulary import Photo, Record

WIDE = 1000  # width of the picture, and longer side of the photo in it
MARGIN = 32
TALLEST = 12_000  # more than any verdict takes
DASH = 14  # from the start of one dash to the next
Canvas = NDArray[np.uint8]

PAPER, INK, QUIET = (250, 250, 247), (20, 20, 20), (75, 75, 75)
GOOD, DOUBT, WARN = (20, 95, 30), (135, 70, 0), (160, 20, 20)
OUTLINE, READ = (255, 0, 200), (0, 220, 255)
# Of type, as shares of the width: on a phone 65 mm wide the smallest is 2 mm high, which reads at arm's length.
SIZES = {
    name: round(share * WIDE) for name, share in {"title": 0.05, "big": 0.046, "text": 0.037, "small": 0.031}.items()
}


def draw(found: Identified, path: Path) -> None:
    """Write the picture as PNG; the first photo is the one shown."""
    panel = _panel(found.record, found.seen[0] if found.seen else None)
    canvas = np.vstack([_centred(_photo(found.seen[0])), panel]) if found.seen else panel
    write(canvas, path)


def refuse(path: Path) -> None:
    """CallError for a name that ends otherwise than in .png, or of a file that idkit did not write."""
    taken.refuse_ending(path, "--picture", ".png", attempt="try --picture seen.png")
    taken.refuse(path, "--picture", mark=taken.PICTURE)


def write(canvas: Canvas, path: Path) -> None:
    """A picture in red, green, blue to a PNG file; CallError where it can't be written, or see `refuse`."""
    refuse(path)
    marked = PngInfo()
    marked.add_text("Software", "idkit")
    try:
        Image.fromarray(canvas).save(path, "PNG", pnginfo=marked)
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
    canvas = shown(seen.photo, WIDE)
    scale = WIDE / max(seen.photo.encoded.shape[:2])
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
    canvas = np.full((TALLEST, WIDE, 3), PAPER, np.uint8)
    y = MARGIN
    verdict = record.verdict
    y = _text(canvas, record.part, y, "title", INK)
    y = _text(canvas, words.answer(record), y + 6, "big", GOOD if verdict.sure else DOUBT)
    y = _bars(canvas, record, y + 28)
    if seen is not None:
        y = _swatch(canvas, seen, y + 10)
    for style, line in (*words.dangers(verdict), *words.details(record)):
        colour = {"warn": WARN, "dim": QUIET, "good": GOOD}.get(style, INK)
        y = _text(canvas, line, y + 8, "small" if style == "dim" else "text", colour)
    return canvas[: y + MARGIN]


def _bars(canvas: Canvas, record: Record, y: int) -> int:
    text, left, right = SIZES["text"], round(0.56 * WIDE), round(0.83 * WIDE)
    for name in record.verdict.likely[: words.SHOWN]:
        chance = record.verdict.chances[name]
        base, top = y + text, y + round(0.2 * text)
        put(canvas, flows.name_of(name), (MARGIN, base), text, INK)
        cv2.rectangle(canvas, (left, top), (right, base), (225, 225, 220), cv2.FILLED)
        cv2.rectangle(canvas, (left, top), (left + max(3, round((right - left) * chance)), base), INK, cv2.FILLED)
        put(canvas, words.percent(chance), (right + 14, base), SIZES["small"], INK)
        y += round(1.5 * text)
    return y


def _swatch(canvas: Canvas, seen: Seen, y: int) -> int:
    """The measured colour against white, where white is known; else as the camera gave it."""
    if seen.patch is None or not len(seen.patch.colours) or seen.evidence is None:
        return y
    known = np.isfinite(seen.patch.white.luminance)
    linear = np.clip(flows.colour_seen(seen.patch), 0, 1)
    shown = (np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055) * 255).round()
    across, down, small = round(0.14 * WIDE), round(0.09 * WIDE), SIZES["small"]
    cv2.rectangle(canvas, (MARGIN, y), (MARGIN + across, y + down), tuple(int(v) for v in shown), cv2.FILLED)
    cv2.rectangle(canvas, (MARGIN, y), (MARGIN + across, y + down), INK, 2)
    where = "colour read in the box" if seen.scratch else "colour read inside the outline"
    against = "against white in view" if known else "white not known: don't trust it"
    beside = MARGIN + across + 20
    put(canvas, f"{where},", (beside, y + round(1.15 * small)), small, INK)
    fit = f"{against}; {100 * seen.patch.used:.0f} % of it fit to judge"
    put(canvas, fit, (beside, y + round(2.5 * small)), small, INK)
    return y + down + 8


def _text(canvas: Canvas, text: str, y: int, size: str, colour: tuple[int, int, int]) -> int:
    pixels = SIZES[size]
    for line in textwrap.wrap(text, int((WIDE - 2 * MARGIN) / (0.52 * pixels))) or [""]:
        y += round(pixels * 1.25)
        put(canvas, line, (MARGIN, y), pixels, colour)
    return y


def put(canvas: Canvas, text: str, at: tuple[int, int], pixels: int, colour: tuple[int, int, int]) -> None:
    """Write one line of text, its baseline at x, y."""
    cv2.putText(canvas, text, at, colour, cv2.FontFace("sans"), pixels, 400)


def put_centred(canvas: Canvas, text: str, at: tuple[int, int], pixels: int, colour: tuple[int, int, int]) -> None:
    """Write one line about x, its baseline at y, with paper around each letter so that it shows on any ground."""
    x = at[0] - _width_of(text, pixels) // 2
    letters = np.zeros(canvas.shape, np.uint8)
    put(letters, text, (x, at[1]), pixels, (255, 255, 255))
    halo = cv2.dilate(letters, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * (pixels // 6) + 1,) * 2))
    canvas[halo[..., 0] > 60] = PAPER
    put(canvas, text, (x, at[1]), pixels, colour)


def _width_of(text: str, pixels: int) -> int:
    _, _, width, _ = cv2.getTextSize((1, 1), text, (0, 0), cv2.FontFace("sans"), pixels, 400)
    return int(width)


def _centred(picture: Canvas) -> Canvas:
    """The picture in the middle of the width."""
    canvas = np.full((picture.shape[0], WIDE, 3), PAPER, np.uint8)
    left = (WIDE - picture.shape[1]) // 2
    canvas[:, left : left + picture.shape[1]] = picture
    return canvas
