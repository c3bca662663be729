"""The plain arrays say what scikit-learn says, and a photo says no more than it can."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sklearn.calibration
import sklearn.mixture

from idkit.decide import learn
from idkit.decide.classifier import Model, class_chances, explained, log_density, photo_evidence, together
from idkit.flows import starter
from idkit.vocabulary import FAMILIES, SURFACES, Floats

Rows = tuple[Floats, list[str], list[str], list[str]]
CUES = ("red_green", "blue_green", "contrast")


@pytest.fixture(scope="module")
def trained(rows: Rows) -> tuple[Model, Any, Any]:
    """A model and scikit-learn's own calibrated committee and mixture, caught while it was trained."""
    caught: dict[str, Any] = {}

    class Calibrated(sklearn.calibration.CalibratedClassifierCV):  # type: ignore[misc]
        def fit(self, *args: Any, **named: Any) -> Any:
            caught["committee"] = self
            return super().fit(*args, **named)

    class Mixture(sklearn.mixture.GaussianMixture):  # type: ignore[misc]
        def fit(self, *args: Any, **named: Any) -> Any:
            caught["mixture"] = self
            return super().fit(*args, **named)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(sklearn.calibration, "CalibratedClassifierCV", Calibrated)
        patched.setattr(sklearn.mixture, "GaussianMixture", Mixture)
        values, materials, surfaces, families = rows
        model, _, _ = learn.train(CUES, values, materials, surfaces, families, "tiny", seed=5)
    return model, caught["committee"], caught["mixture"]


@pytest.fixture(scope="module")
def unseen() -> Floats:
    """Random rows, some far out, some with missing cues."""
    random = np.random.default_rng(11)
    values = random.normal(0, 2.0, (500, len(CUES)))
    values[random.random(values.shape) < 0.1] = np.nan
    values[0] = np.nan
    return values


def scaled(model: Model, values: Floats) -> Floats:
    """Centred and scaled, missing as the centre, cut off at four: written out again, to check the model's own."""
    away = np.where(np.isnan(values), 0.0, (values - model.centre) / model.spread)
    return np.clip(away, -4.0, 4.0)


@pytest.mark.parametrize("surface", [*SURFACES, ""])
def test_chances_are_those_of_scikit_learns_calibrated_committee(
    trained: tuple[Model, Any, Any], unseen: Floats, surface: str
) -> None:
    """CalibratedClassifierCV(method='temperature') over VotingClassifier(voting='soft') of scikit-learn."""
    model, committee, _ = trained
    columns = np.tile([float(surface == name) for name in SURFACES], (len(unseen), 1))
    expected = committee.predict_proba(np.hstack([scaled(model, unseen), columns]))
    found = class_chances(model, unseen, surface)
    assert np.abs(found - expected).max() < 1e-9
    assert np.ptp(found[:, 0]) > 0.5  # the rows differ, so the comparison says something


def test_log_density_is_that_of_scikit_learns_mixture(trained: tuple[Model, Any, Any], unseen: Floats) -> None:
    """GaussianMixture.score_samples of scikit-learn."""
    model, _, mixture = trained
    expected = mixture.score_samples(scaled(model, unseen))
    assert np.abs(log_density(model, unseen) - expected).max() < 1e-9
    assert np.ptp(expected) > 5.0


def test_the_model_learnt_what_the_rows_hold(tiny: Model) -> None:
    """Three groups well apart: more right than the one in three of guessing; the card holds the held-out score."""
    score = tiny.card["held-out score (simulated)"]
    assert score["material right"] > 0.6
    assert score["family right"] == score["material right"]  # one family a material here
    assert tiny.card["rows"].keys() == {"copper", "yellow-brass", "zinc-die-cast"}
    assert {"numpy", "scikit-learn"} <= tiny.card["libraries"].keys()


