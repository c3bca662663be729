"""How far an answer moves when the same photo is saved another way: python tests/bench/stable.py [FOLDER] [EVERY]

The real coins with white in view (labels.csv of FOLDER), each looked at as it is and brighter or darker by a stop (in
linear light, clipped), at JPEG quality 60 and 95, at half and double the size, turned and mirrored. Counted is how far
the chance of the family that won moves; the aim: at most 0.1 for 95 of 100 photos. EVERY takes each n-th photo only.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

import cv2
import numpy as np
from fitness import Picture, exposed
from photographs import Row, labelled, say

from idkit import flows, see

FOLDER = "coins"
AIM, MOST = 0.95, 0.1
AS_IT_IS = "as it is, saved again"
Change = Callable[[Picture], Picture]


def resized(picture: Picture, scale: float) -> Picture:
    """Area-averaged or cubic."""
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(picture, None, fx=scale, fy=scale, interpolation=how), np.uint8)


def turned(picture: Picture, quarters: int) -> Picture:
    """By quarter turns."""
    return np.ascontiguousarray(np.rot90(picture, quarters))


def changes() -> Iterator[tuple[str, int, Change]]:
    """What is done, the JPEG quality it is saved with, and how."""
    yield AS_IT_IS, 95, lambda picture: picture
    yield "one stop darker", 95, partial(exposed, stops=-1)
    yield "one stop brighter", 95, partial(exposed, stops=1)
    yield "JPEG quality 60", 60, lambda picture: picture
    yield "half the size", 95, partial(resized, scale=0.5)
    yield "double the size", 95, partial(resized, scale=2.0)
    for quarters in (1, 2, 3):
        yield f"turned by {90 * quarters} degrees", 95, partial(turned, quarters=quarters)
    yield "mirrored", 95, lambda picture: np.ascontiguousarray(picture[:, ::-1])


def families(path: Path) -> dict[str, float]:
    """Chances of the colour families from the photo alone; empty where no part was found."""
    seen = flows.look(see.read(path), flows.starter(), "as-found", None, ())
    return dict(seen.report.families)


def look(row: Row) -> dict[str, float]:
    """How far the winner's chance moves, by change; 1 where a part is no longer found."""
    cv2.setNumThreads(1)
    path = Path(row["folder"]) / row["file"]
    before, picture = families(path), cv2.imread(str(path))
    if not before:
        return {}
    winner = max(before, key=before.__getitem__)
    with tempfile.TemporaryDirectory() as folder:
        place, moves = Path(folder) / "changed.jpg", {}
        for name, quality, change in changes():
            assert cv2.imwrite(str(place), change(picture), [cv2.IMWRITE_JPEG_QUALITY, quality])
            after = families(place)
            moves[name] = abs(after[winner] - before[winner]) if after else 1.0
    return moves


def main() -> int:
    """Print the table; 0 where every aim is met, 1 where one is not, 3 where the folder is missing."""
    rows = labelled(FOLDER)
    if rows is None:
        return 3
    every = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    rows = [row for row in rows if row["white_in_view"] == "yes" and row["colour_family"] != "two-tone"][::every]
    with ProcessPoolExecutor() as pool:
        found = [moves for moves in pool.map(look, rows, chunksize=4) if moves]
    say(f"{len(found)} photos of {len(rows)} with white in view and a part found")
    met = True
    for name, *_ in changes():
        moves = np.array([each[name] for each in found])
        share = float((moves <= MOST).mean())
        met &= share >= AIM
        say(f"{name}: within {MOST:g} for {100 * share:.1f} of 100, 95th percentile {np.percentile(moves, 95):.3f}")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
