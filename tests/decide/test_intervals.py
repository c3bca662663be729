"""Intervals, against scipy's and against what they promise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import binomtest, bootstrap

from idkit.decide import intervals

COUNTS = [(0, 1), (0, 59), (1, 1), (3, 7), (9, 10), (50, 50), (17, 300), (180, 2000), (1999, 2000)]


@pytest.mark.parametrize(("right", "count"), COUNTS)
def test_wilson_is_scipys(right: int, count: int) -> None:
    expected = binomtest(right, count).proportion_ci(0.95, method="wilson")
    assert intervals.wilson(right, count) == pytest.approx((expected.low, expected.high), abs=1e-9)


@pytest.mark.parametrize(("wrong", "count"), COUNTS)
def test_at_most_is_scipys_exact_bound(wrong: int, count: int) -> None:
    """Clopper and Pearson 1934, one-sided at 95 %."""
    expected = binomtest(wrong, count, alternative="less").proportion_ci(0.95, method="exact")
    assert intervals.at_most(wrong, count) == pytest.approx(expected.high, abs=1e-7)


def test_none_wrong_of_59_is_the_textbook_rule_of_three() -> None:
    """0 of n: 1 - 0.05 ** (1/n), about 3/n (Hanley and Lippman-Hand 1983)."""
    assert intervals.at_most(0, 59) == pytest.approx(1 - 0.05 ** (1 / 59))
    assert intervals.at_most(0, 59) == pytest.approx(3 / 59, rel=0.03)


def test_of_nothing_nothing_is_known() -> None:
    assert all(math.isnan(end) for end in (*intervals.wilson(0, 0), intervals.at_most(0, 0)))
    assert math.isnan(intervals.share_of(0, 0).value)


def test_the_bootstrap_of_single_parts_is_scipys() -> None:
    values = np.random.default_rng(4).normal(2.0, 1.0, 200)
    names = [str(number) for number in range(len(values))]
    expected = bootstrap((values,), np.mean, method="percentile", rng=np.random.default_rng(1)).confidence_interval
    assert intervals.bootstrap(values, names) == pytest.approx((expected.low, expected.high), abs=0.02)


def test_groups_are_drawn_whole() -> None:
    """Ten sessions all right and ten all wrong: what is uncertain is the session, not the 20 parts of each."""
    right = np.repeat([1.0, 0.0], 200)
    alone = intervals.bootstrap(right, [str(i) for i in range(400)])
    sessions = intervals.bootstrap(right, [str(i // 20) for i in range(400)])
    assert sessions[1] - sessions[0] > 3 * (alone[1] - alone[0])
    assert sessions[0] < 0.5 < sessions[1]
    assert intervals.bootstrap(right, [str(i // 20) for i in range(400)]) == sessions


def test_one_group_has_no_interval() -> None:
    assert all(math.isnan(end) for end in intervals.bootstrap(np.ones(5), ["shed"] * 5))
