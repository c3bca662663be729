"""Clean or sell as is, worked out by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import yard
from idkit.errors import CallError
from idkit.vocabulary import PriceList, Yard

AT, D, ONE = Yard("Old Quay Metals"), Decimal, Decimal(1)
# Invented prices.
ROWS = [("aluminium-cast", "clean", "0.95"), ("aluminium-cast", "dirty", "0.40"), ("zinc", "", "1.10"),
        ("light-iron", "", "0.17")]  # fmt: skip


def prices(factor: int = 1) -> PriceList:
    header = ["category", "state", "price", "unit", "currency"]
    cells = [
        (n, dict(zip(header, (*row[:2], str(D(row[2]) * factor), "kg", "EUR"), strict=True)))
        for n, row in enumerate(ROWS, 2)
    ]
    found = yard.read_prices("prices.csv", header, cells, AT, date(2026, 5, 20))
    assert not found.faults
    return found.prices


def soiled(kg: str, off: str, piles: dict[str, Decimal] | None = None, minutes: str | None = "4") -> yard.Soiled:
    screws = yard.Off("steel screws", D(off), "light-iron")
    return yard.Soiled("pump body", D(kg), piles or {"aluminium-cast": ONE}, (screws,), D(minutes) if minutes else None)


def test_a_casting_with_steel_screws_sold_dirty_against_cleaned() -> None:
    found = yard.cleaned(soiled("2.4", "0.15"), prices(), AT, D(12))
    assert found.dirty.low == D("0.960")  # 2.4 x 0.40
    assert found.clean.low == D("2.1375")  # 2.25 x 0.95
    assert found.came_off.low == D("0.0255")  # 0.15 x 0.17
    assert found.more == D("1.2030")  # 2.1375 + 0.0255 - 0.96
    assert found.an_hour == D("18.045")  # 1.203 x 60 / 4
    assert found.even == D("6.015")  # 1.203 / 12 x 60 minutes
    assert found.pays is True
    assert yard.cleaned(soiled("2.4", "0.15", minutes="7"), prices(), AT, D(12)).pays is False
    assert yard.cleaned(soiled("2.4", "0.15", minutes=None), prices(), AT, D(12)).pays is None


def test_what_is_paid_alike_either_way_is_sold_as_it_is() -> None:
    # Zinc: 2.4 x 1.10 = 2.64 as it is; 2.25 x 1.10 = 2.475 and 0.0255 of screws: 0.1395 less.
    found = yard.cleaned(soiled("2.4", "0.15", {"zinc": ONE}), prices(), AT, D(12))
    assert found.more == D("-0.1395")
    assert found.pays is False
    assert found.even is None


def test_with_doubt_the_chances_count() -> None:
    # 7 in 10 cast aluminium: dirty 0.7 x 0.96 + 0.3 x 2.64 = 1.464; clean 0.7 x 2.1375 + 0.3 x 2.475 = 2.23875.
    found = yard.cleaned(soiled("2.4", "0.15", {"aluminium-cast": D("0.7"), "zinc": D("0.3")}), prices(), AT, None)
    assert found.more == D("2.23875") + D("0.0255") - D("1.464")
    assert (found.dirty.low, found.dirty.high) == (D("0.960"), D("2.640"))


@pytest.mark.parametrize("off", ["0", "2.4", "3"])
def test_what_comes_off_is_less_than_the_whole(off: str) -> None:
    with pytest.raises(CallError, match="--off"):
        yard.cleaned(soiled("2.4", off), prices(), AT, None)


def test_without_a_price_it_says_which() -> None:
    with pytest.raises(CallError, match="no price for tin, dirty"):
        yard.cleaned(soiled("2.4", "0.1", {"tin": ONE}), prices(), AT, None)


@given(st.decimals("0.5", "50", places=3), st.decimals("0.001", "0.4", places=3), st.sampled_from([1, 2, 7]))
def test_mass_is_kept_and_money_linear_in_price(kg: Decimal, off: Decimal, factor: int) -> None:
    part = soiled(str(kg), str(off))
    one, more = yard.cleaned(part, prices(), AT, None), yard.cleaned(part, prices(factor), AT, None)
    assert more.more == factor * one.more
    # What is paid clean and what comes off weigh as much as the whole: at one price for all, cleaning changes nothing.
    kilos = one.clean.low / D("0.95") + one.came_off.low / D("0.17")
    assert kilos == pytest.approx(kg, rel=D("1e-20"))


@given(st.permutations(["0.05", "0.10", "0.15", "0.20", "0.30"]))
def test_a_bench_is_ordered_by_what_an_hour_brings_whatever_order_it_came_in(offs: list[str]) -> None:
    found = [yard.cleaned(soiled("2", off), prices(), AT, D(12)) for off in offs]
    assert [each.soiled.off[0].kg for each in yard.in_order(found)] == [
        D(n) for n in ("0.05", "0.10", "0.15", "0.20", "0.30")
    ]


def test_what_nobody_timed_comes_last_by_money() -> None:
    timed, untimed = (yard.cleaned(soiled("2", off, minutes=took), prices(), AT, D(12)) for off, took in
                      (("0.30", "5"), ("0.05", None)))  # fmt: skip
    assert yard.in_order([untimed, timed]) == [timed, untimed]
