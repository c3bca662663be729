"""Likely sets hold the truth 9 times in 10: split conformal prediction, checked against mapie."""

from __future__ import annotations

import numpy as np
import pytest
from mapie.classification import SplitConformalClassifier
from sklearn.base import BaseEstimator, ClassifierMixin

from idkit import ask, facts, flows
from idkit.decide import bench
from idkit.decide.evidence import PATTERNS
from idkit.decide.evidence import pattern as evidence_pattern
from idkit.decide.learn import least_chance
from idkit.vocabulary import Floats, Material, PhotoEvidence

CLASSES = 6


class AsGiven(ClassifierMixin, BaseEstimator):  # type: ignore[misc]
    """A classifier whose rows are already chances."""

    classes_ = np.arange(CLASSES)

    def predict_proba(self, rows: Floats) -> Floats:
        return rows

    def predict(self, rows: Floats) -> Floats:
        return rows.argmax(axis=1)

    def __sklearn_is_fitted__(self) -> bool:
        return True


def drawn(count: int, seed: int) -> tuple[Floats, Floats]:
    """Chances over the classes and a truth drawn from them."""
    random = np.random.default_rng(seed)
    chances = random.dirichlet(np.full(CLASSES, 0.4), count)
    truth = np.array([random.choice(CLASSES, p=row) for row in chances])
    truth[:CLASSES] = np.arange(CLASSES)  # mapie asks for every class
    return chances, truth


@pytest.mark.parametrize("cover", [0.8, 0.9])
@pytest.mark.parametrize("count", [19, 20, 49, 99, 100, 101, 500, 999])
def test_the_same_sets_as_mapie(count: int, cover: float) -> None:
    """LAC score (Sadinle, Lei and Wasserman 2019) as mapie has it, on the same calibration parts.

    Counts one short of a multiple of ten are where (n + 1) x 0.1 is whole and rounding of 1 - 0.9 would cost a rank.
    """
    chances, truth = drawn(count, seed=count)
    new, _ = drawn(300, seed=1)
    conformal = SplitConformalClassifier(AsGiven(), confidence_level=cover, conformity_score="lac", prefit=True)
    _, expected = conformal.conformalize(chances, truth).predict_set(new)
    found = new >= least_chance(chances[np.arange(count), truth], cover)
    assert (found == expected[:, :, 0]).all()
    assert 0 < found.mean() <= 1


def test_too_few_parts_leave_every_material_in() -> None:
    """With 8 parts no rank promises 9 in 10: floor(9 x 0.1) = 0."""
    assert least_chance(np.full(8, 0.5)) == 0.0
    assert least_chance(np.full(9, 0.5)) == 0.5


def photo_of(material: str, surface: str, random: np.random.Generator) -> PhotoEvidence:
    """A photo that favours its own material on average, as one of middling worth does."""
    del surface
    log_photo = {name: float(random.normal(1.0 if name == material else 0.0)) for name in facts.materials()}
    return PhotoEvidence(log_photo, {}, unlike=False, simulated=True, trusted_colour=True)


@pytest.fixture(scope="module")
def everything() -> tuple[Material, ...]:
    return tuple(facts.materials().values())


@pytest.mark.parametrize("pattern", PATTERNS)
def test_fresh_parts_are_covered_nine_times_in_ten(pattern: str, everything: tuple[Material, ...]) -> None:
    """Calibrated on 400 simulated parts, 400 others are covered 0.9 of the time, within 4 standard errors of both."""
    random = np.random.default_rng(20)
    of_truth = np.array(
        [
            bench.chance_of_truth(part, everything, ask.checks())
            for part in bench.draw(pattern, everything, facts.forms(), ask.checks(), photo_of, 800, random)
        ]
    )
    least = least_chance(of_truth[:400])
    assert float((of_truth[400:] >= least).mean()) == pytest.approx(0.9, abs=4 * np.sqrt(2 * 0.09 / 400))


def test_every_pattern_has_a_threshold_and_the_seed_decides_it(everything: tuple[Material, ...]) -> None:
    first, again, other = (
        bench.thresholds(everything, facts.forms(), ask.checks(), photo_of, 30, seed) for seed in (1, 1, 2)
    )
    assert set(first) == set(PATTERNS)
    assert first == again != other
    assert all(0 < least < 1 for least in first.values())


def test_the_starter_model_is_calibrated_for_every_pattern() -> None:
    """A pattern without a threshold would leave every material in, and nothing would ever be sure."""
    found = flows.starter().thresholds
    assert set(found) == set(PATTERNS)
    assert all(0 < least < 0.5 for least in found.values())
    assert found["photo"] < found["photo-and-answers"] < found["photo-and-water"]


def test_simulated_parts_carry_the_evidence_of_their_pattern(everything: tuple[Material, ...]) -> None:
    random = np.random.default_rng(3)
    for pattern in PATTERNS:
        for part in bench.draw(pattern, everything, facts.forms(), ask.checks(), photo_of, 40, random):
            answers = part.evidence.answers
            assert (part.evidence.photo is not None) == pattern.startswith("photo")
            assert part.form.id == "assembly" or evidence_pattern(part.evidence) == pattern
            assert not part.form.category
            assert answers["form"].value == part.form.id
            if pattern == "photo-and-answers":
                assert {"magnet", "thickness"} <= set(answers)
            if pattern == "photo-and-water" and part.form.id != "assembly":  # water names no metal of several
                assert "weight-in-water" in answers
