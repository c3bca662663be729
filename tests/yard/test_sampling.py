"""What looking at some pieces shows, against scipy and against what was published."""

from __future__ import annotations

from collections import Counter
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta, chi2, hypergeom

from idkit import flows, yard
from idkit.flows.heap_checks import shown

COUNTS = st.integers(1, 400).flatmap(
    lambda there: st.integers(1, there).flatmap(
        lambda seen: st.tuples(st.just(there), st.just(seen), st.integers(0, min(seen, 6)))
    )
)


@given(COUNTS)
def test_the_most_that_may_be_wrong_is_that_of_scipy(counts: tuple[int, int, int]) -> None:
    """The largest number of wrong ones under which so few are found 1 time in 20 or oftener (scipy.stats.hypergeom)."""
    there, seen, wrong = counts
    most = yard.most_wrong(there, seen, wrong)
    assert hypergeom.cdf(wrong, there, most, seen) >= 0.05 - 1e-9
    if most < there - (seen - wrong):
        assert hypergeom.cdf(wrong, there, most + 1, seen) < 0.05 + 1e-9


@given(st.integers(1, 2000), st.integers(0, 5))
def test_an_uncounted_pile_is_clopper_and_pearson_by_scipy(seen: int, wrong: int) -> None:
    """Upper end of the one-sided 95 % interval: the 0.95 quantile of beta (wrong + 1, seen - wrong)."""
    if wrong < seen:
        told = shown(None, seen, wrong)
        assert told.share == pytest.approx(beta.ppf(0.95, wrong + 1, seen - wrong), rel=1e-6)
        assert told.pieces is None


@pytest.mark.parametrize("seen", [30, 50, 100, 300, 1000])
def test_none_wrong_is_the_rule_of_three(seen: int) -> None:
    """Hanley and Lippman-Hand, JAMA 249 (1983) 1743: none among n leaves at most 3 / n, for n of 30 and over.

    A pile far larger than what was looked at says the same.
    """
    assert shown(None, seen, 0).share == pytest.approx(3 / seen, rel=0.06)
    assert shown(1000 * seen, seen, 0).share == pytest.approx(3 / seen, rel=0.06)


def test_by_hand() -> None:
    """Of 5 pieces 4 are looked at and none is wrong. With 1 wrong, none is found 1 time in 5: so 1 may be wrong.

    With 2 wrong, one of them is always found.
    """
    assert comb(4, 4) / comb(5, 4) == 0.2
    assert yard.most_wrong(5, 4, 0) == 1
    assert yard.most_wrong(5, 5, 0) == 0
    assert yard.most_wrong(5, 5, 2) == 2


def test_what_is_said_holds_19_times_in_20() -> None:
    """The truth painted: piles of 60 with any number wrong; how often the bound falls short of it, exactly."""
    for bad in range(61):
        short = sum(hypergeom.pmf(found, 60, bad, 12) for found in range(13) if yard.most_wrong(60, 12, found) < bad)
        assert short < 0.05 + 1e-9


def test_every_piece_is_drawn_as_often() -> None:
    """Pearson's chi-squared over 2000 draws of 3 from 10: 9 degrees of freedom, passed 999 times in 1000."""
    seen = Counter(piece for seed in range(2000) for piece in yard.drawn(10, 3, seed))
    assert sorted(seen) == list(range(1, 11))
    spread = sum((count - 600) ** 2 / 600 for count in seen.values())
    assert spread < chi2.ppf(0.999, 9)
    assert yard.drawn(10, 3, 7) == yard.drawn(10, 3, 7)


def test_the_whole_path(tmp_path: object) -> None:
    flows.new_pile("taps", "yellow brass")
    flows.add_to_pile("taps", "", "door handles", 40, "9 kg")
    flows.add_to_pile("taps", "", "tap", 1, "1 kg")
    found = flows.check_pile("taps", 10, 7)
    assert (found.there, len(found.pieces), found.shown.looked_at) == (41, 10, 10)
    assert found.shown.pieces == yard.most_wrong(41, 10, 0)
    assert found.heap.checked is None
    whole = flows.check_pile("taps", 41, 7).pieces
    assert [(piece.lot.what, piece.which) for piece in whole] == [
        *(("door handles", which) for which in range(1, 41)),
        ("tap", 1),
    ]
    kept = flows.check_pile("taps", 10, 7, wrong=1).heap.checked
    assert kept is not None
    assert (kept.looked_at, kept.wrong, kept.there) == (10, 1, 41)
