"""What one's own confirmed parts teach, by how many there are: python tests/bench/learning.py

Real euro coins (open data set kaa/coins-dataset, MIT) as a user's own parts of three materials, whole coin sets held
out; and household waste (TrashNet, MIT) as metal or none. Chances are from the photo alone, all materials as common as
any other. None of the photographs was used to build the starter model, and nothing was tuned on them.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from photographs import Row, labelled, say

from idkit import flows
from idkit.decide.adapting import Ground, OwnPart, chances, choose, fit, losses
from idkit.flows import training
from idkit.vocabulary import KeptPhoto, Label, Sample

SIZES = (1, 2, 5, 10, 20)
SEEDS = 8
COINS = {"1c": "copper-clad-steel", "2c": "copper-clad-steel", "5c": "copper-clad-steel"} | dict.fromkeys(
    ("10c", "20c", "50c"), "aluminium-bronze"
)


@dataclass(frozen=True)
class Set:
    """Parts to learn from and be tested on. `apart` is the number of what stays on one side of a split."""

    title: str
    parts: list[OwnPart]
    kinds: list[str]
    apart: list[int]


def main() -> int:
    """Print a table for each set; 3 where the photographs are missing."""
    base = flows.starter()
    ground = training.ground_of(base)
    found = [each for each in (coins(), look_alikes()) if each is not None]
    for each in found:
        report(each, ground, SEEDS)
    return 0 if found else 3


def coins() -> Set | None:
    """Coins of copper-plated steel and of nordic gold."""
    rows = labelled("coins")
    if rows is None:
        return None
    rows = [row for row in rows if row["denomination"] in COINS]
    return _set("euro coins, material", rows, [COINS[row["denomination"]] for row in rows], "coin_set", one_of=_single)


def look_alikes() -> Set | None:
    """Household waste: metal, or glass, paper, cardboard and plastic."""
    rows = labelled("look-alikes")
    if rows is None:
        return None
    kinds = ["metal" if row["kind"] == "metal" else "no metal" for row in rows]
    return _set("household waste, metal or none", rows, kinds, "", one_of=_metal)


def _set(
    title: str, rows: Sequence[Row], kinds: list[str], apart: str, one_of: Callable[[str], tuple[str, ...]]
) -> Set:
    with ProcessPoolExecutor() as pool:
        photos = list(pool.map(_photo, [str(Path(row["folder"]) / row["file"]) for row in rows], chunksize=16))
    groups = sorted({row[apart] for row in rows}) if apart else []
    numbers = [groups.index(row[apart]) if apart else at for at, row in enumerate(rows)]
    samples = [
        _sample(at, group, photo, one_of(kind))
        for at, (group, photo, kind) in enumerate(zip(numbers, photos, kinds, strict=True))
    ]
    parts = [replace(part, prior=0 * part.prior) for part in training.own_parts(samples, flows.starter())]
    return Set(title, parts, kinds, numbers)


def _photo(path: str) -> KeptPhoto:
    found = flows.identify([Path(path)], {}, even=True, every_cue=False)
    report, evidence = found.seen[0].report, found.seen[0].evidence
    white = report.white
    told = {"kind": white.kind, "red_green": white.red_green, "blue_green": white.blue_green}
    return KeptPhoto(
        path,
        report.sha256,
        {each.name: each.value for each in report.readings},
        {**told, "grid": white.grid.tolist()},
        dict(evidence.log_photo) if evidence else {},
        b"",
    )


def _sample(record: int, group: int, photo: KeptPhoto, materials: tuple[str, ...]) -> Sample:
    label = Label(record, "", "yard", "", materials, "")
    return Sample(
        record, group, "", str(record), "as-found", {}, {}, "", False, ("", ""), (photo,), label, (label,), materials,
        0.9, True, False, "",
    )  # fmt: skip


def _single(kind: str) -> tuple[str, ...]:
    return (kind,)


def _metal(kind: str) -> tuple[str, ...]:
    none = ("plastic", "rubber", "circuit-board", "insulated-cable", "something-else")
    every = [row.id for row in flows.known_materials()]
    return tuple(name for name in every if (name in none) == (kind == "no metal"))


def report(each: Set, ground: Ground, seeds: int) -> None:
    """A line a size: log loss before and after on what was held out, over the seeds."""
    kinds = sorted(set(each.kinds))
    say(f"{each.title}: {len(each.parts)} photographs of {', '.join(kinds)}; mean of {seeds} seeds")
    say("| own parts of each | log loss before | after | better in | strength, most often |")
    say("|---|---|---|---|---|")
    for size in SIZES:
        rows = [one for seed in range(seeds) for one in [_once(each, kinds, ground, size, seed)] if one]
        before, after = (float(np.mean([row[at] for row in rows])) for at in (0, 1))
        ahead = sum(row[1] < row[0] for row in rows)
        middle = Counter(row[2] for row in rows).most_common(1)[0][0]
        say(f"| {size} | {before:.3f} | {after:.3f} | {ahead} of {len(rows)} | {middle} |")


def _once(each: Set, kinds: Sequence[str], ground: Ground, size: int, seed: int) -> tuple[float, float, str] | None:
    """Log loss before and after, of what shares nothing with the parts learnt from; kinds weigh alike."""
    random = np.random.default_rng(seed)
    apart = np.array(each.apart)
    names = random.permutation(np.unique(apart))
    taught: list[int] = []
    for kind in kinds:
        mine = [n for name in names[: len(names) // 2] for n in np.flatnonzero(apart == name) if each.kinds[n] == kind]
        taught += [int(n) for n in random.permutation(mine)[:size]]
    tested = [n for n in range(len(apart)) if apart[n] in set(names[len(names) // 2 :].tolist())]
    if not tested or len(taught) < size * len(kinds):
        return None
    teach, test = [each.parts[n] for n in taught], [each.parts[n] for n in tested]
    strength, _ = choose(teach, ground, random)
    worth = np.array([1 / sum(each.kinds[m] == each.kinds[n] for m in tested) for n in tested])
    before, after = (
        float(np.average(losses(chances(test, own, ground), test), weights=worth))
        for own in (None, fit(teach, ground, strength))
    )
    return before, after, f"{strength[0]:g}, {strength[1]:g}"


if __name__ == "__main__":
    sys.exit(main())
