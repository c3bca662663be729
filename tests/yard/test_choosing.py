"""Which pile when not sure, worked out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import yard

D = Decimal
WORTH = {"zinc": D("0.88"), "aluminium-cast": D("0.76")}  # a part of 0.8 kg at 1.10 and 0.95 a kg
A_KG = {"zinc": D("1.10"), "aluminium-cast": D("0.95")}
CHANCES = {"zinc": D("0.4"), "aluminium-cast": D("0.6")}
BUCKET = {"zinc": yard.Bucket(D(10), D("1.10"))}


def test_without_buckets_a_wrong_pile_costs_the_dearer_price_alone() -> None:
    # On zinc: 0.4 x 0.88 + 0.6 x 0.76 = 0.808. On aluminium: 0.4 x 0.76 + 0.6 x 0.76 = 0.76.
    found = yard.bets(CHANCES, WORTH, A_KG, {})
    assert [(bet.pile, bet.expected, bet.spoils) for bet in found] == [
        ("zinc", D("0.808"), D(0)),
        ("aluminium-cast", D("0.760"), D(0)),
    ]
    # Asking the yard: 0.4 x 0.88 + 0.6 x 0.76 = 0.808, no more than the best bet.
    assert yard.known(CHANCES, WORTH) == D("0.808")


def test_a_bucket_that_a_wrong_part_spoils_turns_the_bet() -> None:
    # Ten kg of zinc at 1.10 are bought at aluminium's 0.95 where the part is one: 10 x 0.15 = 1.50, 6 times in 10 0.90.
    found = yard.bets(CHANCES, WORTH, A_KG, BUCKET)
    assert [(bet.pile, bet.expected, bet.spoils) for bet in found] == [
        ("aluminium-cast", D("0.760"), D(0)),
        ("zinc", D("-0.092"), D("0.900")),
    ]
    assert yard.known(CHANCES, WORTH) - found[0].expected == D("0.048")  # what asking the yard is worth


def test_a_dearer_part_does_not_raise_a_cheaper_bucket() -> None:
    assert yard.lost("zinc", "aluminium-cast", A_KG, yard.Bucket(D(10), D("0.95"))) == 0


def test_gains_are_what_each_bet_brings() -> None:
    table = yard.gains(["zinc", "aluminium-cast"], ["zinc", "aluminium-cast"], WORTH, A_KG, BUCKET)
    assert table == [[D("0.88"), D("0.76")], [D("0.76") - D("1.50"), D("0.76")]]


@given(st.decimals("0.01", "0.99", places=2), st.decimals("0", "90", places=1), st.sampled_from([2, 3, 10]))
def test_knowing_is_never_worth_less_than_betting_and_money_is_linear(p: Decimal, kg: Decimal, factor: int) -> None:
    chances = {"zinc": p, "aluminium-cast": 1 - p}
    buckets = {"zinc": yard.Bucket(kg, A_KG["zinc"])}
    best = yard.bets(chances, WORTH, A_KG, buckets)[0]
    assert yard.known(chances, WORTH) >= best.expected
    dearer = {pile: factor * each for pile, each in WORTH.items()}, {pile: factor * each for pile, each in A_KG.items()}
    scaled = {"zinc": yard.Bucket(kg, factor * A_KG["zinc"])}
    assert yard.bets(chances, *dearer, scaled)[0].expected == pytest.approx(factor * best.expected)
