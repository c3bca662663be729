"""dask.distributed for real: a scheduler and two workers on this machine, one of them killed in the middle."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from idkit.batch.cluster import pieces
from idkit.batch.jobs import Job
from idkit.show import cli

distributed = pytest.importorskip("distributed")
ROOT = Path(__file__).resolve().parents[2]
PARTS = 150  # three pieces


@pytest.fixture
def drawer(tmp_path: Path, paint: Callable[[Path, int], Path]) -> Path:
    """Many photos of few kinds: the same bytes again and again cost no time to paint."""
    kinds = [paint(tmp_path / "kinds" / f"{number}.jpg", number).read_bytes() for number in range(4)]
    folder = tmp_path / "drawer"
    folder.mkdir()
    for number in range(PARTS):
        (folder / f"hook {number:03}.jpg").write_bytes(kinds[number % 4])
    return folder


@pytest.fixture
def cluster(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """The scheduler's address and the workers' processes."""
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    where = tmp_path / "scheduler.json"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "cwd": tmp_path}
    begun = [
        subprocess.Popen(
            [sys.executable, "-m", "dask", "scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard"]
            + ["--scheduler-file", str(where)],
            **quiet,  # type: ignore[call-overload]
        )
    ]
    worker = [sys.executable, "-m", "dask", "worker", "--scheduler-file", str(where), "--no-nanny", "--nthreads", "1"]
    begun += [
        subprocess.Popen([*worker, "--no-dashboard", "--host", "127.0.0.1"], **quiet)  # type: ignore[call-overload]
        for _ in range(2)
    ]
    try:
        with distributed.Client(scheduler_file=str(where), timeout=40, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=40)
            address = client.scheduler.address
        yield address, begun[1:]
    finally:
        for process in begun:
            process.kill()
            process.wait()


def test_one_worker_killed_in_the_middle_changes_nothing(
    drawer: Path, cluster: tuple[str, list[subprocess.Popen[bytes]]], tmp_path: Path
) -> None:
    address, workers = cluster
    here, there = tmp_path / "here", tmp_path / "there"
    command = [sys.executable, "-c", "from idkit.show.cli import main; main()", "tag", str(drawer)]
    run = subprocess.Popen([*command, "--out", str(there), "--cluster", address])
    end = time.monotonic() + 60
    while not (there / "journal.txt").exists() and time.monotonic() < end:
        time.sleep(0.01)
    time.sleep(1)  # both are at their first pieces now
    assert run.poll() is None
    workers[0].kill()
    assert cli.run(["tag", str(drawer), "--out", str(here), "--jobs", str(os.cpu_count())]) == 0
    assert run.wait(timeout=120) == 0
    for name in ("tags.jsonl", "tags.csv", "problems.csv", "pictures.html"):
        assert (there / name).read_bytes() == (here / name).read_bytes()


def test_pieces_hold_at_least_so_many_photos_and_every_job_once() -> None:
    jobs = [Job(str(number), ("a.jpg",) * (1 + number % 3)) for number in range(100)]
    for fewest in (1, 7, 50, 1000):
        cut = pieces(jobs, fewest)
        assert [job for piece in cut for job in piece] == jobs
        assert all(sum(len(job.photos) for job in piece) >= min(fewest, 199) for piece in cut)
    assert pieces([]) == []
