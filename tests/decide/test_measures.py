"""Measures of chances, each against scikit-learn's or mapie's on the same random parts."""

from __future__ import annotations

import numpy as np
import pytest
from mapie.metrics.calibration import expected_calibration_error
from mapie.metrics.classification import classification_coverage_score, classification_mean_width_score
from sklearn import metrics
from sklearn.calibration import calibration_curve

from idkit.decide import measures, scoring
from idkit.vocabulary import Floats

NAMES = ("copper", "lead", "tin", "zinc", "plastic")


@pytest.fixture(scope="module", params=[1, 2, 3])
def parts(request: pytest.FixtureRequest) -> tuple[Floats, measures.Numbers]:
    """Chances of 600 parts over five names, and truths drawn from chances a little less sure than those."""
    random = np.random.default_rng(request.param)
    chances = random.dirichlet(np.full(len(NAMES), 0.5), 600)
    softer = 0.8 * chances + 0.2 / len(NAMES)
    return chances, np.array([random.choice(len(NAMES), p=row) for row in softer])


def test_log_loss_is_scikit_learns(parts: tuple[Floats, measures.Numbers]) -> None:
    chances, truth = parts
    clipped = np.clip(chances, measures.NEVER, 1.0)
    expected = metrics.log_loss(truth, clipped / clipped.sum(axis=1, keepdims=True), labels=range(len(NAMES)))
    assert measures.log_losses(chances, truth).mean() == pytest.approx(expected, rel=1e-6)


def test_brier_score_is_scikit_learns(parts: tuple[Floats, measures.Numbers]) -> None:
    chances, truth = parts
    expected = metrics.brier_score_loss(truth, chances, labels=range(len(NAMES)), scale_by_half=False)
    assert measures.brier_scores(chances, truth).mean() == pytest.approx(expected)


def test_confusion_matrix_is_scikit_learns(parts: tuple[Floats, measures.Numbers]) -> None:
    chances, truth = parts
    said, _ = measures.first_answers(chances)
    np.testing.assert_array_equal(
        measures.confusion_matrix(truth, said, len(NAMES)), metrics.confusion_matrix(truth, said)
    )


@pytest.mark.parametrize("bins", [4, 15])
def test_bins_are_scikit_learns_quantiles(parts: tuple[Floats, measures.Numbers], bins: int) -> None:
    """600 parts go evenly into 4 and into 15 bins, so that quantiles and equal counts are the same."""
    chances, truth = parts
    said, sureness = measures.first_answers(chances)
    found = measures.reliability(sureness, said == truth, bins)
    happened, told = calibration_curve(said == truth, sureness, n_bins=bins, strategy="quantile")
    np.testing.assert_allclose([each.happened for each in found], happened)
    np.testing.assert_allclose([each.said for each in found], told)
    assert {each.count for each in found} == {600 // bins}


@pytest.mark.parametrize("count", [600, 317, 9])
def test_calibration_error_is_mapies(parts: tuple[Floats, measures.Numbers], count: int) -> None:
    """Its strategy 'array split', on chances in order, is bins of equal count, also where they don't divide evenly."""
    said, sureness = measures.first_answers(parts[0][:count])
    order = np.argsort(sureness)
    right, sureness = (said == parts[1][:count])[order], sureness[order]
    bins = min(15, count)
    expected = expected_calibration_error(right.astype(int), sureness, num_bins=bins, split_strategy="array split")
    mixed = np.random.default_rng(5).permutation(count)
    assert measures.calibration_error(measures.reliability(sureness[mixed], right[mixed])) == pytest.approx(
        expected, abs=1e-9
    )


def test_chances_that_are_what_happens_have_next_to_no_calibration_error() -> None:
    random = np.random.default_rng(9)
    chances = random.dirichlet(np.full(len(NAMES), 0.5), 40_000)
    truth = (random.random((len(chances), 1)) > chances.cumsum(axis=1)).sum(axis=1).clip(max=len(NAMES) - 1)
    said, sureness = measures.first_answers(chances)
    assert measures.calibration_error(measures.reliability(sureness, said == truth)) < 0.015
    assert measures.calibration_error(measures.reliability(np.minimum(sureness + 0.2, 1), said == truth)) > 0.1


def test_selective_by_hand() -> None:
    """Four answers at 0.4, 0.7, 0.9 and 0.97, the second wrong."""
    found = measures.selective(np.array([0.4, 0.7, 0.9, 0.97]), np.array([True, False, True, True]))
    assert [(each.least, each.count, each.right) for each in found] == [
        (0.5, 3, 2),
        (0.7, 3, 2),
        (0.9, 2, 2),
        (0.95, 1, 1),
    ]


def test_cover_and_size_are_mapies(parts: tuple[Floats, measures.Numbers]) -> None:
    chances, truth = parts
    sets = chances >= 0.2
    likely = [[NAMES[i] for i in np.flatnonzero(row)] for row in sets]
    (found,) = scoring.covers(["photo"] * len(truth), likely, [NAMES[i] for i in truth])
    assert found.held.value == pytest.approx(float(classification_coverage_score(truth, sets[..., None])[0]))
    assert found.size == pytest.approx(float(classification_mean_width_score(sets[..., None])[0]))


def test_a_whole_score_is_made_of_its_measures(parts: tuple[Floats, measures.Numbers]) -> None:
    chances, truth = parts
    named = [dict(zip(NAMES, row.tolist(), strict=True)) for row in chances]
    found = scoring.score("material", named, [NAMES[i] for i in truth])
    assert found is not None
    said, _ = measures.first_answers(chances)
    assert found.right.value == pytest.approx(metrics.accuracy_score(truth, said))
    recalls = metrics.recall_score(truth, said, average=None)
    assert [found.by_name[name].value for name in NAMES] == pytest.approx(recalls.tolist())
    assert found.log_loss.low < found.log_loss.value < found.log_loss.high
    assert not found.grouped
    assert int(found.confusion.sum()) == len(truth)
    assert list(found.names) == sorted(NAMES)


def test_a_truth_that_got_no_chance_is_wrong_and_not_infinite() -> None:
    found = scoring.score("pile", [{"copper": 1.0}], ["lead"])
    assert found is not None
    assert found.right.right == 0
    assert found.log_loss.value == pytest.approx(-np.log(measures.NEVER))
    assert found.names == ("copper", "lead")


def test_no_part_has_no_score() -> None:
    assert scoring.score("pile", [], []) is None
    assert scoring.covers([], [], []) == ()
