"""Confirmed samples as learning takes them: what was answered and seen, each as the starter makes of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from idkit import facts, see
from idkit.decide import classifier, fuse
from idkit.decide.classifier import NOT_AS_IT_SEEMS, Model
from idkit.decide.own_part import Ground, OwnPart
from idkit.decide.own_part import Seen as OwnSeen
from idkit.decide.tables import Tables, outcome_of
from idkit.errors import CallError
from idkit.flows.recording import tables_of
from idkit.vocabulary import Evidence, Floats, KeptPhoto, PhotoEvidence, Sample

LEARNING = ("magnet", "thickness")  # checks whose answers teach what is said of a material


def ground_of(base: Model) -> Ground:
    """What the starter gives to learn on."""
    names = tuple(row.id for row in tables_of(base).materials)
    modelled = classifier.materials_of(base)
    share = classifier.share_of_each(base)
    if base.spread_of is None:
        raise CallError("train", f"got the model {base.name} without its spread", "the starter that came with idkit")
    kin = [facts.kin(name) for name in names]
    forms = {row.id: np.array([row.likely.get(name, 1.0) for name in kin]) for row in facts.forms().values()}
    likely = {form: row / row.sum() for form, row in forms.items()}
    total = np.sum(list(likely.values()), axis=0)
    return Ground(
        names,
        tuple(names.index(name) for name in modelled),
        base.spread_of,
        np.array([share[name] for name in modelled]),
        base.farthest,
        {form: row / total for form, row in likely.items()},
        partial(_reads, replace(base, centre=np.zeros(len(base.cues)), spread=np.ones(len(base.cues)))),
    )


def _reads(standard: Model, rows: Floats, surface: str) -> Floats:
    """What the starter makes of standardised rows: p(m | cues) over m's share in training, n x its materials.

    Of one that the user described, what it makes of the row that it is like.
    """
    share = classifier.share_of_each(replace(standard, described=()))
    found = classifier.class_chances(standard, rows, surface)
    names = np.array([material for material, _ in standard.labels])
    ratios = {name: found[:, names == name].sum(axis=1) / each for name, each in share.items()}
    return np.stack([ratios[facts.kin(name)] for name in classifier.materials_of(standard)], axis=1)


def own_parts(samples: Sequence[Sample], base: Model) -> list[OwnPart]:
    """Samples as learning takes them: what was answered and seen, each as the starter makes of it."""
    tables = tables_of(replace_own(base))
    return [_part(sample, base, tables) for sample in samples]


def replace_own(base: Model) -> Model:
    """The same model without what was learnt from own parts."""
    return base if base.own is None else replace(base, own=None)


def _part(sample: Sample, base: Model, tables: Tables) -> OwnPart:
    names = [row.id for row in tables.materials]
    photos = [(photo, _photo(photo, sample.surface, base)) for photo in sample.photos]
    told = [(evidence, seen) for _, each in photos if each for evidence, seen in (each,)]
    evidence = Evidence(classifier.together([e for e, _ in told]) if told else None, sample.answers, sample.surface)
    known = replace(evidence, photo=replace(evidence.photo, unlike=False)) if evidence.photo else evidence
    counts, _ = fuse.senses(known)
    factors = fuse.factors(tables.materials, evidence, tables.checks, tables.log)
    form = str(sample.answers["form"].value) if "form" in sample.answers else ""
    may_be = sample.materials or tuple(names)
    goes = len(may_be) > 1  # a pile was named: what is like one of its materials may be it too
    return OwnPart(
        record=sample.record,
        group=sample.group,
        surface=sample.surface,
        is_one_of=np.array([float(name in may_be or (goes and facts.kin(name) in may_be)) for name in names]),
        weight=sample.weight,
        tests=sample.tests and bool(sample.materials),
        at_random=sample.at_random,
        prior=fuse.log_prior(tables.materials, facts.form(form or "unknown")),
        answers=sum((row for name, row in factors.items() if name != "photo"), np.zeros(len(names))),
        form=form,
        seen=tuple(seen for _, seen in told),
        told=_answers(sample, factors, tables),
        photo_counts=counts,
    )


def _answers(sample: Sample, factors: Mapping[str, Floats], tables: Tables) -> dict[str, tuple[int, Floats]]:
    found = {}
    for name in LEARNING:
        if name in factors:
            check = tables.checks[name]
            at = outcome_of(tables.outcomes(check, sample.answers), sample.answers[name])
            if at >= 0:
                found[name] = (at, tables.given(check, sample.answers))
    return found


def _photo(photo: KeptPhoto, surface: str, base: Model) -> tuple[PhotoEvidence, OwnSeen] | None:
    """One kept photo read anew by the starter under each white that was possible; None where it said nothing.

    Only redness and yellowness are moved with white: the pixels that the other cues would need are not kept.
    """
    row = np.array([photo.cues.get(name, np.nan) for name in base.cues])
    if not photo.log_photo or np.isnan(row).all():
        return None
    grid = np.array(photo.white.get("grid") or [[0.0, 0.0, 1.0]], float)
    rows = np.repeat(row[None], len(grid), axis=0)
    shades = [base.cues.index(name) for name in ("redness", "yellowness")]
    white = np.array([photo.white.get("red_green", 0.0), photo.white.get("blue_green", 0.0)])
    if not np.isnan(row[shades]).any():
        rows[:, shades] = see.under_another_white(row[shades], white - grid[:, :2])
    said = classifier.photo_evidence(
        base, rows, grid[:, 2], surface, trusted=photo.white.get("kind") in ("card", "paper", "other")
    )
    names = [row.id for row in tables_of(base).materials]
    return said, OwnSeen(
        classifier.standardised(rows, base.centre, base.spread),
        classifier.explained(base, rows, grid[:, 2]),
        np.array([said.log_photo[name] for name in names]),
        NOT_AS_IT_SEEMS.get(surface, NOT_AS_IT_SEEMS["as-found"]),
        said.unlike,
    )
