"""Weights, numbers and money, exact."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import yard
from idkit.errors import IdkitError
from idkit.vocabulary import Money

# NIST Handbook 44, Appendix C, tables of avoirdupois units: kg, the values in bold there being exact.
HANDBOOK_44 = {
    "lb": "0.45359237",
    "oz": "0.028349523125",
    "net-ton": "907.18474",
    "gross-ton": "1016.0469088",
    "cwt-100": "45.359237",
    "cwt-112": "50.80234544",
    "tonne": "1000",
}


@pytest.mark.parametrize(("unit", "kg"), HANDBOOK_44.items())
def test_units_are_those_of_the_handbook(unit: str, kg: str) -> None:
    assert yard.UNITS[unit].kg == Decimal(kg)


@given(
    st.decimals("0.001", "99999", places=3),
    st.sampled_from([unit for unit in yard.UNITS if unit != "each"]),
)
def test_a_weight_comes_back_as_it_was_typed(amount: Decimal, unit: str) -> None:
    weighed = yard.weight(f"{amount} {unit}", "gross")
    assert yard.amount_in(weighed.kg, yard.UNITS[unit]) == amount


@pytest.mark.parametrize("bare", ["t", "ton", "tons", "cwt"])
def test_a_bare_ton_is_refused_until_the_yard_says_which(bare: str) -> None:
    with pytest.raises(IdkitError, match="more than one weight"):
        yard.unit_of(bare, "unit")
    for meant in yard.TON_OR_CWT[bare]:
        assert yard.unit_of(bare, "unit", {bare: meant}).id == meant


@pytest.mark.parametrize(
    ("typed", "read"),
    [("1.20", "1.20"), ("1,20", "1.20"), ("1.234,50", "1234.50"), ("1,234.50", "1234.50"), ("1 234,5", "1234.5")]
    + [("0,125", "0.125"), ("12'500.5", "12500.5"), ("7", "7"), (".5", "0.5"), ("1,234,567", "1234567")],
)
def test_numbers_as_people_write_them(typed: str, read: str) -> None:
    assert yard.number(typed, "price") == Decimal(read)


@pytest.mark.parametrize(
    "typed",
    ["", "1,234", "abc", "1,2,3", "-1", "1e5", "1.2.3", "NaN", "9" * 30]
    + ["1 20", "12 5", "1.2 5", "1'20", "9" * 13],  # a space or ' stands before three digits, or a digit is lost
)
def test_other_numbers_are_refused_in_one_line(typed: str) -> None:
    with pytest.raises(IdkitError, match=r"^price: [^\n]*; right is "):
        yard.number(typed, "price")


def test_a_weight_keeps_the_step_of_its_scale() -> None:
    assert yard.weight("12.50 kg", "net").step == Decimal("0.01")
    assert yard.weight("250 g", "net").kg == Decimal("0.250")
    for wrong in ("12", "12 each", "kg", "", "12 stone"):
        with pytest.raises(IdkitError, match="net: "):
            yard.weight(wrong, "net")


def test_huge_amounts_are_still_said() -> None:
    most = yard.number("9" * 12, "price")
    kg = yard.weight(f"{'9' * 12} gross-ton", "net").kg
    assert yard.said(Money(most * kg, most * kg, "EUR")).endswith(" EUR")
    assert yard.said_kg(kg).endswith(" kg")
    assert yard.rounded(Decimal("10.4"), "VUV") == 10  # no coin under one (ISO 4217)


def test_money_rounds_once_and_keeps_to_one_currency() -> None:
    third = Money(Decimal(1) / 3, Decimal(1) / 3, "EUR")
    assert yard.said(yard.summed([third] * 3, "EUR")) == "1.00 EUR"
    with pytest.raises(IdkitError, match="USD beside EUR"):
        yard.summed([Money(Decimal(1), Decimal(1), "USD")], "EUR")
    for wrong in ("$", "euro", "", "12"):
        with pytest.raises(IdkitError, match="three letters"):
            yard.currency_of(wrong, "currency")


def test_a_weight_in_tons_is_never_a_ton_uncertain() -> None:
    assert yard.weight("2 tonne", "gross").step == 20  # a hundredth
    assert yard.weight("2.36 tonne", "gross").step == 10  # its last digit
    assert yard.weight("2360 kg", "gross").step == 1