def test_the_same_seed_trains_the_same_model_and_the_same_parts_are_held_out(rows: Rows) -> None:
    values, materials, surfaces, families = rows
    parts = [str(number // 3) for number in range(len(values))]
    (one, held, _), (two, again, _) = (
        learn.train(CUES, values, materials, surfaces, families, "tiny", seed=5, groups=parts) for _ in range(2)
    )
    assert (held == again).all()
    assert 0.1 < len(held) / len(values) < 0.3
    np.testing.assert_array_equal(held, learn.held_out(parts, 5))  # what the bench of honest chances counts on
    others = set(range(len(values))) - set(held.tolist())
    assert not {parts[row] for row in held} & {parts[row] for row in others}  # a part is never on both sides
    assert all((a == b).all() for a, b in zip(one.weights, two.weights, strict=True))


def test_one_in_a_hundred_held_out_rows_is_called_unlike(tiny: Model, rows: Rows) -> None:
    """The limit is the 1 in 100 quantile of held-out rows; over all rows it must lie near that."""
    share = float((log_density(tiny, rows[0]) < tiny.farthest).mean())
    assert 0.001 < share < 0.03


def one(values: list[float]) -> Floats:
    return np.array([values])


CERTAIN = np.ones(1)


def test_a_row_far_from_training_is_unlike_and_a_usual_one_is_not(tiny: Model) -> None:
    far = photo_evidence(tiny, one([9.0, 9.0, -9.0]), CERTAIN, "as-found", trusted=True)
    near = photo_evidence(tiny, one([0.5, -0.3, 0.0]), CERTAIN, "as-found", trusted=True)
    assert far.unlike
    assert not near.unlike


@pytest.mark.parametrize("how", ["no colour", "no cue"])
def test_a_photo_without_colour_or_cues_says_nothing(tiny: Model, how: str) -> None:
    row = one([0.5, -0.3, 0.0] if how == "no colour" else [np.nan] * 3)
    blind = photo_evidence(tiny, row, CERTAIN, "as-found", trusted=False, coloured=how != "no colour")
    assert np.abs(list(blind.log_photo.values())).max() < 1e-12
    assert not blind.unlike
    assert sum(blind.families.values()) == pytest.approx(1.0)


def test_no_photo_rules_a_material_out(tiny: Model) -> None:
    """An as-found surface may be plated or painted: log photo(m) has a floor, a lower one on bare metal.

    The row is copper beyond doubt to a model made overconfident, which gives zinc far less than either floor.
    """
    row, sharp = one([1.0, 0.2, 0.0]), replace(tiny, sharpness=20.0)
    zinc = tiny.labels.index(("zinc-die-cast", "grey-white"))
    for surface, floor in (("as-found", 0.02), ("scratched", 0.005)):
        assert class_chances(sharp, row, surface)[0, zinc] / sharp.share[zinc] < floor / 100
        found = photo_evidence(sharp, row, CERTAIN, surface, trusted=True).log_photo["zinc-die-cast"]
        assert np.log(floor) <= found < np.log(1.02 * floor)


def test_what_shows_no_metal_is_seldom_called_scratched_to_bare_metal() -> None:
    """Its odds are a fifth of what the colour alone says, and unchanged on a part as found."""
    model = starter()
    no_metal = np.array([family == "not-metal" for _, family in model.labels])
    row = (model.centre + model.spread * np.array([0.4, 0.5, -0.5, 0.0, -0.5, 0.0]))[None]
    for surface, factor in (("as-found", 1.0), ("scratched", 0.2)):
        alone = float(class_chances(model, row, surface)[0, no_metal].sum())
        assert 0.05 < alone < 0.95
        odds = factor * alone / (1 - alone)
        found = photo_evidence(model, row, CERTAIN, surface, trusted=True).families["not-metal"]
        assert found == pytest.approx(odds / (1 + odds))


def test_whites_are_averaged_by_their_weight(tiny: Model) -> None:
    """Chances, not cues, are averaged, each white by its weight times how common such parts are (Bayes)."""
    rows = np.array([[0.5, -0.3, 0.0], [0.0, 0.0, 0.0]])
    share = float(explained(tiny, rows, np.array([0.5, 0.5]))[0])
    assert 0.01 < share < 0.99
    each = [photo_evidence(tiny, row[None], CERTAIN, "as-found", trusted=True).families for row in rows]
    both = photo_evidence(tiny, rows, np.array([0.5, 0.5]), "as-found", trusted=True).families
    assert each[0]["copper-red"] - each[1]["copper-red"] > 0.2
    for name in FAMILIES:
        assert both[name] == pytest.approx(share * each[0][name] + (1 - share) * each[1][name])


def test_a_white_that_would_make_the_part_unlike_anything_hardly_counts(tiny: Model) -> None:
    rows = np.array([[0.5, -0.3, 0.0], [4.0, 4.0, -4.0]])
    assert explained(tiny, rows, np.array([0.5, 0.5]))[1] < 0.01
    assert explained(tiny, rows[[0, 0]], np.array([0.9, 0.1])) == pytest.approx([0.9, 0.1])


def test_where_every_cue_moves_with_white_its_density_decides(tiny: Model) -> None:
    rows = np.array([[0.5, -0.3, 0.0], [0.1, 0.1, 0.4]])
    common = np.exp(log_density(tiny, rows))
    assert explained(tiny, rows, np.array([0.5, 0.5])) == pytest.approx(common / common.sum())


def test_a_cue_that_white_does_not_move_leaves_the_whites_alone(tiny: Model) -> None:
    """The third cue is the same under both whites: what it is must not matter beyond the margin of the first two."""
    whites = np.array([0.5, 0.5])
    apart = [explained(tiny, np.array([[0.5, -0.3, third], [0.0, 0.0, third]]), whites) for third in (0.0, 3.0)]
    assert apart[0] == pytest.approx(apart[1])


def test_doubt_about_white_makes_a_photo_less_sure(tiny: Model) -> None:
    spread = np.array([[0.5 + step, -0.3 - 1.7 * step, 0.0] for step in (-0.6, 0.0, 0.6)])
    known = photo_evidence(tiny, spread[1:2], CERTAIN, "scratched", trusted=True)
    lost = photo_evidence(tiny, spread, np.full(3, 1 / 3), "scratched", trusted=False)
    assert np.ptp(list(lost.log_photo.values())) < np.ptp(list(known.log_photo.values()))


def test_no_doubt_changes_nothing_and_full_doubt_says_nothing(tiny: Model) -> None:
    row = one([0.5, -0.3, 0.0])
    plain = photo_evidence(tiny, row, CERTAIN, "as-found", trusted=True)
    assert photo_evidence(tiny, row, CERTAIN, "as-found", trusted=True, doubt=0.0) == plain
    lost = photo_evidence(tiny, row, CERTAIN, "as-found", trusted=False, doubt=1.0)
    assert lost == photo_evidence(tiny, row, CERTAIN, "as-found", trusted=False, coloured=False)
    assert np.abs(list(lost.log_photo.values())).max() < 1e-12


@pytest.mark.parametrize("surface", SURFACES)
def test_the_more_doubt_the_nearer_to_nothing_said(tiny: Model, surface: str) -> None:
    """Every material's log photo(m) nears 0, every family's chance its share of training, step by step."""
    row, doubts = one([0.5, -0.3, 0.0]), np.linspace(0, 1, 6)
    found = [photo_evidence(tiny, row, CERTAIN, surface, trusted=True, doubt=float(doubt)) for doubt in doubts]
    logs = np.abs([list(each.log_photo.values()) for each in found])
    base = found[-1].families
    away = np.abs([[each.families[name] - base[name] for name in FAMILIES] for each in found])
    assert (np.diff(logs, axis=0) <= 0).all()
    assert (np.diff(away, axis=0) <= 0).all()
    assert np.ptp(logs, axis=0).max() > 0.5
    assert all(sum(each.families.values()) == pytest.approx(1) for each in found)


def test_the_same_photo_many_times_says_what_it_says_once(tiny: Model) -> None:
    photo = photo_evidence(tiny, one([0.5, -0.3, 0.0]), CERTAIN, "as-found", trusted=True)
    twice = together([photo] * 7)
    assert twice.log_photo == pytest.approx(photo.log_photo)
    assert twice.families == pytest.approx(photo.families)


def test_photos_of_one_part_give_the_mean_of_log_photo_in_any_order(tiny: Model) -> None:
    photos = [
        photo_evidence(tiny, one(row), CERTAIN, "as-found", trusted=trusted)
        for row, trusted in (([0.5, -0.3, 0.0], True), ([0.0, 0.0, 0.0], False), ([0.2, -0.6, 0.3], False))
    ]
    both = together(photos)
    assert together(photos[::-1]).log_photo == pytest.approx(both.log_photo)
    for name, value in both.log_photo.items():
        assert value == pytest.approx(np.mean([photo.log_photo[name] for photo in photos]))
    assert both.trusted_colour
    assert not both.unlike


def test_all_photos_must_be_unlike_before_the_part_is(tiny: Model) -> None:
    near = photo_evidence(tiny, one([0.5, -0.3, 0.0]), CERTAIN, "as-found", trusted=True)
    far = replace(near, unlike=True)
    assert not together([near, far]).unlike
    assert together([far, far]).unlike
