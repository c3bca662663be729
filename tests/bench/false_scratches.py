"""How often bare metal is found where nothing was filed: python tests/bench/false_scratches.py [FOLDER]

Without FOLDER, the coins and the look-alikes that stand beside the project: worn, printed and embossed, none of them
filed. They are measured on, never fitted to. FOLDER holds labels.csv and the photographs.
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from photographs import Row, labelled, say

from idkit import see


def certainty(row: Row) -> float:
    """Certainty of the likeliest bare metal in one photo; 0 where there is none, or no part."""
    photo = see.read(Path(row["folder"]) / row["file"])
    part = see.find(photo)
    found = see.find_scratch(photo, part, see.white(photo, part)) if part is not None else None
    return found.certainty if found is not None else 0.0


def main() -> int:
    """One line a folder; 0 always, 3 where one is missing."""
    for name in ("coins", "look-alikes") if len(sys.argv) < 2 else (sys.argv[1],):
        rows = labelled(name)
        if rows is None:
            return 3
        with ProcessPoolExecutor() as pool:
            found = list(pool.map(certainty, rows, chunksize=16))
        counts = ", ".join(f"{limit:g} or more {sum(each >= limit for each in found)}" for limit in (0.3, 0.5, 0.7))
        say(f"{name}: {len(found)} photos, none filed; certainty {counts}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
