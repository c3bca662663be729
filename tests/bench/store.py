"""Whether the store holds: python tests/bench/store.py [TIMES] [RECORDS]

Kills, by signal 9, a process that adds and confirms, another that removes and purges, and another that imports a
package, TIMES times in all at moments drawn at random; after each the store is opened: all that was said to be kept or
confirmed must be there, an import whole or not at all. Then a store of RECORDS records: the medians of confirming one
and of listing pages, in this process, which may take 50 ms, beside a floor timed in the same run: a transaction of one
row in a SQLite file of its own.
"""

from __future__ import annotations

import hashlib
import os
import random
import signal
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from photographs import say

from idkit import keep
from idkit.keep import packages, records, store
from idkit.keep.labels import add_label
from idkit.vocabulary import Entry, KeptPhoto, Label

AIM = 0.050  # seconds
PACKED = 200  # samples of the package that is imported
ENTRY = """
import hashlib, os, sys
from idkit import keep
from idkit.vocabulary import Entry, KeptPhoto, Label
def entry():
    photo = KeptPhoto("", hashlib.sha256(os.urandom(8)).hexdigest(), {}, {}, {}, os.urandom(32), b"small" * 1000)
    return Entry("tap", "identify", "as-found", {}, {"lead": 1.0}, "lead", True, ("", ""), {}, (photo,))
"""
WORKERS = {
    "add and confirm": """
while True:
    number = keep.add(entry()); print("kept", number, flush=True)
    keep.confirm([Label(number, "", "yard", "north", ("lead",), "lead")]); print("confirmed", number, flush=True)
""",
    "add, remove and purge": """
while True:
    number = keep.add(entry(), Label(0, "", "yard", "north", ("lead",), "lead")); print("confirmed", number, flush=True)
    other = keep.add(entry()); keep.remove([other]); keep.purge()
""",
    "import": """
from pathlib import Path
from idkit import flows
print("ready", 0, flush=True)
print("imported", flows.import_samples(Path(sys.argv[1])).new, flush=True)
""",
}


def sample(number: int) -> tuple[Entry, Label]:
    """A made-up confirmed part."""
    drawn = random.Random(number)
    sha256 = hashlib.sha256(b"%d" % number).hexdigest()
    photo = KeptPhoto("", sha256, {"redness": 1.0}, {}, {}, drawn.randbytes(32))
    material = drawn.choice(("lead", "tin", "copper", "zinc-die-cast"))
    entry = Entry(f"part {number}", "identify", "as-found", {}, {material: 0.7, "nickel": 0.3}, "lead", False,
                  ("starter", "abc"), {"reasons": ["x" * 2000]}, (photo,))  # fmt: skip
    return entry, Label(0, store.now(), "yard", "north", ("lead",), "lead")


def kill(name: str, moment: float, arguments: list[str]) -> list[tuple[str, int]]:
    """What a worker had said before it was killed, so long after its first word."""
    command = [sys.executable, "-c", ENTRY + WORKERS[name], *arguments]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as worker:
        assert worker.stdout is not None
        told = [worker.stdout.readline()]
        time.sleep(moment)
        worker.send_signal(signal.SIGKILL)
        told += worker.stdout.readlines()
    return [(line.split()[0], int(line.split()[1])) for line in told if line.endswith("\n") and line.strip()]


def lost(said: set[tuple[str, int]]) -> list[str]:
    """What is missing of that, and what is wrong with the store."""
    with store.reading() as database:
        kept = {row[0] for row in database.execute("SELECT id FROM records WHERE removed = 0")}
        confirmed = {row[0] for row in database.execute("SELECT record FROM labels")}
        sound = database.execute("PRAGMA quick_check").fetchone()[0]
        loose = len(database.execute("PRAGMA foreign_key_check").fetchall())
        imported = database.execute("SELECT count(*) FROM records WHERE package IS NOT NULL").fetchone()[0]
    wrong = [f"{what} {number} is lost" for what, number in said if what == "kept" and number not in kept]
    wrong += [f"{what} {number} is lost" for what, number in said if what == "confirmed" and number not in confirmed]
    wrong += [f"half an import: {imported}"] if imported % PACKED else []
    wrong += ["said to be imported, and is not"] if ("imported", PACKED) in said and imported != PACKED else []
    return wrong + ([f"{sound}, {loose} loose rows"] if sound != "ok" or loose else [])


