"""How round the outlines of real coins come out: python tests/bench/round_outlines.py [FOLDER]

Coins are ellipses in a photo, so that no outline drawn by hand is needed: how far the part that is found and the
ellipse fitted to its outline overlap (Fitzgibbon, Pilu and Fisher 1999, as OpenCV fits it), and how long that ellipse
is against its width. The photographs are the open data set kaa/coins-dataset (MIT); FOLDER holds labels.csv and the
photographs.
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import cv2
import numpy as np
from photographs import Row, labelled, say

from idkit import see

FOLDER = "coins"
ROUND, LONG = 0.9, 1.15  # overlap, and length against width, of outlines that are called poor


def look(row: Row) -> tuple[float, float]:
    """Overlap of a coin's outline with its own ellipse, and that ellipse's length against its width."""
    part = see.find(see.read(Path(row["folder"]) / row["file"]))
    if part is None:
        return 0.0, np.inf
    mask = part.mask.astype(np.uint8)
    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    ellipse = cv2.fitEllipse(max(outlines, key=cv2.contourArea))
    drawn = cv2.ellipse(np.zeros_like(mask), ellipse, 1, -1)
    return float((drawn & mask).sum() / (drawn | mask).sum()), max(ellipse[1]) / min(ellipse[1])


def main() -> int:
    """Print the table; 0 always, 3 where the folder is missing."""
    rows = labelled(FOLDER)
    if rows is None:
        return 3
    with ProcessPoolExecutor() as pool:
        found = np.array(list(pool.map(look, rows, chunksize=16)))
    groups = {"all": np.ones(len(rows), bool)}
    groups |= {
        f"white in view: {white}": np.array([r["white_in_view"] == white for r in rows]) for white in ("yes", "no")
    }
    for name, mine in groups.items():
        overlap, length = found[mine].T
        middle, worst = np.median(overlap), np.quantile(overlap, 0.05)
        poor = (
            f"under {ROUND:g} {(overlap < ROUND).sum()}, longer than {LONG:g} times its width {(length > LONG).sum()}"
        )
        say(f"{name:20} {mine.sum():4}: overlap {middle:.3f} in the middle, 5 in 100 under {worst:.2f}; {poor}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
