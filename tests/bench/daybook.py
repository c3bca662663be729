"""Whether the daybook of piles holds: python tests/bench/daybook.py [KILLS]

Kills, by signal 9 and at moments drawn at random, two processes at once that work on the same piles: one puts parts on
and moves them, the other takes things apart onto piles and takes piles onto loads and back. After each, what was said
to be done must be there, every split with all its parts or not at all, and the piles and loads together must hold every
gram that came. Then two processes race for the whole of a pile: one of them gets it.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from decimal import Decimal
from pathlib import Path

from photographs import say

from idkit import flows, keep, yard
from idkit.errors import CallError
from idkit.vocabulary import Written

RACES = 20
WORKERS = {
    "fill": """
import itertools
from idkit import flows
from idkit.errors import CallError
for number in itertools.count():
    flows.add_to_pile("brass", "", f"tap {number}", 1, "125 g"); print("added", number, flush=True)
    lot = flows.list_piles("brass")[0].heap.held.lots
    try: flows.move_pile("brass", str(lot[-1].number), to="odd")
    except (CallError, IndexError): pass  # the other was quicker
""",
    "strip": """
import itertools, os
from idkit import flows, keep, yard
from idkit.errors import CallError
for number in itertools.count():
    name = f"lamp {os.getpid()} {number}"
    flows.new_find(name, "500 g", "light iron")
    parts = ["foot=zinc=300 g", "stem=yellow brass=200 g"]
    flows.split_find(name, flows.Strip("full", parts, "", "3", False, True)); print("split", name, flush=True)
    def take(lines): return [yard.take(lines, "brass", name, "1")[1]]
    def back(lines): return list(yard.put_back(lines, name, "1"))
    try: keep.write_acts(take)
    except CallError: continue
    if number % 3: keep.write_acts(back)
""",
}
RACER = """
import sys
from idkit import keep, yard
sys.stdin.readline()
try: keep.write_acts(lambda lines: [yard.take(lines, "last", sys.argv[1], "1")[1]]); print("got it", flush=True)
except Exception as error: print(type(error).__name__, flush=True)
"""


def killed(moment: float) -> list[tuple[str, str]]:
    """What both workers had said before they were killed, so long after both had begun."""
    calls = [[sys.executable, "-c", code] for code in WORKERS.values()]
    workers = [subprocess.Popen(call, stdout=subprocess.PIPE, text=True) for call in calls]
    told = [worker.stdout.readline() for worker in workers if worker.stdout]
    time.sleep(moment)
    for worker in workers:
        worker.send_signal(signal.SIGKILL)
    told += [line for worker in workers if worker.stdout for line in worker.stdout.readlines()]
    for worker in workers:
        worker.wait()
    return [tuple(line.rstrip().split(" ", 1)) for line in told if line.endswith("\n") and line.strip()]  # type: ignore[misc]


def wrong(added: int, split: set[str]) -> list[str]:
    """What is missing of what was said, and where mass is."""
    lines = keep.acts()
    lots = [lot for line in lines if line.kind == "pile" and line.act == "add" for lot in line.body["lots"]]
    came = sum((Decimal(lot["weight"]["kg"]) for lot in lots), Decimal(0))
    put = [line.name for line in lines if line.kind == "find" and line.act == "split"]
    from_finds = [lot for lot in lots if " of lamp " in lot["what"]]
    there = sum((yard.mass(heap.held).kg or 0 for heap in yard.piles_in(lines).values()), Decimal(0))
    taken = {(line.body["load"], line.body["line"]) for line in lines if line.act == "take"}
    out = [load for load in taken if yard.put_back(lines, *load)]
    loaded = sum((weight_on(lines, *load) for load in out), Decimal(0))
    found = [f"{name} is lost" for name in split - set(put)]
    found += [f"{len(lots) - len(from_finds)} added, {added} said"] if len(lots) - len(from_finds) < added else []
    found += [f"{len(put)} splits put {len(from_finds)} parts"] if len(from_finds) != 2 * len(put) else []
    return found + ([f"{came} kg came, {there} are on piles and {loaded} on loads"] if came != there + loaded else [])


def weight_on(lines: tuple[Written, ...], load: str, line: str) -> Decimal:
    """What a line of a load holds, in kg, by taking it up to that act anew."""
    for place, each in enumerate(lines):
        if each.act == "take" and (each.body["load"], each.body["line"]) == (load, line):
            return yard.take(lines[:place], each.name, load, line)[0].kg or Decimal(0)
    return Decimal(0)


def races() -> int:
    """How often not exactly one of two got the whole of a pile."""
    failed = 0
    for turn in range(RACES):
        flows.add_to_pile("last", "", "tap", 1, "1 kg")
        call = [sys.executable, "-c", RACER]
        pair = [
            subprocess.Popen([*call, f"{turn} {side}"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
            for side in "ab"
        ]
        time.sleep(0.5)  # both have started, and wait
        for one in pair:
            assert one.stdin is not None
            one.stdin.write("go\n")
            one.stdin.flush()
        told = sorted(one.communicate()[0].strip() for one in pair)
        failed += told != sorted([CallError.__name__, "got it"])
    return failed


def main() -> int:
    """Both; 1 where something was lost."""
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    drawn, failed, added, split = random.Random(1), 0, 0, set[str]()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["IDKIT_HOME"] = str(Path(folder) / "home")
        for name, category in (("brass", "yellow brass"), ("odd", "tin"), ("zinc", "zinc"), ("last", "tin")):
            flows.new_pile(name, category)
        for turn in range(kills):
            told = killed(drawn.uniform(0, 0.5))
            added += sum(what == "added" for what, _ in told)
            split |= {name for what, name in told if what == "split"}
            lost = wrong(added, split)
            failed += bool(lost)
            for line in lost:
                say(f"kill {turn}: {line}")
        counts = f"{added} parts added, {len(split)} things taken apart"
        say(f"{kills} kills of two at once: {failed} lost something; {counts}")
        unfair = races()
        say(f"{RACES} races for the last of a pile: {unfair} without exactly one winner")
    return 1 if failed or unfair else 0


if __name__ == "__main__":
    sys.exit(main())
