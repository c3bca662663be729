"""Against a floor timed in the same run: python tests/bench/speed.py PHOTO.jpg [TIMES]

Whole processes: `idkit --help` against `import typer`, and `idkit identify PHOTO` against reading the same file with
OpenCV. In one process, warm: reading the photo enlarged to 12 megapixels and measuring every cue, against decoding it.
Runs are interleaved and the medians compared; aims: at most 2, 4 and 3.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import cv2
import numpy as np

from idkit import see

PYTHON = sys.executable
IDKIT = [PYTHON, "-c", "from idkit.show.cli import main; main()"]


def seconds(command: list[str]) -> float:
    """How long one run takes."""
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def compare(name: str, ours_once: Callable[[], float], floor_once: Callable[[], float], aim: float, times: int) -> None:
    """Print the ratio of the medians of what each call took, in seconds; the first pair warms up."""
    pairs = [(ours_once(), floor_once()) for _ in range(times + 1)][1:]
    ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    sys.stdout.write(f"{name}: {ours:.3f} s, floor {theirs:.3f} s, ratio {ours / theirs:.2f} (aim {aim:g})\n")


def enlarged(photo: Path, folder: Path) -> Path:
    """The photo at 4000 x 3000 pixels, as a JPEG of quality 92."""
    picture = cv2.resize(cv2.imread(str(photo)), (4000, 3000), interpolation=cv2.INTER_CUBIC)
    path = folder / "enlarged.jpg"
    assert cv2.imwrite(str(path), picture, [cv2.IMWRITE_JPEG_QUALITY, 92])
    return path


def measuring(path: Path) -> float:
    """How long it takes to read a photo, find part and white, and measure every cue."""
    start = time.perf_counter()
    photo = see.read(path)
    part = see.find(photo) or see.whole(photo)
    patch = see.of_part(photo, part, see.white(photo, part))
    assert all(cue.measure(patch).name == cue.name for cue in see.CUES)
    return time.perf_counter() - start


def decoding(path: Path) -> float:
    """How long OpenCV takes to decode it at full size."""
    start = time.perf_counter()
    assert cv2.imdecode(np.frombuffer(path.read_bytes(), np.uint8), cv2.IMREAD_COLOR) is not None
    return time.perf_counter() - start


def main() -> int:
    """All comparisons; 2 where no photo is named."""
    if len(sys.argv) < 2 or not Path(sys.argv[1]).is_file():
        sys.stderr.write("speed.py: name a large JPEG\n")
        return 2
    photo, times = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 9
    with tempfile.TemporaryDirectory() as folder:
        large = enlarged(Path(photo), Path(folder))
        compare("every cue, 12 megapixels", partial(measuring, large), partial(decoding, large), 3, 2 * times)
    typer = [PYTHON, "-c", "import typer"]
    compare("idkit --help", partial(seconds, [*IDKIT, "--help"]), partial(seconds, typer), 2, times)
    read = [PYTHON, "-c", f"import cv2; cv2.imread({photo!r})"]
    compare("idkit identify", partial(seconds, [*IDKIT, "identify", photo]), partial(seconds, read), 4, times)
    return 0


if __name__ == "__main__":
    sys.exit(main())
