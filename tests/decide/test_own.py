"""What was learnt from own parts: densities against published forms, and what it may and may not move."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, multivariate_t

from idkit.decide import own
from idkit.decide.adapting import fit
from idkit.decide.classifier import Model, photo_evidence
from idkit.decide.cross_validation import choose, cross_fitted, losses, probably_better
from idkit.decide.own_part import OwnPart, Seen, chances
from idkit.flows import own_parts, starter
from idkit.vocabulary import Floats

GROUND = own_parts.ground_of(starter())
NAMES = list(GROUND.materials)


def test_the_density_is_that_of_the_conjugate_normal() -> None:
    """Murphy 2007, equations 250 to 258, worked out step by step; Student's t by scipy."""
    random = np.random.default_rng(4)
    mean, root = random.normal(size=3), random.normal(size=(3, 3))
    covariance, parts, rows = root @ root.T + np.eye(3), random.normal(size=(7, 3)), random.normal(size=(5, 3))
    k, n, d = 4.0, 7, 3
    nu, psi = (
        k + d + 1,
        k * covariance,
    )  # so that the prior mean of the covariance, psi / (nu - d - 1), is the starter's
    middle = parts.mean(axis=0)
    spread = (parts - middle).T @ (parts - middle)
    after = psi + spread + k * n / (k + n) * np.outer(middle - mean, middle - mean)
    freedom = nu + n - d + 1
    wanted = multivariate_t(
        (k * mean + n * middle) / (k + n), after * (k + n + 1) / ((k + n) * freedom), df=freedom
    ).logpdf(rows)
    found = own.predictive(rows, k, mean, covariance, n, parts.sum(axis=0), parts.T @ parts)
    assert found == pytest.approx(wanted, rel=1e-10)


def test_without_parts_and_with_all_the_weight_it_is_the_normal_of_the_starter() -> None:
    rows = np.random.default_rng(1).normal(size=(5, 2))
    found = own.predictive(rows, 1e8, np.zeros(2), np.eye(2), 0.0, np.zeros(2), np.zeros((2, 2)))
    assert found == pytest.approx(multivariate_normal(np.zeros(2)).logpdf(rows), rel=1e-5)


@given(st.permutations(range(12)))
def test_the_order_of_parts_does_not_matter(order: list[int]) -> None:
    parts = made(["copper", "lead", "tin"] * 4, seed=3)
    one, other = (fit([parts[n] for n in each], GROUND, (5.0, 30.0)) for each in (range(12), order))
    assert one.sums.total == pytest.approx(other.sums.total)
    assert one.offset == pytest.approx(other.offset)


def test_nothing_learnt_changes_nothing() -> None:
    model, parts = starter(), made(["copper"] * 12, seed=1)
    empty = fit(parts, GROUND, (np.inf, np.inf))
    assert chances(parts, empty, GROUND) == pytest.approx(chances(parts, None, GROUND))
    rows = np.array([[10.0, 15.0, 0.2, 0.6, 0.4, 0.0]])
    one, two = (
        photo_evidence(each, rows, np.ones(1), "as-found", trusted=True) for each in (model, _with(model, empty))
    )
    assert one == two


def test_a_material_without_own_parts_keeps_its_density() -> None:
    found = fit(made(["copper"] * 12, seed=1), GROUND, (5.0, np.inf))
    shift, _ = own.moved(found, GROUND.spread, np.zeros((1, 6)), "as-found")
    moved = {name for name, at in zip(found.materials, shift[0].tolist(), strict=True) if at}
    assert moved == {"copper"}


def test_what_learning_reckons_is_what_the_model_says() -> None:
    """The chances that training scores are those that identify gives of the same photo."""
    parts = made(["copper", "lead"] * 10, seed=2)
    learnt = fit(parts, GROUND, (5.0, 30.0))
    table = chances(parts, learnt, GROUND)
    model = _with(starter(), learnt)
    for part, row in zip(parts, table, strict=True):
        raw = part.seen[0].rows * starter().spread + starter().centre
        said = photo_evidence(model, raw, np.ones(1), "as-found", trusted=True)
        logs = np.array([said.log_photo[name] for name in NAMES]) + part.prior
        given_ = np.exp(logs - logs.max())
        assert row == pytest.approx(given_ / given_.sum(), abs=1e-6)


