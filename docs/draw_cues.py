"""The pictures of docs/cues.md, drawn from the sample parts: python docs/draw_cues.py [FOLDER]

Each sample is read, its part and white found and its cues measured by idkit itself. Where a picture shows what a cue
sums up, the sum over the picture is held against the cue's reading, and a difference is an error.
"""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from drawing.brushes import PAPER, Canvas, Colour, rising, two_ways
from drawing.figures import FIGURES, Figure, Row

from idkit import see
from idkit.vocabulary import Patch, Photo

DOCS = Path(__file__).resolve().parent
SAMPLES = DOCS.parent / "sample_images"
WIDE, HIGH, GAP = 236, 186, 8  # a panel, in pixels
TEXT, LINE = 18, 24
FONT = cv2.FontFace("sans")
INK, QUIET = (30, 30, 30), (80, 80, 80)


@dataclass(frozen=True)
class Sample:
    photo: Photo
    box: tuple[int, int, int, int]
    patch: Patch


def main(arguments: list[str]) -> int:
    """Draw every figure into the folder, docs/pictures if none is named."""
    folder = Path(arguments[0]) if arguments else DOCS / "pictures"
    folder.mkdir(parents=True, exist_ok=True)
    samples = {path.stem: sample(path) for path in sorted(SAMPLES.glob("*.jpg"))}
    for figure in FIGURES:
        picture = drawn(figure, samples)
        data = cv2.imencode(".jpg", picture[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 74])[1]
        (folder / f"{figure.name}.jpg").write_bytes(data.tobytes())
        sys.stdout.write(f"{figure.name}.jpg: {picture.shape[1]} x {picture.shape[0]}, {len(data) / 1e3:.0f} kB\n")
    return 0


def sample(path: Path) -> Sample:
    """A sample as idkit sees it."""
    photo = see.read(path)
    part = see.find(photo) or see.whole(photo)
    return Sample(photo, part.box, see.of_part(photo, part, see.white(photo, part)))


def drawn(figure: Figure, samples: dict[str, Sample]) -> Canvas:
    """The strip: rows of panels, each with its title and key above and its readings below."""
    chosen = {name: samples[name] for name in figure.parts}
    return np.vstack([_row(row, chosen) for row in figure.rows])


def _row(row: Row, chosen: dict[str, Sample]) -> Canvas:
    panels = []
    for name, one in chosen.items():
        if row.paint is None:
            panels.append(_panel(_crop(one), [name.replace("-", " ")]))
        else:
            picture, sums = row.paint(one.patch)
            panels.append(_panel(picture, _readings(row, one.patch, sums)))
    strip = np.hstack(panels)
    return np.vstack([_head(row, strip.shape[1]), strip]) if row.paint else strip


def _readings(row: Row, patch: Patch, sums: dict[str, float]) -> list[str]:
    """What the cues read, one a line, after a look whether the picture says the same."""
    lines = []
    for cue in (cue for name in row.cues for cue in see.CUES if cue.name == name):
        value = cue.measure(patch).value
        if cue.name in sums and not math.isclose(sums[cue.name], value, rel_tol=1e-3, abs_tol=1e-3):
            raise SystemExit(f"{cue.name}: the picture shows {sums[cue.name]:.4f}, the cue reads {value:.4f}")
        said = "none" if math.isnan(value) else f"{value:.2f}" if cue.high <= 10 else f"{value:.1f}"
        lines.append(f"{cue.name.replace('_', ' ').replace('co occurrence ', '')}  {said}")
    return lines


def _crop(one: Sample) -> Canvas:
    x, y, width, height = one.box
    return np.asarray(one.photo.encoded[y : y + height, x : x + width], np.uint8)


def _panel(picture: Canvas, lines: list[str]) -> Canvas:
    """A picture in the middle of its place, and lines of text under it."""
    scale = min((WIDE - 2 * GAP) / picture.shape[1], (HIGH - 2 * GAP) / picture.shape[0])
    size = (round(picture.shape[1] * scale), round(picture.shape[0] * scale))
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_NEAREST
    panel = _blank(HIGH + LINE * len(lines) + (GAP if lines else 0), WIDE)
    left, top = (WIDE - size[0]) // 2, (HIGH - size[1]) // 2
    panel[top : top + size[1], left : left + size[0]] = cv2.resize(picture, size, interpolation=how)
    for number, line in enumerate(lines):
        width = cv2.getTextSize((0, 0), line, (0, 0), FONT, TEXT, 400)[2]
        _put(panel, line, ((WIDE - width) // 2, HIGH + LINE * number + TEXT - 2), INK)
    return panel


def _head(row: Row, wide: int) -> Canvas:
    """The row's title, and what its colours mean."""
    head = _blank(2 * GAP + LINE, wide)
    head[:2] = (205, 205, 200)
    x = _put(head, row.title, (GAP, GAP + LINE - 4), INK, 600) + 4 * GAP
    for paint, words in row.key:
        cv2.rectangle(head, (x, GAP + 5), (x + 18, GAP + 21), paint, cv2.FILLED)
        x = _put(head, words, (x + 25, GAP + LINE - 4), QUIET) + 3 * GAP
    if row.scale:
        x = _put(head, row.scale[0], (x, GAP + LINE - 4), QUIET) + GAP
        steps = np.linspace(-1, 1, 120) if row.two_ways else np.linspace(0, 1, 120)
        head[GAP + 6 : GAP + 21, x : x + 120] = (two_ways if row.two_ways else rising)(steps)
        _put(head, row.scale[1], (x + 120 + GAP, GAP + LINE - 4), QUIET)
    return head


def _put(canvas: Canvas, text: str, at: tuple[int, int], colour: Colour, weight: int = 400) -> int:
    """Write, and say where the writing ends."""
    return int(cv2.putText(canvas, text, at, colour, FONT, TEXT, weight)[0][0])


def _blank(high: int, wide: int) -> Canvas:
    return np.full((high, wide, 3), PAPER, np.uint8)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
