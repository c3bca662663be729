"""One least chance for all materials, or one each? python tests/bench/sets_by_material.py [PARTS]

Simulated parts (4000 unless said, half to calibrate and half to look) in each pattern of evidence: how large likely
sets are, how often they hold the truth, and how often for the material that they fail most, with one least chance for
all and with one for each material that has 50 calibration parts.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import numpy as np

from idkit import ask, facts, flows
from idkit.decide import bench
from idkit.decide.evidence import PATTERNS, pattern
from idkit.decide.fuse import chances
from idkit.decide.known import likely_set
from idkit.decide.learn import least_chance
from idkit.flows.shipped import held_out_photos
from idkit.vocabulary import Floats

ROWS = Path(__file__).resolve().parents[2] / "models" / "starter-rows.npz"
ENOUGH = 50  # calibration parts of a material for a least chance of its own


def drawn(name: str, count: int, seed: int) -> tuple[Floats, np.ndarray]:
    """Chances, parts x materials, and the number of the material that each truly is."""
    materials, checks = flows.known_materials(), ask.checks()
    random = np.random.default_rng(seed)
    photo_of = held_out_photos(flows.starter(), ROWS)
    parts = bench.draw(name, materials, facts.forms(), checks, photo_of, count, random)
    mine = [part for part in parts if pattern(part.evidence) == name]
    found = [chances(materials, part.evidence, part.form, checks) for part in mine]
    return np.array(found), np.array([part.material for part in mine])


def least(found: Floats, truth: np.ndarray) -> tuple[float, Floats]:
    """One least chance for all; one each, that for all where a material has too few parts."""
    picked = found[np.arange(len(truth)), truth]
    together = least_chance(picked)
    counts = Counter(truth.tolist())
    each = [least_chance(picked[truth == m]) if counts[m] >= ENOUGH else together for m in range(found.shape[1])]
    return together, np.array(each)


def line(label: str, sets: list[set[int]], truth: np.ndarray) -> str:
    """Size and cover of the sets, and the least cover of a material that is met often enough."""
    held = np.array([t in likely for t, likely in zip(truth.tolist(), sets, strict=True)])
    often = [m for m, count in Counter(truth.tolist()).items() if count >= ENOUGH]
    worst = min(often, key=lambda m: held[truth == m].mean())
    name = flows.known_materials()[worst].id
    return (
        f"  {label:24} {np.mean([len(likely) for likely in sets]):5.1f} materials, "
        f"hold the truth {100 * held.mean():5.1f} in 100, worst {100 * held[truth == worst].mean():5.1f} ({name})"
    )


def main(count: int) -> None:
    """Print the table."""
    for name in PATTERNS:
        found, truth = drawn(name, count, seed=21)
        half = len(truth) // 2
        together, each = least(found[:half], truth[:half])
        later = truth[half:]
        one = [likely_set(row, together) for row in found[half:]]
        own = [{int(np.argmax(row)), *np.flatnonzero(row >= each).tolist()} for row in found[half:]]
        sys.stdout.write(f"{name}, {half} parts to calibrate, {len(later)} to look\n")
        sys.stdout.write(line("one for all", one, later) + "\n" + line("one each", own, later) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4000)
