"""Killed at any point, the end is the same: python tests/bench/killed.py [TIMES] [PROCESSES]

The sample pictures, small, under 200 names. A run is killed (SIGKILL) after a random time, again and again until it is
done; what it leaves is compared, byte for byte, with an undisturbed run, and no process may be left over.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import cv2
from folder import IDKIT, ROOT, descendants, named
from photographs import say

RESULTS = ("tags.jsonl", "tags.csv", "problems.csv", "pictures.html")
COUNT = 200
PATIENCE = 20  # seconds: a busy machine takes a while to end what it was told to


def drawer(scratch: Path) -> Path:
    """A folder of small photos."""
    small = scratch / "small"
    small.mkdir()
    for path in sorted((ROOT / "sample_images").glob("*.jpg")):
        cv2.imwrite(str(small / path.name), cv2.resize(cv2.imread(str(path)), (240, 180)))
    return named(sorted(small.glob("*.jpg")), COUNT, scratch / "drawer")


def killed(folder: Path, out: Path, processes: int, pause: random.Random) -> tuple[int, int]:
    """How often a run was killed until one was done, and how many of its processes were left over."""
    kills = left = 0
    while True:
        command = [*IDKIT, str(folder), "--out", str(out), "--jobs", str(processes)]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as run:
            try:
                run.wait(timeout=pause.uniform(0.3, 4))
                return kills, left
            except subprocess.TimeoutExpired:
                below = descendants(run.pid)[1:]
                run.kill()
        kills += 1
        left += sum(_outlives(pid) for pid in below)


def _outlives(pid: int) -> bool:
    """Whether a process is still there a while after its parent was killed; it is ended then."""
    end = time.monotonic() + PATIENCE
    while _is_there(pid):
        if time.monotonic() > end:
            os.kill(pid, signal.SIGKILL)
            return True
        time.sleep(0.05)
    return False


def _is_there(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def main() -> int:
    """Print the counts; 0 where every end was the same and nothing was left over, else 1."""
    times, processes = (int(sys.argv[at]) if len(sys.argv) > at else usual for at, usual in ((1, 10), (2, 2)))
    pause, same, kills, left = random.Random(1), 0, 0, 0
    with tempfile.TemporaryDirectory() as place:
        scratch = Path(place)
        folder, whole = drawer(scratch), scratch / "whole"
        subprocess.run([*IDKIT, str(folder), "--out", str(whole)], capture_output=True, check=True)
        for number in range(times):
            out = scratch / f"out {number}"
            more, over = killed(folder, out, processes, pause)
            kills, left = kills + more, left + over
            same += all((out / name).read_bytes() == (whole / name).read_bytes() for name in RESULTS)
    say(f"killed {kills} times in {times} runs of {COUNT} photos: {same} ended the same; {left} processes left over")
    return 0 if same == times and not left else 1


if __name__ == "__main__":
    sys.exit(main())