def kills(times: int, folder: Path) -> int:
    """Kill so often, in turn; how often something was lost."""
    drawn, failed, package = random.Random(1), 0, packed(folder)
    said: dict[str, set[tuple[str, int]]] = {name: set() for name in WORKERS}
    whole = 0
    for turn in range(times):
        name = list(WORKERS)[turn % len(WORKERS)]
        os.environ["IDKIT_HOME"] = str(folder / (f"{name} {turn}" if name == "import" else name))
        told = set(kill(name, drawn.uniform(0, 1.5 if name == "import" else 0.3), [str(package)]))
        said[name] = told if name == "import" else said[name] | told
        wrong = lost(said[name])
        whole += ("imported", PACKED) in told
        failed += bool(wrong)
        for line in wrong[:3]:
            say(f"kill {turn}, {name}: {line}")
    counts = ", ".join(f"{sum(what == 'confirmed' for what, _ in said[name])} confirmed" for name in list(WORKERS)[:2])
    say(
        f"{times} kills: {failed} lost something or left the store unsound; {counts}; {whole} imports came to their end"
    )
    return failed


def packed(folder: Path) -> Path:
    """A package of samples to import, with real small pictures."""
    import cv2
    import numpy as np

    os.environ["IDKIT_HOME"] = str(folder / "packed")
    with store.writing() as database:
        for number in range(PACKED):
            entry, label = sample(number)
            drawn = np.random.default_rng(number).integers(0, 255, (8, 8, 3)).astype(np.uint8)
            jpeg = cv2.imencode(".jpg", cv2.resize(drawn, (128, 128)))[1].tobytes()
            white = {"kind": "paper", "red_green": 0, "blue_green": 0, "uncertainty": 0.1, "grid": [[0, 0, 1]]}
            (photo,) = entry.photos
            fields = {**vars(entry), "photos": (KeptPhoto(**{**vars(photo), "thumbnail": jpeg, "white": white}),)}
            record = records.insert(database, Entry(**fields))
            add_label(database, Label(**{**vars(label), "record": record}))
    path = folder / "packed.zip"
    packages.write_package(path, keep.samples())
    return path


def fill(count: int) -> None:
    """Records with labels for one in ten, written without looking for photos alike: that is timed elsewhere."""
    with store.writing() as database:
        for number in range(count):
            entry, label = sample(number)
            (photo,) = entry.photos
            record = records.insert(database, Entry(**{**vars(entry), "photos": ()}))
            database.execute("INSERT INTO pictures (sha256, likeness) VALUES (?, ?)", (photo.sha256, photo.likeness))
            values = (record, photo.sha256, "", "{}", "{}", "{}")
            database.execute(
                "INSERT INTO photos (record, sha256, file, cues, white, log_photo) VALUES (?, ?, ?, ?, ?, ?)", values
            )
            if number % 10 == 0:
                add_label(database, Label(**{**vars(label), "record": record}))


def timed(work: Callable[[int], object], times: int = 25) -> float:
    """Median seconds; the first time warms up."""
    taken = []
    for turn in range(times + 1):
        start = time.perf_counter()
        work(turn)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken[1:])


def speeds(count: int, folder: Path) -> bool:
    """Print how long one confirmation and one page take; whether all are within the aim."""
    os.environ["IDKIT_HOME"] = str(folder / "large")
    fill(count)
    floor = sqlite3.connect(folder / "floor.sqlite", isolation_level=None)
    floor.execute("PRAGMA journal_mode = WAL")
    floor.execute("PRAGMA synchronous = FULL")
    floor.execute("CREATE TABLE plain (number INTEGER)")
    least = timed(lambda turn: floor.execute("INSERT INTO plain VALUES (?)", (turn,)))
    lists = {
        "the newest": keep.Filter(),
        "a page in the middle": keep.Filter(before=count // 2),
        "confirmed": keep.Filter(confirmed=True),
        "unconfirmed": keep.Filter(confirmed=False),
        "confirmed lead of yard north": keep.Filter(material="lead", yard="north", confirmed=True),
        "said to be copper": keep.Filter(material="copper"),
        "mistakes": keep.Filter(wrong=True),
        "removed (none)": keep.Filter(removed=True),
        "said by an analyser (none)": keep.Filter(by="analyser", confirmed=True),
        "a material that is never said": keep.Filter(material="titanium"),
    }
    met = True
    label = Label(0, "", "yard", "south", ("tin",), "tin")
    work: dict[str, Callable[[int], object]] = {
        "confirm one": lambda turn: keep.confirm([Label(**{**vars(label), "record": count // 2 + turn})])
    }
    work |= {f"list, {name}": lambda turn, wanted=wanted: keep.page(wanted) for name, wanted in lists.items()}  # type: ignore[misc]
    for name, one in work.items():
        took = timed(one)
        met &= took <= AIM
        say(f"{count} records, {name}: {1000 * took:.1f} ms, {took / least:.1f} times the commit of one row")
    return met


def main() -> int:
    """Both; 1 where something was lost or took too long."""
    times, count = (
        int(sys.argv[place]) if len(sys.argv) > place else default for place, default in ((1, 200), (2, 100_000))
    )
    with tempfile.TemporaryDirectory() as folder:
        failed = kills(times, Path(folder))
        met = speeds(count, Path(folder)) if count else True
    return 0 if met and not failed else 1


if __name__ == "__main__":
    sys.exit(main())
