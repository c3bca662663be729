"""How far a verdict moves where a large photo is decoded smaller: python tests/bench/smaller.py [FOLDER]

Photos of FOLDER (full-size), and every fifth of look-alikes beside it enlarged to 12 megapixels with noise, each looked
at in full and as `idkit tag` does. Counted is how far the chance of the family that won moves, and how often the part
or a fault comes out otherwise. The aim is that of stable.py: at most 0.1 for 95 of 100.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import cv2
import numpy as np
from photographs import HOME, say

from idkit import flows, see
from idkit.flows import tagging

EVERY, MOST, AIM = 5, 0.1, 0.95


def enlarged(photo: Path, folder: Path) -> Path:
    """The photo at about 12 megapixels, with noise of its own."""
    picture = cv2.imread(str(photo))
    larger = cv2.resize(picture, None, fx=4000 / max(picture.shape), fy=4000 / max(picture.shape))
    noise = np.random.default_rng(1).normal(0, 3, larger.shape)
    path = folder / photo.name
    cv2.imwrite(str(path), np.clip(larger + noise, 0, 255).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, 92])
    return path


def compared(path: Path) -> tuple[float, bool, bool]:
    """How far the winner's chance moves; whether part and faults come out the same; whether it was decoded smaller."""
    full = flows.look(see.read(path), flows.starter(), None, None, tagging.CUES)
    quick = tagging.looked_at(see.read(path, smaller=True), None, search=True)
    one, two = full.report.families, quick.report.families
    winner = max(one, key=one.__getitem__, default="")
    moved = abs(one[winner] - two.get(winner, 0)) if winner else float(bool(two))
    alike = full.report.problems == quick.report.problems and (full.part is None) == (quick.part is None)
    return moved, alike, quick.photo.shrunk > 1


def main() -> int:
    """Print the figures; 0 where the aim is met, 1 where it is not, 3 where there are no photographs."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HOME / "full-size"
    if not folder.is_dir():
        say(f"{folder}: no such folder; the photographs are not part of this project")
        return 3
    with tempfile.TemporaryDirectory() as scratch:
        others = sorted((folder.parent / "look-alikes").rglob("*.jpg"))[::EVERY]
        photos = [*sorted(folder.glob("*.jpg")), *(enlarged(photo, Path(scratch)) for photo in others)]
        moves, alike, smaller = (np.array(column) for column in zip(*map(compared, photos), strict=True))
    share = float((moves <= MOST).mean())
    say(f"{len(photos)} photos, {smaller.sum()} of them decoded smaller")
    say(f"within {MOST:g} for {100 * share:.1f} of 100, the farthest {moves.max():.3f}; faults alike in {alike.sum()}")
    return 0 if share >= AIM else 1


if __name__ == "__main__":
    sys.exit(main())
