"""Parts counted in photographs of many coins: python tests/bench/each.py [FOLDER]

FOLDER holds the photographs that tests/reference/parts_by_eye.csv names; its heading says how they were counted. Where
FOLDER/labels.csv is there instead, its photographs show one thing each, and what is printed is how often the program
says that there are others beside it.
"""

from __future__ import annotations

import csv
import sys
import time
from pathlib import Path

from photographs import HOME, labelled, say

from idkit import see

COUNTS = Path(__file__).parents[1] / "reference" / "parts_by_eye.csv"


def counted(folder: Path) -> None:
    """File, counted by eye, found, and how long it took."""
    lines = [line for line in COUNTS.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    within = 0
    for row in csv.DictReader(lines):
        photo = see.read(folder / row["file"])
        several = see.among(photo, see.find(photo))[1] > 1
        start = time.perf_counter()
        found = len(see.find_each(photo))
        within += abs(found - int(row["parts"])) <= 1
        say(
            f"{row['file']:14} by eye {row['parts']:>3}, found {found:>3}, {time.perf_counter() - start:.1f} s"
            f"; without --each {'said to be several' if several else 'nothing said'}"
        )
    say(f"within one: {within} of 5")


def alone(folder: Path) -> None:
    """How many of the photographs of one thing are said to show several."""
    rows = labelled(folder.name) or []
    said = []
    for row in rows:
        photo = see.read(folder / row["file"])
        if see.among(photo, see.find(photo))[1] > 1:
            said.append(row["file"])
    say(f"{folder.name}: {len(said)} of {len(rows)} said to be several {' '.join(said)}")


def main() -> int:
    """By what the folder holds; 1 where it is missing."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HOME / "full-size"
    if not folder.is_dir():
        say(f"{folder}: no such folder; the photographs are not part of this project")
        return 1
    alone(folder) if (folder / "labels.csv").is_file() else counted(folder)
    return 0


if __name__ == "__main__":
    sys.exit(main())
