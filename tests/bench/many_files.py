"""A folder of many files that are no photos: python tests/bench/many_files.py [COUNT]

COUNT (100 000) files in sub-folders ten deep, with links that loop, and a hundred photos among them under names of many
scripts, with blanks, quotes and line ends. Every photo must be found once; timed against listing the same folder.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

from photographs import say

from idkit.batch.walking import walk

SIGNS = (
    "plain",
    "two words",
    'a "quoted" one',
    "it's",
    "line\nend",
    "ключ",
    "扳手",
    "صامولة",
    "🔩",
    "=1+1",
    "%20",
    "a\\b",
)
PHOTOS = 100
START = b"\xff\xd8\xff\xe0"


def filled(folder: Path, count: int) -> set[str]:
    """The paths of the photos that were put in."""
    deep = [folder.joinpath(*(f"{level}-{branch}" for level in range(10))) for branch in range(10)]
    for place in deep:
        place.mkdir(parents=True)
    everywhere = [place for branch in deep for place in (branch, *list(branch.parents)[:9])]
    for number in range(count):
        (everywhere[number % len(everywhere)] / f"note {number}.txt").touch()
    photos = set()
    for number in range(PHOTOS):
        path = everywhere[number] / f"{SIGNS[number % len(SIGNS)]} {number}.jpg"
        path.write_bytes(START)
        photos.add(path.relative_to(folder).as_posix())
    for place in everywhere:
        (place / "loop").symlink_to(folder)
        (place / "again").symlink_to(everywhere[0])
    return photos


def main() -> int:
    """Print the counts; 0 where every photo was found once, else 1."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "all"
        photos = filled(folder, count)
        start = time.perf_counter()
        listed = sum(len(files) for _, _, files in os.walk(folder))
        listing = time.perf_counter() - start
        start = time.perf_counter()
        found = walk(folder)
        seconds = time.perf_counter() - start
    met = set(found.photos) == photos and len(found.photos) == len(photos) and found.others == count
    say(f"{listed} files: {len(found.photos)} photos of {len(photos)} found, {found.others} other files of {count}")
    say(f"{seconds:.2f} s; listing alone {listing:.2f} s, ratio {seconds / listing:.1f}")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
