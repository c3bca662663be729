"""How right idkit is on real photographs of euro coins: python tests/bench/coins.py [FOLDER]

The photographs are the open data set kaa/coins-dataset (MIT); alloys and magnet are those of the European Commission's
coin specifications. None of them was used to build the model. FOLDER holds labels.csv and the photographs.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
from photographs import Row, labelled, say

from idkit import flows

FOLDER = "coins"
COPPER_ALLOYS = {
    "copper",
    "yellow-brass",
    "red-brass",
    "tin-bronze",
    "aluminium-bronze",
    "nickel-silver",
    "cupronickel",
}


def look(row: Row) -> dict[str, object]:
    """One coin: what the photo alone says, and what photo and magnet say."""
    path = Path(row["folder"]) / row["file"]
    alone = flows.identify([path], {}).record
    scratched = row["colour_family"] == "brass-yellow"
    surface = "scratched" if scratched else "as-found"
    with_magnet = flows.identify([path], {"magnet": row["magnet"]}, surface=surface).record
    assert abs(sum(alone.verdict.chances.values()) - 1) < 1e-9
    families = alone.photos[0].families
    best = max(families, key=families.__getitem__) if families else "none"
    return {
        **row,
        "seen": best,
        "chance": families.get(best, 0.0),
        "said_no_white": alone.photos[0].white.kind == "none",
        "unlike": alone.verdict.unlike_known,
        "first": next(iter(with_magnet.verdict.chances)),
        "likely": with_magnet.verdict.likely,
        "sure": with_magnet.verdict.sure,
    }


def main() -> int:
    """Print the tables; 0 always, 3 where the folder is missing."""
    rows = labelled(FOLDER)
    if rows is None:
        return 3
    rows = [row for row in rows if row["colour_family"] != "two-tone"]
    with ProcessPoolExecutor() as pool:
        found = list(pool.map(look, rows, chunksize=16))
    for white in ("yes", "no"):
        report(f"white in view: {white}", [row for row in found if row["white_in_view"] == white])
    by_source(found)
    magnet(found)
    return 0


def report(title: str, rows: list[dict[str, object]]) -> None:
    """How often the family is right, and how often of those answered with 0.9 or more."""
    sure = [row for row in rows if float(str(row["chance"])) >= 0.9]
    say(f"{title}: {len(rows)} coins, family right {right(rows)}, {interval(rows, right_share)}")
    of_all = f"{share_of(sure, rows)}, {interval(rows, answered)}"
    say(f"  at 0.9 or more {len(sure)} answered ({of_all}), right {right(sure)}")
    no_white, unlike = share(rows, "said_no_white"), share(rows, "unlike")
    say(f"  said 'no white in view' on {no_white}, 'unlike anything known' on {unlike}")


def by_source(rows: list[dict[str, object]]) -> None:
    """The source photographs with ten coins or more, the worst first."""
    groups: dict[tuple[str, str], list[dict[str, object]]] = defaultdict(list)
    for row in rows:
        groups[str(row["source_photo"]), str(row["white_in_view"])].append(row)
    large = {key: group for key, group in groups.items() if len(group) >= 10}
    say("source photographs without white, and the worst with it:")
    order = sorted(large.items(), key=lambda item: (item[0][1], right_share(item[1])))
    for (source, white), group in order[: 8 + sum(white == "no" for _, white in large)]:
        sure = [row for row in group if float(str(row["chance"])) >= 0.9]
        at = f"at 0.9 or more {len(sure)}, right {right(sure)}"
        say(f"  {source:10} white {white:3} {len(group):3} coins, family right {right(group)}; {at}")


def magnet(rows: list[dict[str, object]]) -> None:
    """With the published magnet answer: copper colour and a strong pull, brass colour scratched and no pull."""
    for family, wanted, named in (
        ("copper-red", {"copper-clad-steel"}, "copper over steel"),
        ("brass-yellow", COPPER_ALLOYS, "a copper alloy"),
    ):
        for white in ("yes", "no"):
            some = [row for row in rows if row["colour_family"] == family and row["white_in_view"] == white]
            good = sum(row["first"] in wanted for row in some)
            truth = {"copper-clad-steel"} if family == "copper-red" else {"aluminium-bronze"}
            covered = sum(bool(truth & set(row["likely"])) for row in some)  # type: ignore[call-overload]
            size = sum(len(row["likely"]) for row in some) / len(some)  # type: ignore[arg-type,misc]
            wrong = sum(bool(row["sure"]) and row["first"] not in wanted for row in some)
            say(
                f"{family}, white {white}, with magnet: {good}/{len(some)} come out as {named}; "
                f"truth in likely set {covered}/{len(some)}, {size:.1f} materials in it; sure and wrong {wrong}"
            )


def right(rows: list[dict[str, object]]) -> str:
    """'n/m (p %)'."""
    good = sum(row["seen"] == row["colour_family"] for row in rows)
    return f"{good}/{len(rows)} ({100 * good / max(1, len(rows)):.1f} %)"


def interval(rows: list[dict[str, object]], measure: Callable[[list[dict[str, object]]], float]) -> str:
    """Nine in ten of 2000 bootstraps by set of coins: which sets were photographed is the chance, not which coins."""
    sets: dict[str, list[dict[str, object]]] = defaultdict(list)
    for row in rows:
        sets[str(row["coin_set"])].append(row)
    random, names = np.random.default_rng(1), sorted(sets)
    drawn = [[row for name in random.choice(names, len(names)) for row in sets[name]] for _ in range(2000)]
    low, high = np.quantile([measure(some) for some in drawn], (0.05, 0.95))
    return f"{100 * low:.1f} to {100 * high:.1f} % over {len(names)} sets"


def answered(rows: list[dict[str, object]]) -> float:
    """Share of the rows answered with a chance of 0.9 or more."""
    return sum(float(str(row["chance"])) >= 0.9 for row in rows) / len(rows)


def share_of(some: list[dict[str, object]], rows: list[dict[str, object]]) -> str:
    """'p %'."""
    return f"{100 * len(some) / max(1, len(rows)):.1f} %"


def right_share(rows: list[dict[str, object]]) -> float:
    """Share of the rows whose family is right."""
    return sum(row["seen"] == row["colour_family"] for row in rows) / len(rows)


def share(rows: list[dict[str, object]], name: str) -> str:
    """'n/m' of the rows where that holds."""
    return f"{sum(bool(row[name]) for row in rows)}/{len(rows)}"


if __name__ == "__main__":
    sys.exit(main())
