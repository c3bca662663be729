"""A part that looks like one that went wrong before is warned about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import inf, isfinite, sqrt

from idkit import facts, keep
from idkit.decide.classifier import Model
from idkit.flows.reporting import catching
from idkit.flows.results import Identified, Several
from idkit.flows.shipped import starter
from idkit.vocabulary import Answers, Sample

NEAR = 0.5  # root mean square of the judged cues' differences, in spreads of the training rows: tests/bench/twins.py
FEWEST = 4  # judged cues that must be known of both
MOST = 2  # warnings


def remembered(found: Identified) -> Identified:
    """The same with a warning for each past mistake that it looks like, at most two.

    Such is a part of the same surface and nearly the same cues that was put on the pile that is proposed now, and was
    of another, where no answer by name differs.
    """
    record = found.record
    pile = next(iter(record.verdict.piles), "")
    near = []
    for sample in keep.mistakes(pile) if found.seen else ():
        apart = _apart(found, sample, starter())
        if apart <= NEAR and sample.surface == record.surface and _together(record.answers, sample.answers):
            near.append((apart, -sample.record, sample))
    warnings = tuple(_said(sample) for *_, sample in sorted(near, key=lambda row: row[:2])[:MOST])
    return replace(found, record=replace(record, warnings=warnings))


def remembered_each(found: Several) -> Several:
    """The same of every part of photos that show several."""
    photos = tuple((photo, tuple(map(remembered, parts))) for photo, parts in found.photos)
    return replace(found, photos=photos)


def _apart(found: Identified, sample: Sample, model: Model) -> float:
    """Between the two photos that are nearest."""
    mine = [{reading.name: reading.value for reading in one.report.readings} for one in found.seen]
    return min((between(cues, photo.cues, model) for cues in mine for photo in sample.photos), default=inf)


def between(one: Mapping[str, float], other: Mapping[str, float], model: Model) -> float:
    """Root mean square of differences of judged cues, in spreads of the training rows; inf where too few are known."""
    steps = [
        (one[name] - other[name]) / spread
        for name, spread in zip(model.cues, model.spread.tolist(), strict=True)
        if name in one and name in other and isfinite(one[name]) and isfinite(other[name])
    ]
    return sqrt(sum(step * step for step in steps) / len(steps)) if len(steps) >= FEWEST else inf


def _together(mine: Answers, other: Answers) -> bool:
    """Whether no answer by name differs."""
    both = (name for name in mine if name in other and isinstance(mine[name].value, str))
    return all(mine[name].value == other[name].value for name in both)


def _said(sample: Sample) -> str:
    was, piles = sample.label, facts.categories()
    who = {"yard": f"the yard {was.yard}".strip(), "analyser": "an analyser"}[was.by]
    named = facts.material(was.materials[0]).name if len(was.materials) == 1 else piles[was.pile].name
    taken = piles[sample.pile].name if sample.pile in piles else sample.pile
    check, _ = catching(sample)
    told = f"; {check.name.replace('-', ' ')} would have told" if check else ""
    return f"it looks like record {sample.record} ({sample.part}), put on {taken}, which {who} called {named}{told}"
