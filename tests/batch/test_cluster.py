"""dask.distributed for real: a scheduler and two workers on this machine, one of them killed in the middle."""

from __future__ import annotations

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
PARTS = 150  # three pieces, most of their photos broken: they cost no time
EVERY = 10  # photo is a whole one


@pytest.fixture
def drawer(tmp_path: Path, paint: Callable[[Path, int], Path]) -> Path:
    """Many photos, few of them whole."""
    whole = paint(tmp_path / "whole.jpg", 1).read_bytes()
    folder = tmp_path / "drawer"
    folder.mkdir()
    for number in range(PARTS):
        data = whole if number % EVERY == 0 else whole[:700] + bytes([number])
        (folder / f"hook {number:03}.jpg").write_bytes(data)
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
    run = subprocess.Popen([*command, "--out", str(there), "--cluster", address], stdout=subprocess.DEVNULL)
    with distributed.Client(address, set_as_default=False) as client:
        end = time.monotonic() + 60
        while not all(busy := client.processing().values()) or len(busy) < 2:
            assert run.poll() is None
            assert time.monotonic() < end
            time.sleep(0.01)
    workers[0].kill()  # it has a piece in hand
    assert cli.run(["tag", str(drawer), "--out", str(here), "--jobs", "1"]) == 1
    assert run.wait(timeout=120) == 1
    for name in ("tags.jsonl", "tags.csv", "problems.csv", "pictures.html"):
        assert (there / name).read_bytes() == (here / name).read_bytes()
    assert len((here / "tags.jsonl").read_text("utf-8").splitlines()) == PARTS // EVERY


def test_pieces_hold_at_least_so_many_photos_and_every_job_once() -> None:
    jobs = [Job(str(number), ("a.jpg",) * (1 + number % 3)) for number in range(100)]
    for fewest in (1, 7, 50, 1000):
        cut = pieces(jobs, fewest)
        assert [job for piece in cut for job in piece] == jobs
        assert all(sum(len(job.photos) for job in piece) >= min(fewest, 199) for piece in cut)
    assert pieces([]) == []
