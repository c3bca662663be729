"""How often photos of different metals are said to look so, and those of one metal: python tests/bench/photos_apart.py

Every fifth of the real euro coins (open data set kaa/coins-dataset, MIT), all pairs: copper-plated steel and nordic
gold. None of them was used to build the model.
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from itertools import combinations
from pathlib import Path

import numpy as np
from photographs import Row, labelled, say

from idkit import flows
from idkit.decide.classifier import agreement
from idkit.flows.recording import UNLIKE
from idkit.vocabulary import PhotoEvidence

EVERY = 5


def look(row: Row) -> tuple[str, bool, PhotoEvidence | None]:
    """The family of a coin, whether white is in view, and what the photo says."""
    seen = flows.identify([Path(row["folder"]) / row["file"]], {}, every_cue=False).seen[0]
    return row["colour_family"], seen.report.white.kind != "none", seen.evidence


def main() -> int:
    """Print the shares; 0 where at most 1 in 100 pairs of one metal are said to be two, 3 without photographs."""
    rows = labelled("coins")
    if rows is None:
        return 3
    with ProcessPoolExecutor() as pool:
        found = list(pool.map(look, [row for row in rows if row["colour_family"] != "two-tone"][::EVERY]))
    wrong = 0.0
    for name, some in (("white in view in both", [one for one in found if one[1]]), ("any", found)):
        told = [(a[0] == b[0], agreement(a[2], b[2]) < UNLIKE) for a, b in combinations(some, 2) if a[2] and b[2]]
        same, other = ([said for alike, said in told if alike == which] for which in (True, False))
        wrong = max(wrong, float(np.mean(same)))
        shares = f"{100 * np.mean(other):.1f} % of {len(other)} pairs of two metals, {100 * np.mean(same):.2f} %"
        say(f"{name}: said to look different are {shares} of {len(same)} pairs of one")
    return 0 if wrong <= 0.01 else 1


if __name__ == "__main__":
    sys.exit(main())