def test_few_parts_teach_a_bias_alone() -> None:
    found = fit(made(["copper"] * 9, seed=1), GROUND, (5.0, 3.0))
    assert np.isinf(found.k)
    assert not found.offset.any()
    assert found.lift[found.materials.index("copper")] > 0 > found.lift[found.materials.index("lead")]
    # Parts found 9, expected e, 5 added to both: ln((9 + 5) / (e + 5)).
    expected = chances(made(["copper"] * 9, seed=1), None, GROUND)[:, NAMES.index("copper")].sum()
    assert found.lift[found.materials.index("copper")] == pytest.approx(np.log(14 / (expected + 5)))


def test_own_parts_under_another_camera_are_learnt() -> None:
    parts = made(["copper", "yellow-brass", "lead", "plastic"] * 8, seed=5, off=1.0)
    after = cross_fitted(parts, GROUND, np.random.default_rng(1))
    before = losses(chances(parts, None, GROUND), parts)
    assert losses(after, parts).mean() < 0.8 * before.mean()


def test_labels_of_ones_own_never_test() -> None:
    parts = [replace(part, tests=False) for part in made(["copper", "lead"] * 10, seed=2)]
    strength, by = choose(parts, GROUND, np.random.default_rng(1))
    assert np.isinf(strength).all()
    assert by == {}


def test_parts_of_one_group_are_never_on_both_sides() -> None:
    """Each photo twice under one group: what is learnt of it must not come back to it, so its chances do not rise."""
    parts = [replace(part, group=n // 2) for n, part in enumerate(made(["copper", "copper"] * 2, seed=8))]
    alone = cross_fitted([parts[0], parts[1]], GROUND, np.random.default_rng(1))
    assert alone == pytest.approx(chances(parts[:2], None, GROUND))


def test_a_set_valued_label_teaches_all_its_materials_by_their_chances() -> None:
    both = np.array([float(name in ("copper", "tin-bronze")) for name in NAMES])
    parts = [replace(part, is_one_of=both) for part in made(["copper"] * 12, seed=1)]
    count = fit(parts, GROUND, (5.0, np.inf)).sums.count.sum(axis=1)
    shares = {name: count[n] for n, name in enumerate(starter_names())}
    assert sum(shares.values()) == pytest.approx(12)
    assert shares["copper"] + shares["tin-bronze"] == pytest.approx(12)
    assert shares["copper"] > 0.1


def test_the_flips_agree_with_counting_them_all() -> None:
    """Four groups have 16 sign patterns; gains 3, 2, 1, -1 sum to 5, which 13 stay under and 2 reach."""
    gains = np.array([3.0, 2.0, 1.0, -1.0])
    patterns = np.array(np.meshgrid(*[[-1, 1]] * 4)).reshape(4, -1).T @ gains
    exact = (patterns < 5).mean() + (patterns == 5).mean() / 2
    assert exact == 14 / 16
    assert probably_better(gains, range(4), np.random.default_rng(1)) == pytest.approx(exact, abs=0.03)


def starter_names() -> tuple[str, ...]:
    return tuple(NAMES[n] for n in GROUND.modelled)


def made(kinds: list[str], seed: int, off: float = 0.0) -> list[OwnPart]:
    """Parts whose cues are drawn from the starter's own spread of their material, `off` added to all."""
    random, model = np.random.default_rng(seed), starter()
    found = []
    for number, kind in enumerate(kinds):
        at = starter_names().index(kind)
        row = random.multivariate_normal(GROUND.spread.mean[at, 0], GROUND.spread.covariance[at, 0]) + off
        rows: Floats = np.clip(row, -3.9, 3.9)[None]
        said = photo_evidence(model, rows * model.spread + model.centre, np.ones(1), "as-found", trusted=True)
        log_photo = np.array([said.log_photo[name] for name in NAMES])
        one_of = np.array([float(name == kind) for name in NAMES])
        seen = (Seen(rows, np.ones(1), log_photo, 0.02, False),)
        zero = np.zeros(len(NAMES))
        found.append(OwnPart(number, number, "as-found", one_of, 1.0, True, False, zero, zero, "", seen))
    return found


def _with(model: Model, learnt: own.Own) -> Model:
    return replace(model, own=learnt, centre=model.centre + learnt.offset * model.spread)
