"""Stopped, killed, crowded: what was done counts, nothing is done twice, and the end is the same."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from idkit.batch import Job, Manner, on_this_machine
from idkit.show import cli

ROOT = Path(__file__).resolve().parents[2]
IDKIT = [sys.executable, "-c", "from idkit.show.cli import main; main()", "tag"]
RESULTS = ("tags.jsonl", "tags.csv", "problems.csv", "pictures.html")
posix = pytest.mark.skipif(os.name != "posix", reason="needs signals")


@pytest.fixture(autouse=True)
def _own_bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))


def started(folder: Path, out: Path, jobs: int) -> subprocess.Popen[str]:
    command = [*IDKIT, str(folder), "--out", str(out), "--jobs", str(jobs)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def lines(out: Path) -> int:
    journal = out / "journal.txt"
    return journal.read_bytes().count(b"\n") if journal.exists() else 0


def until(out: Path, count: int, process: subprocess.Popen[str]) -> None:
    """Wait until so many parts are written down."""
    end = time.monotonic() + 60
    while lines(out) < count and process.poll() is None and time.monotonic() < end:
        time.sleep(0.002)


def results(out: Path) -> dict[str, bytes]:
    return {name: (out / name).read_bytes() for name in RESULTS}


@posix
def test_killed_again_and_again_it_ends_as_if_undisturbed(tagged: Path, bench: Path, tmp_path: Path) -> None:
    whole, out = tagged / "idkit-tags", tmp_path / "out"
    for count, jobs in ((1, 1), (4, 2)):
        process = started(bench, out, jobs)
        until(out, count, process)
        process.kill()
        process.communicate()
        assert count <= lines(out) < 8
    with (out / "journal.txt").open("ab") as file:
        file.write(b"0badc0de {torn")  # as where the kill comes in the middle of a line
    assert cli.run(["tag", str(bench), "--out", str(out), "--jobs", "1"]) == 1
    assert results(out) == results(whole)
    assert lines(out) == 8  # each part once: what was done is not done again


@posix
def test_ctrl_c_finishes_what_was_begun_and_goes_on_later(bench: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    process = started(bench, out, 1)
    until(out, 2, process)
    process.send_signal(signal.SIGINT)
    said, errors = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "stopping" in errors
    assert "Traceback" not in errors
    assert "pictures.html" in said
    done = lines(out)
    assert 2 <= done < 8
    assert "Stopped early" in (out / "pictures.html").read_text("utf-8")
    assert cli.run(["tag", str(bench), "--out", str(out), "--jobs", "1"]) == 1
    assert lines(out) == 8
    assert "Stopped early" not in (out / "pictures.html").read_text("utf-8")


@posix
def test_ctrl_c_while_processes_start_is_one_line(bench: Path, tmp_path: Path) -> None:
    """As a terminal sends it: to every process of the group, at any moment of the first seconds."""
    for pause in (0.0, 0.1, 0.3, 0.6):
        out = tmp_path / f"out {pause}"
        command = [*IDKIT, str(bench), "--out", str(out), "--jobs", "2"]
        process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
        )
        while not (out / "journal.txt").exists() and process.poll() is None:
            time.sleep(0.002)
        time.sleep(pause)
        os.killpg(process.pid, signal.SIGINT)
        said, errors = process.communicate(timeout=60)
        assert process.returncode == 130
        assert "Traceback" not in errors
        assert "same command goes on" in " ".join(said.split())


def test_two_runs_do_not_share_a_folder(bench: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    process = started(bench, out, 1)
    until(out, 1, process)
    assert cli.run(["tag", str(bench), "--out", str(out), "--jobs", "1"]) == 3
    assert "another run is at work" in capsys.readouterr().err
    process.kill()
    process.communicate()


def nothing(_: object) -> dict[str, object]:
    return {}


def deadly(seen: object) -> str:
    """Ends the process that reads one photo, as the system does where memory runs out."""
    if "elbow" in seen.photo.file:  # type: ignore[attr-defined]
        os.kill(os.getpid(), signal.SIGKILL)
    return ""


@posix
def test_a_photo_that_ends_its_process_costs_no_other(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(Path(__file__).parent))
    import test_stopped as here  # by a name that other processes find

    names = ("bolt", "elbow", "foot")
    jobs = [Job(name, (f"{name}.jpg",)) for name in names]
    manner = Manner(str(bench), "any", here.nothing, here.deadly)
    found = {outcome.part: outcome for outcome in on_this_machine(jobs, manner, 2, threading.Event())}
    assert set(found) == set(names)
    assert [name for name in names if not found[name].kept] == ["elbow"]
    assert "ended the process" in found["elbow"].problems[0].line
    assert all(found[name].tags == ({},) for name in names if name != "elbow")
