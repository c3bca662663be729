"""Whole processes against a floor timed in the same run: python tests/bench/speed.py PHOTO.jpg [TIMES]

`idkit --help` against `import typer`, and `idkit identify PHOTO` against reading the same file with OpenCV. Runs are
interleaved and the medians compared; aims: at most 2 and 4.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

PYTHON = sys.executable
IDKIT = [PYTHON, "-c", "from idkit.show.cli import main; main()"]


def seconds(command: list[str]) -> float:
    """How long one run takes."""
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def compare(name: str, command: list[str], floor: list[str], aim: float, times: int) -> None:
    """Print the ratio of the medians."""
    pairs = [(seconds(command), seconds(floor)) for _ in range(times + 1)][1:]
    ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    sys.stdout.write(f"{name}: {ours:.3f} s, floor {theirs:.3f} s, ratio {ours / theirs:.2f} (aim {aim:g})\n")


def main() -> int:
    """Both comparisons; 2 where no photo is named."""
    if len(sys.argv) < 2 or not Path(sys.argv[1]).is_file():
        sys.stderr.write("speed.py: name a large JPEG\n")
        return 2
    photo, times = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 9
    compare("idkit --help", [*IDKIT, "--help"], [PYTHON, "-c", "import typer"], 2, times)
    read = f"import cv2; cv2.imread({photo!r})"
    compare("idkit identify", [*IDKIT, "identify", photo], [PYTHON, "-c", read], 4, times)
    return 0


if __name__ == "__main__":
    sys.exit(main())
