"""A tiny model, photos and a verdict to ask about, so that little here moves when the starter model is retrained."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from idkit import ask, facts, flows
from idkit.decide import learn, verdict
from idkit.decide.classifier import Model, photo_evidence
from idkit.decide.evidence import row
from idkit.decide.known import Known
from idkit.decide.tables import Tables
from idkit.vocabulary import (
    FAMILIES,
    SURFACES,
    Answer,
    Caution,
    Evidence,
    Floats,
    Material,
    PhotoEvidence,
    Pile,
    Reading,
    Verdict,
)

CUES = ("red_green", "blue_green", "contrast")
CLASSES = (("copper", "copper-red"), ("yellow-brass", "brass-yellow"), ("zinc-die-cast", "grey-white"))
THRESHOLDS = {
    "photo": 0.012,
    "photo-and-one-answer": 0.02,
    "photo-and-answers": 0.023,
    "photo-and-water": 0.06,
    "form-only": 0.012,
    "one-answer": 0.019,
    "answers-only": 0.021,
    "answers-and-water": 0.05,
}
Decide = Callable[..., Verdict]  # of evidence, and thresholds by pattern where they are not THRESHOLDS
PhotoOf = Callable[..., PhotoEvidence]


@pytest.fixture(scope="session")
def materials() -> tuple[Material, ...]:
    """Every material of the facts."""
    return tuple(facts.materials().values())


@pytest.fixture(scope="session")
def rows() -> tuple[Floats, list[str], list[str], list[str]]:
    """Random rows about three centres: values with some missing, material, surface, family."""
    random = np.random.default_rng(7)
    label = random.integers(len(CLASSES), size=6000)
    values = random.normal(0, 0.2, (len(label), len(CUES)))
    values[:, :2] += np.array([[0.5, -0.3], [0.2, -0.6], [0.0, 0.0]])[label]
    values[random.random(values.shape) < 0.05] = np.nan
    surfaces = [SURFACES[i] for i in random.integers(2, size=len(label))]
    return values, [CLASSES[i][0] for i in label], surfaces, [CLASSES[i][1] for i in label]


@pytest.fixture(scope="session")
def tiny(rows: tuple[Floats, list[str], list[str], list[str]]) -> Model:
    """A model of three materials on three cues, with limits, thresholds and a card."""
    values, names, surfaces, families = rows
    model, held, score = learn.train(CUES, values, names, surfaces, families, "tiny", seed=3)
    chosen = [names[i] for i in held], [surfaces[i] for i in held]
    farthest, unknown = learn.held_out_limits(model, values[held], chosen[1], chosen[0], np.ones(len(held)))
    card = learn.card(values, names, surfaces, score, parts=100, seed=3)
    return replace(model, farthest=farthest, unknown=unknown, thresholds=THRESHOLDS, card=card)


@pytest.fixture(scope="session")
def photo_of(materials: tuple[Material, ...]) -> PhotoOf:
    """What a made-up photo says: log photo(m) of the materials named, 0 for the others."""

    def make(log_photo: Mapping[str, float], family: str = "grey-white", **fields: object) -> PhotoEvidence:
        families = dict.fromkeys(FAMILIES, 0.05) | {family: 0.8}
        known = {material.id: log_photo.get(material.id, 0.0) for material in materials}
        plain = PhotoEvidence(known, families, unlike=False, simulated=True, trusted_colour=True)
        return replace(plain, **fields)

    return make


@pytest.fixture(scope="session")
def starter_brass() -> dict[str, PhotoEvidence]:
    """What the starter model makes of yellow brass in a good light, by surface: a* -1, b* 28 at L* 50."""
    return _by_surface(-1, 28)


@pytest.fixture(scope="session")
def starter_copper() -> dict[str, PhotoEvidence]:
    """The same of copper: a* 16, b* 20."""
    return _by_surface(16, 20)


def _by_surface(redness: float, yellowness: float) -> dict[str, PhotoEvidence]:
    model = flows.starter()
    known = [Reading("redness", redness, ""), Reading("yellowness", yellowness, "")]
    seen = row(known, model.cues)[None]
    return {name: photo_evidence(model, seen, np.ones(1), name, trusted=True) for name in SURFACES}


@pytest.fixture(scope="session")
def decide(materials: tuple[Material, ...]) -> Decide:
    """The verdict on evidence, with the checks and piles of the project and the thresholds above."""
    tables = Tables(materials, ask.checks(), _pile_of)

    def of(evidence: Evidence, thresholds: Mapping[str, float] = THRESHOLDS, **fields: object) -> Verdict:
        form = str(evidence.answers["form"].value) if "form" in evidence.answers else None
        return verdict.decide(evidence, Known(tables, thresholds), partial(_cautions, form=form), **fields)

    return of


def _pile_of(material: str, answers: Mapping[str, Answer]) -> Pile:
    said = {name: answer.value for name, answer in answers.items()}
    return facts.category_of(material, *(said.get(name) for name in ("form", "thickness", "attached")))


def _cautions(materials: Sequence[str], check: str | None, *, form: str | None) -> tuple[Caution, ...]:
    return facts.cautions_for(materials, form=form, check=check)
