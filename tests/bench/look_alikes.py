"""What idkit makes of household waste, most of it no metal: python tests/bench/look_alikes.py [FOLDER]

The photographs are from the open data set TrashNet (MIT); `by_eye` sorts some metal ones further and is an eye's
judgement. None of them was used to build the model. FOLDER holds labels.csv and the photographs.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from photographs import Row, labelled, say

from idkit import flows, see

FOLDER = "look-alikes"
COPPERY = ("copper", "yellow-brass", "red-brass", "tin-bronze", "aluminium-bronze")
NO_METAL = ("plastic", "rubber", "circuit-board", "insulated-cable", "something-else")


@dataclass(frozen=True)
class Look:
    """Kind and look by eye, families, chance of metal (all materials as common as any other), the largest chance of
    copper or a brass, 'unlike anything known', and the readings of all cues."""

    kind: str
    by_eye: str
    families: dict[str, float]
    metal: float
    coppery: float
    unlike: bool
    cues: tuple[float, ...]


def look(row: Row) -> Look:
    """What idkit makes of one photograph."""
    path = [Path(row["folder"]) / row["file"]]
    record, even = flows.identify(path, {}).record, flows.identify(path, {}, even=True).record
    return Look(
        row["kind"],
        row["by_eye"],
        dict(record.photos[0].families),
        1 - sum(even.verdict.chances[name] for name in NO_METAL),
        max(record.verdict.chances[name] for name in COPPERY),
        record.verdict.unlike_known,
        tuple(reading.value for reading in record.photos[0].readings),
    )


def main() -> int:
    """Print the tables; 0 always, 3 where the folder is missing."""
    rows = labelled(FOLDER)
    if rows is None:
        return 3
    with ProcessPoolExecutor() as pool:
        found = list(pool.map(look, rows, chunksize=16))
    metal, other = ([each for each in found if (each.kind == "metal") == is_so] for is_so in (True, False))
    bare = area([not_coated(each) for each in metal], [not_coated(each) for each in other])
    any_metal = area([each.metal for each in metal], [each.metal for each in other])
    counts = f"({len(metal)} and {len(other)} photos)"
    say(f"metal against the rest, area under the ROC curve: {any_metal:.3f} by the chance of a metal, {counts}")
    say(f"  {bare:.3f} by the chance of bare metal, which printed cans don't show")
    say(f"  {trained_here(found):.3f} by a forest of trees trained on these very photographs, all cues, in five folds")
    for cue, one, two, right in alone(metal, other):
        say(f"  {right:.3f} by {cue} alone, median {one:.2f} of metal and {two:.2f} of the rest")
    groups: dict[str, list[Look]] = defaultdict(list)
    for each in found:
        groups[each.by_eye or each.kind].append(each)
    for name, group in sorted(groups.items()):
        best = Counter(
            max(each.families, key=each.families.__getitem__) if each.families else "no part" for each in group
        )
        seen = ", ".join(f"{family} {count}" for family, count in best.most_common())
        most, unlike = max(each.coppery for each in group), sum(each.unlike for each in group)
        say(f"{name:24} {len(group):3}: {seen}; largest chance of copper or a brass {most:.2f}; unlike {unlike}")
    return 0


def alone(metal: list[Look], other: list[Look]) -> list[tuple[str, float, float, float]]:
    """Each judged cue by itself: its name, the medians of metal and of the rest, and its area."""
    table = []
    for column, cue in enumerate(see.CUES):
        one, two = ([e.cues[column] for e in side if e.cues and np.isfinite(e.cues[column])] for side in (metal, other))
        if cue.judged:
            table.append((cue.name, float(np.median(one)), float(np.median(two)), area(one, two)))
    return table


def trained_here(found: list[Look]) -> float:
    """What the cues could reach at the most: cross-validated on these photographs, for comparison alone."""
    from sklearn.ensemble import RandomForestClassifier
    from sklearn.impute import SimpleImputer
    from sklearn.model_selection import cross_val_predict
    from sklearn.pipeline import make_pipeline

    metal = np.array([each.kind == "metal" for each in found])
    forest = make_pipeline(SimpleImputer(strategy="median"), RandomForestClassifier(300, random_state=1))
    cues = np.array([each.cues for each in found])
    chance = cross_val_predict(forest, cues, metal, cv=5, method="predict_proba")[:, 1]
    return area(chance[metal].tolist(), chance[~metal].tolist())


def not_coated(look: Look) -> float:
    """Chance that bare metal shows."""
    return 1 - look.families.get("not-metal", 0.5)


def area(above: list[float], below: list[float]) -> float:
    """Share of pairs in the right order, ties counting half (Mann and Whitney 1947)."""
    right = sum((a > b) + 0.5 * (a == b) for a in above for b in below)
    return right / (len(above) * len(below))


if __name__ == "__main__":
    sys.exit(main())
