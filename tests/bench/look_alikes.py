"""What idkit makes of household waste, most of it no metal: python tests/bench/look_alikes.py [FOLDER]

The photographs are from the open data set TrashNet (MIT); `by_eye` sorts some metal ones further and is an eye's
judgement. None of them was used to build the model. FOLDER holds labels.csv and the photographs.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from photographs import Row, labelled, say

from idkit import flows

FOLDER = "look-alikes"
COPPERY = ("copper", "yellow-brass", "red-brass", "tin-bronze", "aluminium-bronze")


def look(row: Row) -> tuple[str, str, dict[str, float], float, bool]:
    """Kind, look by eye, families, the largest chance of copper or a brass, and 'unlike anything known'."""
    verdict = flows.identify([Path(row["folder"]) / row["file"]], {}).record
    families = dict(verdict.photos[0].families)
    largest = max(verdict.verdict.chances[name] for name in COPPERY)
    return row["kind"], row["by_eye"], families, largest, verdict.verdict.unlike_known


def main() -> int:
    """Print the tables; 0 always, 3 where the folder is missing."""
    rows = labelled(FOLDER)
    if rows is None:
        return 3
    with ProcessPoolExecutor() as pool:
        found = list(pool.map(look, rows, chunksize=16))
    metal = [1 - families.get("not-metal", 0.5) for kind, _, families, _, _ in found if kind == "metal"]
    other = [1 - families.get("not-metal", 0.5) for kind, _, families, _, _ in found if kind != "metal"]
    counts = f"({len(metal)} and {len(other)} photos)"
    say(f"metal against the rest, area under the ROC curve: {area(metal, other):.3f} {counts}")
    groups: dict[str, list[tuple[str, float, bool]]] = defaultdict(list)
    for kind, by_eye, families, largest, unlike in found:
        best = max(families, key=families.__getitem__) if families else "no part"
        groups[by_eye or kind].append((best, largest, unlike))
    for name, group in sorted(groups.items()):
        seen = ", ".join(f"{best} {count}" for best, count in Counter(best for best, _, _ in group).most_common())
        most = max(largest for _, largest, _ in group)
        unlike = sum(each for *_, each in group)
        say(f"{name:24} {len(group):3}: {seen}; largest chance of copper or a brass {most:.2f}; unlike {unlike}")
    return 0


def area(above: list[float], below: list[float]) -> float:
    """Share of pairs in the right order, ties counting half (Mann and Whitney 1947)."""
    right = sum((a > b) + 0.5 * (a == b) for a in above for b in below)
    return right / (len(above) * len(below))


if __name__ == "__main__":
    sys.exit(main())
