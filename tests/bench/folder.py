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
from typing import NamedTuple

import cv2
import numpy as np
from photographs import HOME, say

ROOT = Path(__file__).resolve().parents[2]
IDKIT = [sys.executable, "-c", "from idkit.show.cli import main; main()", "tag"]
MEGAPIXELS = 12_000_000
PROCESSES = os.cpu_count() or 1


class Seconds(NamedTuple):
    """By the clock, and those that the processor worked: where a machine does other things too, these say more."""

    clock: float
    worked: float


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


def decode(path: str) -> float:
    """One photo at full size; the processor's seconds it took."""
    cv2.setNumThreads(1)
    start = time.process_time()
    assert cv2.imdecode(np.frombuffer(Path(path).read_bytes(), np.uint8), cv2.IMREAD_COLOR) is not None
    return time.process_time() - start


def floor(folder: Path) -> Seconds:
    """What decoding every photo takes, the processes already there."""
    paths = [str(path) for path in sorted(folder.glob("*.jpg"))]
    with multiprocessing.get_context("spawn").Pool(PROCESSES) as pool:
        pool.map(decode, paths[: 2 * PROCESSES])
        start = time.perf_counter()
        worked = sum(pool.imap_unordered(decode, paths))
        return Seconds(time.perf_counter() - start, worked)


def tag(folder: Path, largest: list[float]) -> Seconds:
    """What one run takes, from nothing to the page; the MB of its processes are added to the list."""
    start, before = time.perf_counter(), os.times()
    with subprocess.Popen([*IDKIT, str(folder)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as run:
        while run.returncode is None:
            largest += [peak(pid) for pid in descendants(run.pid)]
            with suppress(subprocess.TimeoutExpired):
                run.wait(0.2)
    assert run.returncode == 0
    now = os.times()
    worked = now.children_user + now.children_system - before.children_user - before.children_system
    return Seconds(time.perf_counter() - start, worked)


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
        before, first = floor(drawer), tag(drawer, largest)
        after, again = floor(drawer), tag(drawer, largest)
        clock = 2 * first.clock / (before.clock + after.clock)  # before and after: the machine may do other things too
        worked = 2 * first.worked / (before.worked + after.worked)
        say(f"{few} photos ({len(photos)} of {folder.name or 'the samples'}), {PROCESSES} processes:")
        say(f"decoding {before.worked / few:.3f} s of processor time each, idkit tag {first.worked / few:.3f} s")
        say(f"ratio {worked:.2f} in processor time, {clock:.2f} by the clock (aim 2)")
        say(f"second run {again.clock:.2f} s, {first.clock / again.clock:.0f} times faster (aim 20)")
        met = min(clock, worked) <= 2 and first.clock / again.clock >= 20
        if many:
            each = tag(named(photos, many, Path(scratch) / "many"), largest)
            more = each.worked / many / (first.worked / few)
            say(f"{many} photos: {more:.2f} times the processor time each of {few} (aim 1.1)")
            met &= more <= 1.1
        say(f"largest process {max(largest):.0f} MB (aim 400)")
    return 0 if met and max(largest) <= 400 else 1


if __name__ == "__main__":
    sys.exit(main())
