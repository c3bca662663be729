"""Learning from one's own confirmed parts: what they teach, whether it helps, and a model that knows it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import isinf
from pathlib import Path
from typing import Any

import numpy as np

from idkit import facts, keep
from idkit.decide.adapting import FEWEST, NOTHING, Strength, fit
from idkit.decide.classifier import Model, joined
from idkit.decide.cross_validation import by_the_others, choose, cross_fitted, losses, probably_better
from idkit.decide.evidence import PATTERNS, pattern
from idkit.decide.known import SURE, likely_set
from idkit.decide.own import Own
from idkit.decide.own_part import Ground, OwnPart
from idkit.decide.own_part import chances as chances_of
from idkit.errors import CallError
from idkit.flows.describing import JOINS, confirmed, described
from idkit.flows.models import keep_model, use_model
from idkit.flows.own_parts import ground_of, own_parts
from idkit.flows.recording import tables_of
from idkit.flows.scoring import Scored, Told, summed
from idkit.flows.shipped import starter
from idkit.vocabulary import Evidence, Floats, PhotoEvidence, Sample

BETTER = 0.8  # how probable it must be that a new model is better
FALL = 0.05  # of a pile's recall, from which it is not used
CALIBRATED_ON = 50  # parts picked at random, of one pattern of evidence, from which its likely set is their own
SUSPECT = 0.05  # chance of what a part was called, under which it is worth a second look
SHOWN = 10
FEW_LEFT = 5  # parts that may test, under which nothing can be said


@dataclass(frozen=True)
class Suspect:
    """A part whose label may be wrong: what it was called, the chance of that by all other parts, what came first."""

    record: int
    part: str
    photo: str
    called: str
    chance: float
    rather: str


@dataclass(frozen=True)
class Trained:
    """What training came to. `name` is the model that was made, '' where nothing was learnt.

    `before` and `after` are of parts that may test, judged by what was learnt without them. `better` is how probable it
    is that the gain is one; `falls` are piles that lost recall, with how much; `used` whether it judges from now on,
    `why` why not. `counts` are own parts by material, `wanted` how many more make one count.
    """

    name: str
    parts: int
    tests: int
    strength: Strength
    losses: Mapping[Strength, float]
    before: Scored | None
    after: Scored | None
    better: float
    gain: float
    falls: Mapping[str, float]
    suspects: tuple[Suspect, ...]
    counts: Mapping[str, float]
    wanted: Mapping[str, int]
    calibrated: tuple[str, ...]
    used: bool
    why: str
    waiting: Mapping[str, int] = field(default_factory=dict)  # described materials with too few parts, and how many


Beside = Callable[[Trained, Path], None]


def train(*, insist: bool = False, seed: int = 1, beside: Beside | None = None) -> Trained:
    """Learn from every confirmed part, keep the model with its report, and use it if it is probably better.

    With `insist` it is used whatever the report says. `beside` writes more into the model's folder. CallError where no
    part was confirmed.
    """
    samples = keep.samples()
    if not samples:
        got, right = "got no confirmed part", f"at least one; from {FEWEST} on photos teach too"
        raise CallError("train", got, right, "idkit confirm, or idkit samples add, says what parts are")
    base = starter()
    found, model = learn(samples, base, insist=insist, seed=seed)
    if model is None:
        return found
    made: list[Trained] = []

    def report(folder: Path, named: Model) -> None:
        made.append(replace(found, name=named.name))
        if beside:
            beside(made[-1], folder)

    named = keep_model(model, report)
    if found.used:
        use_model(named.name)
    return made[-1]


def learn(
    samples: Sequence[Sample], base: Model, *, insist: bool = False, seed: int = 1
) -> tuple[Trained, Model | None]:
    """What samples teach, judged on each other, and the model that knows it; nothing is written."""
    many = confirmed(samples)
    base = joined(base, [row for row in described() if many[row.id] >= JOINS])
    waiting = {name: count for name, count in many.items() if count < JOINS}
    samples = [each for each in samples if len(each.materials) != 1 or each.materials[0] not in waiting]
    if not samples:
        return _unlearnt(waiting), None
    ground, parts = ground_of(base), own_parts(samples, base)
    random = np.random.default_rng(seed)
    after, before = cross_fitted(parts, ground, random), chances_of(parts, None, ground)
    strength, by_strength = choose(parts, ground, random)
    own = fit(parts, ground, strength)
    thresholds, calibrated = _thresholds(parts, samples, after, base)
    centre = base.centre + own.offset * base.spread
    model = replace(base, own=own, centre=centre, thresholds=thresholds, card={**base.card, "own parts": len(parts)})
    testing = [number for number, part in enumerate(parts) if part.tests]
    gains = (losses(before, parts) - losses(after, parts))[testing]
    better = probably_better(gains, [parts[n].group for n in testing], random) if testing else 0.0
    falls = _falls(samples, before, after, testing, base)
    why = _why_not(len(testing), strength, better, falls)
    scored = [_scored(samples, parts, table, testing, one, base) for table, one in ((before, base), (after, model))]
    counts = _counts(parts, ground)
    nothing = strength == NOTHING and not insist
    return Trained(
        name="",
        parts=len(parts),
        tests=len(testing),
        strength=strength,
        losses=by_strength,
        before=scored[0],
        after=scored[1],
        better=better,
        gain=float(gains.mean()) if len(gains) else 0.0,
        falls=falls,
        suspects=tuple(_suspects(samples, parts, by_the_others(parts, ground, random), ground.materials)),
        counts=counts,
        wanted={name: int(np.ceil(FEWEST - count)) for name, count in counts.items() if count < FEWEST},
        calibrated=calibrated,
        used=not nothing and (insist or not why),
        why=why,
        waiting=waiting,
    ), None if nothing else model


def _unlearnt(waiting: Mapping[str, int]) -> Trained:
    """Where all confirmed parts are of described materials that have too few."""
    why = f"every confirmed part is of a material of your own; {JOINS} of one are wanted"
    none: dict[str, float] = {}
    return Trained(
        "", 0, 0, NOTHING, {}, None, None, 0, 0, none, (), none, {}, (), used=False, why=why, waiting=waiting
    )


def _counts(parts: Sequence[OwnPart], ground: Ground) -> dict[str, float]:
    """Own parts by material, those that were named as a set left out; the fewest first."""
    found: dict[str, float] = {}
    for part in parts:
        named = np.flatnonzero(part.is_one_of)
        if len(named) == 1:
            name = ground.materials[int(named[0])]
            found[name] = found.get(name, 0.0) + 1
    return dict(sorted(found.items(), key=lambda each: each[1]))


def _piles(sample: Sample, found: Floats, base: Model) -> dict[str, float]:
    piles = tables_of(base).piles(sample.answers)
    return dict(zip(piles.ids, piles.chances(found).tolist(), strict=True))


def _falls(
    samples: Sequence[Sample], before: Floats, after: Floats, testing: Sequence[int], base: Model
) -> dict[str, float]:
    """Piles that are named right less often than before, with how much of their recall is gone."""
    right: dict[str, list[tuple[bool, bool]]] = {}
    for number in testing:
        pile = samples[number].label.pile
        first = [
            max(piles, key=piles.__getitem__)
            for piles in (_piles(samples[number], t[number], base) for t in (before, after))
        ]
        right.setdefault(pile, []).append((first[0] == pile, first[1] == pile))
    lost = {
        pile: float(np.mean([was for was, _ in each]) - np.mean([now for _, now in each]))
        for pile, each in right.items()
    }
    return {pile: fall for pile, fall in sorted(lost.items()) if fall > 0}


def _why_not(testing: int, strength: Strength, better: float, falls: Mapping[str, float]) -> str:
    """Why a model is not used; '' where it is."""
    if strength == NOTHING:
        return "nothing was learnt: on parts left out, the starter alone does best"
    if testing < FEW_LEFT:
        return f"{testing} parts that a yard or an analyser named are too few to tell; {FEW_LEFT} are the fewest"
    if better < BETTER:
        often = f"probably so {10 * better:.0f} times in 10, {10 * BETTER:.0f} are wanted"
        return f"it is not plain that it is better ({often})"
    worst = {pile: fall for pile, fall in falls.items() if fall > FALL}
    if worst:
        told = ", ".join(f"{facts.categories()[pile].name} {100 * fall:.0f}" for pile, fall in worst.items())
        return f"some piles are found less often than before, of 100 by: {told}"
    return ""


def _thresholds(
    parts: Sequence[OwnPart], samples: Sequence[Sample], after: Floats, base: Model
) -> tuple[Mapping[str, float], tuple[str, ...]]:
    """Least chances of the likely sets: of patterns with enough parts picked at random, their own."""
    from idkit.decide.learn import least_chance

    by: dict[str, list[float]] = {}
    for number, (part, sample) in enumerate(zip(parts, samples, strict=True)):
        if part.at_random and part.tests and len(sample.materials) == 1:
            by.setdefault(_pattern(part, sample), []).append(float(after[number] @ part.is_one_of))
    own = {name: least_chance(np.array(by[name])) for name in PATTERNS if len(by.get(name, [])) >= CALIBRATED_ON}
    return {**base.thresholds, **own}, tuple(own)


def _pattern(part: OwnPart, sample: Sample) -> str:
    seen = part.seen and part.photo_counts and not all(one.unlike for one in part.seen)
    photo = PhotoEvidence({}, {}, unlike=False, simulated=True, trusted_colour=True) if seen else None
    return pattern(Evidence(photo, sample.answers, sample.surface))


def _scored(
    samples: Sequence[Sample],
    parts: Sequence[OwnPart],
    table: Floats,
    testing: Sequence[int],
    model: Model,
    base: Model,
) -> Scored | None:
    told = [_told(samples[n], parts[n], table[n], model, base) for n in testing]
    return summed(told, (), model) if told else None


def _told(sample: Sample, part: OwnPart, found: Floats, model: Model, base: Model) -> Told:
    tables, how = tables_of(base), _pattern(part, sample)
    names = [row.id for row in tables.materials]
    likely = tuple(names[number] for number in likely_set(found, model.thresholds.get(how, 0.0)))
    piles = _piles(sample, found, base)
    named = tables.piles(sample.answers).named
    on = {named[names.index(name)].category.id for name in likely}
    single = sample.materials[0] if len(sample.materials) == 1 else ""
    return Told(
        part=f"record {sample.record} ({sample.part})",
        group=str(part.group),
        truth={"material": single, "pile": sample.label.pile, "family": ""},
        chances={"material": dict(zip(names, found.tolist(), strict=True)), "pile": piles, "family": {}},
        likely=likely,
        pattern=how,
        sure=len(on) == 1 and max(piles.values()) >= SURE,
        unlike=bool(part.seen) and all(one.unlike for one in part.seen),
        simulated=False,
    )


def _suspects(
    samples: Sequence[Sample], parts: Sequence[OwnPart], others: Floats, names: Sequence[str]
) -> list[Suspect]:
    """Parts that all the others make unlikely to be what they were called, the unlikeliest first."""
    lost = losses(others, parts)
    found = []
    for number in np.argsort(-lost, kind="stable").tolist()[:SHOWN]:
        sample, chance = samples[number], float(np.exp(-lost[number]))
        if chance < SUSPECT:
            called = sample.materials[0] if len(sample.materials) == 1 else sample.label.pile
            photo = sample.photos[0].file if sample.photos else ""
            rather = names[int(others[number].argmax())]
            found.append(Suspect(sample.record, sample.part, photo, called, chance, rather))
    return found


def told_of(model: Model) -> Mapping[str, Any]:
    """What a model of one's own says of itself: own parts, their weight by material, how much starter rows weigh."""
    own: Own | None = model.own
    if own is None:
        return {"name": model.name, "own parts": 0}
    weight = own.sums.count.sum(axis=1)
    return {
        "name": model.name,
        "own parts": model.card.get("own parts", 0),
        "strength": None if isinf(own.k) else own.k,
        "by material": {name: round(float(w), 1) for name, w in zip(own.materials, weight, strict=True) if w > 0},
    }
