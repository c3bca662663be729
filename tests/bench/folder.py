"""A folder against merely decoding it: python tests/bench/folder.py [FOLDER] [FEW] [MANY]

Photos of 12 megapixels, each a part: those of FOLDER, else the sample pictures enlarged, under FEW (200) and then MANY
(2000) names. `idkit tag` is a whole process with all it starts; the floor decodes the same photos at full size with
OpenCV in as many processes. Interleaved, in one run. Aims: at most twice the floor, which is half its throughput; MANY
at most 1.1 times as much each as FEW; no process over 400 MB; a second run 20 times faster. MANY of 0 leaves it out.
"""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path

import cv2
import numpy as np
from photographs import HOME, say

ROOT = Path(__file__).resolve().parents[2]
IDKIT = [sys.executable, "-c", "from idkit.show.cli import main; main()", "tag"]
MEGAPIXELS = 12_000_000
PROCESSES = os.cpu_count() or 1


def large(folder: Path, into: Path) -> list[Path]:
    """The photos of 12 megapixels in a folder; where there is none the sample pictures, enlarged, with noise."""
    found = [path for path in sorted(folder.glob("*.jpg")) if np.prod(cv2.imread(str(path)).shape[:2]) >= MEGAPIXELS]
    if found:
        return found
    random = np.random.default_rng(1)
    for path in sorted((ROOT / "sample_images").glob("*.jpg")):
        picture = cv2.resize(cv2.imread(str(path)), (4000, 3000), interpolation=cv2.INTER_CUBIC).astype(np.float32)
        noisy = np.clip(picture + random.normal(0, 3, picture.shape), 0, 255).astype(np.uint8)
        cv2.imwrite(str(into / path.name), noisy, [cv2.IMWRITE_JPEG_QUALITY, 92])
    return sorted(into.glob("*.jpg"))


def named(photos: list[Path], count: int, folder: Path) -> Path:
    """The photos under so many names."""
    folder.mkdir()
    for number in range(count):
        place, photo = folder / f"part {number:05}.jpg", photos[number % len(photos)]
        try:
            place.hardlink_to(photo)
        except OSError:
            place.write_bytes(photo.read_bytes())
    return folder


def decode(path: str) -> int:
    """One photo at full size."""
    cv2.setNumThreads(1)
    return int(cv2.imdecode(np.frombuffer(Path(path).read_bytes(), np.uint8), cv2.IMREAD_COLOR).size)


def floor(folder: Path) -> float:
    """Seconds to decode every photo, the processes already there."""
    paths = [str(path) for path in sorted(folder.glob("*.jpg"))]
    with multiprocessing.get_context("spawn").Pool(PROCESSES) as pool:
        pool.map(decode, paths[: 2 * PROCESSES])
        start = time.perf_counter()
        assert min(pool.imap_unordered(decode, paths)) > 0
        return time.perf_counter() - start


def tag(folder: Path, largest: list[float]) -> float:
    """Seconds that one run takes, from nothing to the page; its largest process in MB is added to the list."""
    start = time.perf_counter()
    with subprocess.Popen([*IDKIT, str(folder)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as run:
        while run.poll() is None:
            largest += [peak(pid) for pid in descendants(run.pid)]
            time.sleep(0.2)
    assert run.returncode == 0
    return time.perf_counter() - start


def descendants(pid: int) -> list[int]:
    """A process and all below it; itself alone where the system does not say."""
    found = [pid]
    with suppress(OSError):
        for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
            found += descendants(int(child))
    return found


def peak(pid: int) -> float:
    """The most memory that a process had so far, in MB (proc(5), VmHWM); 0 where the system does not say."""
    with suppress(OSError):
        for line in Path(f"/proc/{pid}/status").read_text().splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) / 1024
    return 0.0


def main() -> int:
    """Print the figures; 0 where every aim is met, else 1."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HOME / "full-size"
    few, many = (int(sys.argv[at]) if len(sys.argv) > at else usual for at, usual in ((2, 200), (3, 2000)))
    with tempfile.TemporaryDirectory() as scratch:
        there = Path(scratch) / "large"
        there.mkdir()
        photos = large(folder, there)
        drawer = named(photos, few, Path(scratch) / "few")
        largest: list[float] = []
        decoding, first = floor(drawer), tag(drawer, largest)
        decoding = (decoding + floor(drawer)) / 2  # before and after: the machine may be doing other things too
        again = tag(drawer, largest)
        ratio = first / decoding
        say(f"{few} photos ({len(photos)} of {folder.name or 'the samples'}), {PROCESSES} processes:")
        say(f"decoding {decoding / few:.3f} s each, idkit tag {first / few:.3f} s each, ratio {ratio:.2f} (aim 2)")
        say(f"second run {again:.2f} s, {first / again:.0f} times faster (aim 20)")
        met = ratio <= 2 and first / again >= 20
        if many:
            each = tag(named(photos, many, Path(scratch) / "many"), largest) / many
            say(f"{many} photos: {each:.3f} s each, {each / (first / few):.2f} times as much (aim 1.1)")
            met &= each <= 1.1 * first / few
        say(f"largest process {max(largest):.0f} MB (aim 400)")
    return 0 if met and max(largest) <= 400 else 1


if __name__ == "__main__":
    sys.exit(main())
