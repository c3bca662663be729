"""How well a part's outline is found: python tests/bench/outlines.py FOLDER [COUNT]

FOLDER keeps the rendered parts of scratches.py (see renders.py), so that a stopped run goes on where it was; COUNT is
how many there should be, 110 unless said. Overlap is intersection over union of the part that was found and the part
that was rendered, 0 where none was found. Each picture is looked at as it is and at a quarter of its size.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import cv2
import numpy as np
from photographs import say
from renders import Render, rendered, wanted
from scratches import FIRST_SEED

from idkit import see

SCALES = (1.0, 0.25)
GOOD, POOR = 0.8, 0.6


def overlap(render: Render, scale: float) -> float:
    """Intersection over union of the part found in the picture at that scale with the truth."""
    picture = cv2.imread(str(render.path))
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "scaled.png"
        cv2.imwrite(str(place), cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA))
        photo = see.read(place)
    part = see.find(photo)
    if part is None:
        return 0.0
    size = render.part.shape[::-1]
    found = cv2.resize(part.mask.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST) > 0
    return float((found & render.part).sum() / (found | render.part).sum())


def report(title: str, overlaps: list[float]) -> None:
    """One line: mean overlap, and how many are good and poor."""
    values = np.array(overlaps)
    say(
        f"{title:28} {len(values):4}: mean overlap {values.mean():.2f}, {GOOD:g} or more "
        f"{100 * (values >= GOOD).mean():.0f} %, under {POOR:g} {100 * (values < POOR).mean():.0f} %"
    )


def main() -> int:
    """Print the tables; 2 where no folder is named."""
    if (asked := wanted(110)) is None:
        return 2
    folder, count = asked
    renders = [rendered(folder, FIRST_SEED, number) for number in range(count)]
    for scale in SCALES:
        found = [overlap(render, scale) for render in renders]
        side = max(renders[0].part.shape) * scale
        report(f"all, {side:.0f} pixels", found)
        for name in ("ground", "light", "skin") if scale == SCALES[0] else ():
            for value in sorted({render.truth[name] for render in renders}):
                report(
                    f"{name} {value}",
                    [each for each, render in zip(found, renders, strict=True) if render.truth[name] == value],
                )
    return 0


if __name__ == "__main__":
    sys.exit(main())
