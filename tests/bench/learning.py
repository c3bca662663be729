"""What one's own confirmed parts teach, by how many there are: python tests/bench/learning.py

Real euro coins (open data set kaa/coins-dataset, MIT) as a user's own parts of two materials, whole coin sets held
out; household waste (TrashNet, MIT) as metal or none; and a simulated user with eight materials, whose surfaces and
phone are not those of the starter's rows: parts traced with Mitsuba (build/traced, made by python -m idkit.swatches
trace; left out where that is missing), their cues moved as one phone would move them. Chances are from the photo alone,
all materials as common as any other. None of the photographs was used to build the starter model.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from photographs import Row, labelled, say

from idkit import facts, flows, see
from idkit.decide.adapting import fit
from idkit.decide.cross_validation import choose, losses, probably_better
from idkit.decide.own_part import Ground, OwnPart, chances
from idkit.flows import own_parts
from idkit.swatches import illuminants, pieces, rows
from idkit.vocabulary import Answer, Floats, KeptPhoto, Label, Sample

TRACED = Path(__file__).resolve().parents[2] / "build" / "traced"
EIGHT = (
    *("copper", "yellow-brass", "aluminium-cast", "zinc-die-cast"),
    *("galvanised-steel", "cast-iron", "lead", "plastic"),
)
EACH, SEED = 60, 5
SURE = 0.95
PHONE = {"redness": 2.0, "yellowness": 5.0, "light_edges": 0.1, "edges_together": 0.15}  # what that phone adds
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
    ground = own_parts.ground_of(base)
    found = [each for each in (coins(), look_alikes(), *simulated()) if each is not None]
    for each in found:
        report(each, ground, SEEDS)
    return 0 if found else 3


def coins() -> Set | None:
    """Coins of copper-plated steel and of nordic gold."""
    known = labelled("coins")
    if known is None:
        return None
    some = [row for row in known if row["denomination"] in COINS]
    return _set("euro coins, material", some, [COINS[row["denomination"]] for row in some], "coin_set", one_of=_single)


def look_alikes() -> Set | None:
    """Household waste: metal, or glass, paper, cardboard and plastic."""
    known = labelled("look-alikes")
    if known is None:
        return None
    kinds = ["metal" if row["kind"] == "metal" else "no metal" for row in known]
    return _set("household waste, metal or none", known, kinds, "", one_of=_metal)


def simulated() -> tuple[Set, ...]:
    """Eight materials as found, traced and painted by looks.csv, under a phone of its own: seen alone, and answered."""
    paths = pieces.in_folder(TRACED) if TRACED.is_dir() else []
    if not paths:
        say(f"{TRACED}: no parts, so no simulated user; python -m idkit.swatches trace makes them")
        return ()
    optics = facts.optics()
    observed = illuminants.observed(next(iter(optics.values())).wavelength)
    looks = [look for look in rows.looks() if look.material in EIGHT and look.surface == "as-found"]
    made = rows.simulate(looks, paths, optics, observed, see.CUES, SEED)
    random = np.random.default_rng(SEED)
    kept = [int(n) for kind in EIGHT for n in random.choice(_of(made, kind), EACH, replace=False, p=_met(made, kind))]
    cues = made.values[kept] + np.array([PHONE.get(name, 0.0) for name in made.cues])
    photos = [_shown(dict(zip(made.cues, row, strict=True)), n) for n, row in enumerate(cues.tolist())]
    kinds = [made.material[n] for n in kept]
    scenes = sorted({made.scene[n] for n in kept})
    numbers = [scenes.index(made.scene[n]) for n in kept]
    alone = _parts("a simulated user, material, from the photo alone", photos, kinds, numbers, _single)
    answers = [_answers(kind, random) for kind in kinds]
    title = "the same, with magnet and form, parts picked at random, materials as common as by form"
    return alone, _parts(title, photos, kinds, numbers, _single, answers)


def _answers(kind: str, random: np.random.Generator) -> dict[str, Answer]:
    """What the magnet did and which form it is, drawn from the tables of materials and forms."""
    pulls, forms = facts.material(kind).magnet, [row for row in facts.forms().values() if row.id != "unknown"]
    common = np.array([row.likely.get(kind, 1.0) / sum(row.likely.values()) for row in forms])
    pull = str(random.choice(list(pulls), p=list(pulls.values())))
    form = forms[int(random.choice(len(forms), p=common / common.sum()))].id
    return {"magnet": Answer("magnet", pull, typed=pull), "form": Answer("form", form, typed=form)}


def _of(made: rows.Rows, kind: str) -> list[int]:
    return [n for n, name in enumerate(made.material) if name == kind]


def _met(made: rows.Rows, kind: str) -> Floats:
    weight = made.weight[_of(made, kind)]
    return np.asarray(weight / weight.sum())


def _shown(cues: Mapping[str, float], number: int) -> KeptPhoto:
    white = {"kind": "paper", "red_green": 0.0, "blue_green": 0.0, "grid": [[0.0, 0.0, 1.0]]}
    return KeptPhoto(str(number), str(number), cues, white, {"copper": 0.1}, b"")


def _set(
    title: str, some: Sequence[Row], kinds: list[str], apart: str, one_of: Callable[[str], tuple[str, ...]]
) -> Set:
    with ProcessPoolExecutor() as pool:
        photos = list(pool.map(_photo, [str(Path(row["folder"]) / row["file"]) for row in some], chunksize=16))
    groups = sorted({row[apart] for row in some}) if apart else []
    numbers = [groups.index(row[apart]) if apart else at for at, row in enumerate(some)]
    return _parts(title, photos, kinds, numbers, one_of)


def _parts(
    title: str,
    photos: list[KeptPhoto],
    kinds: list[str],
    numbers: list[int],
    one_of: Callable[[str], tuple[str, ...]],
    answers: Sequence[Mapping[str, Answer]] = (),
) -> Set:
    samples = [
        _sample(at, group, photo, one_of(kind), answers[at] if answers else {})
        for at, (group, photo, kind) in enumerate(zip(numbers, photos, kinds, strict=True))
    ]
    parts = own_parts.own_parts(samples, flows.starter())
    return Set(title, parts if answers else [replace(part, prior=0 * part.prior) for part in parts], kinds, numbers)


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


def _sample(
    record: int, group: int, photo: KeptPhoto, materials: tuple[str, ...], answers: Mapping[str, Answer]
) -> Sample:
    """A part that a yard named; with answers it was picked at random."""
    label = Label(record, "", "yard", "", materials, "")
    return Sample(
        record, group, "", str(record), "as-found", answers, {}, "", False, ("", ""), (photo,), label, (label,),
        materials, 0.9, True, bool(answers), "",
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
    say(
        "| own parts of each | log loss before | after | wrong before | after | better in | worse by flips | strength |"
    )
    say("|---|---|---|---|---|---|---|---|")
    sure: list[str] = []
    for size in SIZES:
        tries = [one for seed in range(seeds) for one in [_once(each, kinds, ground, size, seed)] if one]
        middle = Counter(one.strength for one in tries).most_common(1)[0][0]
        mean = [float(np.mean([getattr(one, name) for one in tries])) for name in MEASURES]
        ahead = sum(one.after < one.before for one in tries)
        worse = probably_better(np.array([one.after - one.before for one in tries]), range(len(tries)), RANDOM(1))
        told = f"{mean[0]:.3f} | {mean[1]:.3f} | {100 * mean[2]:.0f} % | {100 * mean[3]:.0f} %"
        say(f"| {size} | {told} | {ahead} of {len(tries)} | {worse:.2f} | {middle} |")
        sure.append(f"{size}: {sum(one.sure for one in tries)}, {sum(one.sure_and_wrong for one in tries)} wrong")
    say(f"answers of {SURE} and more after learning, of {sum(one.tested for one in tries)}: {'; '.join(sure)}")


@dataclass(frozen=True)
class Once:
    """One deal of parts: log loss and share wrong before and after, and the strength that was chosen."""

    before: float
    after: float
    wrong_before: float
    wrong_after: float
    strength: str
    tested: int
    sure: int
    sure_and_wrong: int


MEASURES = ("before", "after", "wrong_before", "wrong_after")
RANDOM = np.random.default_rng


def _once(each: Set, kinds: Sequence[str], ground: Ground, size: int, seed: int) -> Once | None:
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
    tables = [chances(test, own, ground) for own in (None, fit(teach, ground, strength))]
    loss = [float(np.average(losses(table, test), weights=worth)) for table in tables]
    wrong = [float(np.average(~_right(table, test), weights=worth)) for table in tables]
    firm = _kinds(tables[1], test).max(axis=1) >= SURE
    sure = len(test), int(firm.sum()), int((firm & ~_right(tables[1], test)).sum())
    return Once(*loss, *wrong, f"{strength[0]:g}, {strength[1]:g}", *sure)


def _kinds(table: Floats, test: Sequence[OwnPart]) -> Floats:
    """Chances of what is asked of each part, n x k: of every material, or of its own kind and all others."""
    if all(part.is_one_of.sum() == 1 for part in test):
        return table
    own = np.array([float(table[n] @ part.is_one_of) for n, part in enumerate(test)])
    return np.stack([own, 1 - own], axis=1)


def _right(table: Floats, test: Sequence[OwnPart]) -> Floats:
    """Whether the kind with the largest chance is the true one; all materials stand against each other."""
    if all(part.is_one_of.sum() == 1 for part in test):
        first = table.argmax(axis=1)
        return np.array([part.is_one_of[at] == 1 for part, at in zip(test, first.tolist(), strict=True)])
    found = np.array([float(table[n] @ part.is_one_of) for n, part in enumerate(test)])
    return np.asarray(found > 0.5)


if __name__ == "__main__":
    sys.exit(main())
