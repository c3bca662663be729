"""How well copper and brass are read through a filed spot: python tests/bench/scratches.py FOLDER [COUNT]

FOLDER keeps the rendered parts (see renders.py), so that a stopped run goes on where it was; COUNT is how many there
should be, 168 unless said: bare copper and yellow brass under tarnish, paint, chrome and nickel, two filed to one not,
under several lights, on paper or on a bench. None of them was used to fit or train anything.
"""

from __future__ import annotations

import sys

import numpy as np
from photographs import say
from renders import Render, rendered, wanted

from idkit import flows, see

FIRST_SEED = 1_000
AIM = 0.6  # chance that copper, or the brasses together, should reach
READ_AS = {"copper": ("copper",), "yellow-brass": ("yellow-brass", "red-brass", "chromed-brass")}
BARE = ("copper", "yellow-brass", "red-brass", "tin-bronze", "aluminium-bronze")  # copper or any brass or bronze
PLATED = ("tinned-copper", "chromed-brass")  # the same under a skin, which the spot doesn't show
FAMILY = {"copper": "copper-red", "yellow-brass": "brass-yellow"}
Row = dict[str, object]


def look(render: Render) -> Row:
    """One picture: chances with the box named and without, and what was found unasked."""
    alone = flows.identify([render.path], {}, every_cue=False)
    named, with_magnet = (
        flows.identify([render.path], answers, scratch=render.box, every_cue=False) if render.box else None
        for answers in ({}, {"magnet": "none"})
    )
    bare = alone.seen[0].bare
    return {
        **render.truth,
        "white": "in view" if render.truth["ground"] == "paper" else "not in view",
        "share": float(render.bare.sum() / max(1, render.part.sum())),
        "apart": apart(render),
        "certainty": bare.certainty if bare else 0.0,
        "agrees": bare is not None and on_bare(bare.mask, render) > 0.6,
        "alone": chance(alone, render),
        "named": chance(named, render) if named else float("nan"),
        "bare": together(named, BARE) if named else float("nan"),
        "either": together(named, BARE + PLATED) if named else float("nan"),
        "magnet": chance(with_magnet, render) if with_magnet else float("nan"),
        "family": named.record.photos[0].families.get(FAMILY[render.truth["material"]], 0.0) if named else float("nan"),
    }


def chance(found: flows.Identified, render: Render) -> float:
    """Chance of copper where it is copper, of any brass where it is brass."""
    return together(found, READ_AS[render.truth["material"]])


def together(found: flows.Identified, names: tuple[str, ...]) -> float:
    """Chance that it is one of these materials."""
    return sum(found.record.verdict.chances[name] for name in names)


def on_bare(mask: np.ndarray, render: Render) -> float:
    """Share of a mask that is bare metal in truth."""
    return float((mask & render.bare).sum() / max(1, mask.sum())) if mask.shape == render.bare.shape else 0.0


def apart(render: Render) -> float:
    """How far filed metal and skin lie apart in the picture, CIELAB units."""
    if not render.bare.any():
        return 0.0
    photo = see.read(render.path)
    lab = see.cielab(photo.linear.astype(float))
    skin = render.part & ~render.bare
    return float(np.linalg.norm(np.median(lab[render.bare], axis=0) - np.median(lab[skin], axis=0)))


def main() -> int:
    """Print the tables; 2 where no folder is named."""
    if (asked := wanted(168)) is None:
        return 2
    folder, count = asked
    rows = [look(rendered(folder, FIRST_SEED, number)) for number in range(count)]
    filed = [row for row in rows if row["filed"] == "True"]
    whole = [row for row in rows if row["filed"] == "False"]
    say(f"{len(filed)} filed and {len(whole)} whole; right: a chance of {AIM:g} or more")
    report("all", filed)
    for name in ("white", "material", "skin", "light"):
        for value in sorted({str(row[name]) for row in filed}):
            report(f"{name} {value}", [row for row in filed if row[name] == value])
    clear = [row for row in filed if number(row, "share") >= 0.01 and number(row, "apart") >= 10]
    report("1 % of it, 10 CIELAB off, or more", clear)
    false = sum(number(row, "certainty") >= 0.5 for row in whole)
    say(
        f"whole parts: bare metal said with 0.5 or more on {false}/{len(whole)}, "
        f"largest {max((number(row, 'certainty') for row in whole), default=0.0):.2f}"
    )
    say(
        f"filed parts: something else taken for bare metal with 0.5 or more on "
        f"{sum(number(row, 'certainty') >= 0.5 and not row['agrees'] for row in filed)}/{len(filed)}"
    )
    return 0


def report(title: str, rows: list[Row]) -> None:
    """One line: right with the box, found without it, right without it."""
    found = sum(number(row, "certainty") >= 0.5 and bool(row["agrees"]) for row in rows)
    right = {
        name: of(sum(number(row, name) >= AIM for row in rows), rows)
        for name in ("named", "bare", "either", "magnet", "family", "alone")
    }
    say(
        f"{title:28} {len(rows):4}: box: copper, brass or bronze {right['bare']}, plated too {right['either']}; "
        f"the very metal {right['named']}, with magnet 'none' {right['magnet']}, colour family {right['family']}; "
        f"unasked: found {of(found, rows)}, metal {right['alone']}"
    )


def number(row: Row, name: str) -> float:
    """A number of a row."""
    return float(str(row[name]))


def of(count: int, rows: list[Row]) -> str:
    """'n/m (p %)'."""
    return f"{count}/{len(rows)} ({100 * count / max(1, len(rows)):.0f} %)"


if __name__ == "__main__":
    sys.exit(main())
