"""Price lists: read with every wrong cell told, and what a weight fetches by them, worked out by hand."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import yard
from idkit.errors import IdkitError
from idkit.vocabulary import Written, Yard

TODAY = date(2026, 5, 20)
# Invented prices.
LIST = """category,state,price,unit,currency,date,from,minimum,deducted,fee
yellow brass,clean,3.90-4.10,kg,EUR,2026-05-18,,,,
yellow-brass,dirty,2.60,kg,EUR,2026-05-18,,,,
aluminium-cast,clean,0.90,lb,EUR,2026-05-18,,,,
aluminium-cast,clean,1.00,lb,EUR,2026-05-18,100 lb,,,
aluminium-cast,dirty,0.40,lb,EUR,2026-05-18,,,,
light-iron,,180,tonne,EUR,2026-05-01,,,3 %,2.50
sealed-units,,4,each,EUR,2026-05-18,,,,
lead,,1.10,kg,EUR,2026-05-18,,10 kg,,
"""


def read(text: str, one: Yard = Yard("Old Quay Metals")) -> yard.Listed:
    header, *rows = list(csv.reader(io.StringIO(text)))
    cells = [(number, dict(zip(header, row, strict=True))) for number, row in enumerate(rows, start=2)]
    return yard.read_prices("prices.csv", header, cells, one, TODAY)


def worth(category: str, state: str, kg: str, pieces: int | None = None) -> tuple[str, str] | str:
    listed = read(LIST)
    assert not listed.faults
    found = yard.fetched(listed.prices, category, state, Decimal(kg), pieces)
    return (str(found.money.low), str(found.money.high)) if found.money else found.why


def test_worked_examples() -> None:
    # 2.5 kg of clean brass at 3.90 to 4.10 a kg: 2.5 x 3.90 = 9.75, 2.5 x 4.10 = 10.25.
    assert [Decimal(each) for each in worth("yellow-brass", "clean", "2.5")] == [Decimal("9.75"), Decimal("10.25")]
    # A cast housing with steel screws sold dirty: 4.5359237 kg are 10 lb; 10 x 0.40 = 4.00.
    assert Decimal(worth("aluminium-cast", "dirty", "4.5359237")[0]) == Decimal("4.00")
    # The same cleaned loses 0.226796185 kg of screws, half a lb: 9.5 x 0.90 = 8.55.
    assert Decimal(worth("aluminium-cast", "clean", "4.309127515")[0]) == Decimal("8.55")
    # 100 lb reach the next step: 100 x 1.00 = 100.
    assert Decimal(worth("aluminium-cast", "clean", "45.359237")[0]) == Decimal("100")
    # 400 kg of light iron, 3 % deducted: 388 kg, 0.388 t x 180 = 69.84, less the fee of 2.50 = 67.34.
    assert Decimal(worth("light-iron", "", "400")[0]) == Decimal("67.34")
    # Three sealed units at 4 each = 12, whatever they weigh.
    assert Decimal(worth("sealed-units", "", "31", 3)[0]) == Decimal("12")


def test_what_has_no_value_says_why() -> None:
    assert worth("tin", "clean", "1") == "prices.csv has no price for tin"
    assert worth("lead", "", "9.9") == "lead is bought from 10 kg"
    assert worth("sealed-units", "", "9") == "sealed-units is paid by the piece: say how many"
    # A fee larger than the line: nothing, and not less. 5 kg x 0.97 / 1000 x 180 = 0.87, fee 2.50.
    assert worth("light-iron", "", "5") == ("0", "0")


@given(st.decimals("0.001", "5000", places=3), st.sampled_from(["1", "2", "3.5"]))
def test_value_is_linear_in_price(kg: Decimal, factor: str) -> None:
    def at(price: Decimal) -> Decimal:
        text = f"category,price,unit,currency\ncopper,{price},lb,USD\n"
        money = yard.fetched(read(text).prices, "copper", "clean", kg).money
        assert money is not None
        return money.low

    assert at(Decimal("2.04") * Decimal(factor)) == pytest.approx(
        at(Decimal("2.04")) * Decimal(factor), rel=Decimal("1e-20")
    )


def test_a_list_by_decimal_commas_is_the_same_list() -> None:
    assert read(LIST).prices == read(LIST.replace("3.90-4.10", '"3,90 - 4,10"').replace(",0.90,", ',"0,90",')).prices


def test_every_wrong_cell_is_told_by_row_and_column_at_once() -> None:
    wrong = """category,price,unit,currency,date
yelow brass,3,kg,EUR,2026-05-18
copper,lots,kg,EUR,2026-05-18
copper,3,ton,EUR,2026-05-18
tin,3,,EUR,18.5.2026
lead,3,kg,USD,2026-05-18
"""
    told = [str(fault) for fault in read(wrong).faults]
    assert len(told) == 6
    for row, column in ((2, "category"), (3, "price"), (4, "unit"), (5, "unit"), (5, "date"), (6, "currency")):
        assert any(line.startswith(f"prices.csv, row {row}, column {column}: ") for line in told), (row, column)
    assert any("yellow-brass" in line for line in told)


def test_a_price_twice_is_refused() -> None:
    faults = read(LIST + "yellow-brass,clean,4,kg,EUR,2026-05-18,,,,\n").faults
    assert [str(fault).split(";")[0] for fault in faults] == [
        "prices.csv, row 10: prices yellow-brass again, after row 2"
    ]


def test_old_prices_are_said_by_kind() -> None:
    """7 days, and 30 for iron: common practice, no source."""
    doubts = read(LIST.replace("2026-05-18", "2026-05-12").replace("2026-05-01", "2026-04-21")).doubts
    assert len(doubts) == 7
    assert not any("light-iron" in line for line in doubts)
    assert doubts[0] == "prices.csv, row 2: yellow-brass is of 2026-05-12, more than 7 days ago: ask the yard again"
    settled = Yard("Old Quay Metals", stale_days={"other": 8})
    assert read(LIST.replace("2026-05-18", "2026-05-12"), settled).doubts == ()


def test_a_yard_may_use_its_own_names_and_fix_its_ton() -> None:
    own = Yard("Old Quay Metals", names={"yellow-brass": "taps and cocks"}, tons={"ton": "gross-ton"})
    listed = read("category,price,unit,currency\nTaps and Cocks,3000,ton,GBP\n", own)
    assert [(price.category, price.unit.id) for price in listed.prices.prices] == [("yellow-brass", "gross-ton")]


@pytest.mark.parametrize(
    ("typed", "category", "state"),
    [
        ("yellow brass, dirty", "yellow-brass", "dirty"),
        ("Dirty yellow brass", "yellow-brass", "dirty"),
        ("yellow-brass (clean)", "yellow-brass", "clean"),
        ("taps - dirty", "yellow-brass", "dirty"),
        ("dirty brass", "aluminium-bronze", ""),  # a yard's own name is taken whole
    ],
)
def test_clean_or_dirty_may_stand_in_the_name(typed: str, category: str, state: str) -> None:
    own = Yard("Old Quay Metals", names={"yellow-brass": "taps", "aluminium-bronze": "dirty brass"})
    (price,) = read(f'category,price,unit,currency\n"{typed}",3,kg,EUR\n', own).prices.prices
    assert (price.category, price.state) == (category, state)


def test_a_name_and_a_state_that_differ_are_refused() -> None:
    (fault,) = read('category,state,price,unit,currency\n"yellow brass, dirty",clean,3,kg,EUR\n').faults
    assert str(fault).startswith("prices.csv, row 2, column state: got 'clean'")


def test_a_list_without_its_columns_is_refused() -> None:
    with pytest.raises(IdkitError, match="lacks unit, currency"):
        read("category,price\ncopper,3\n")


@given(st.lists(st.integers(1, 10**6), min_size=1, max_size=6, unique=True))
def test_the_highest_step_that_is_reached_holds(steps: list[int]) -> None:
    rows = "".join(f"copper,{number},kg,EUR,{step} g\n" for number, step in enumerate(steps))
    prices = read("category,price,unit,currency,from\n" + rows).prices
    for low, high in pairwise([*sorted(steps), 10**7]):
        price = yard.price_of(prices, "copper", "clean", Decimal(high - 1) / 1000)
        assert price is not None
        assert price.low == steps.index(low)


def test_a_step_of_one_state_that_is_not_reached_leaves_the_price_of_both() -> None:
    # Copper at 5.00 clean or dirty, clean from 10 kg at 6.00: 3 kg of clean copper fetch 15.00, 10 kg 60.00.
    listed = read("category,state,price,unit,currency,from\ncopper,,5,kg,EUR,\ncopper,clean,6,kg,EUR,10 kg\n")
    found = [yard.fetched(listed.prices, "copper", "clean", Decimal(kg)).money for kg in (3, 10)]
    assert [each and each.low for each in found] == [Decimal(15), Decimal(60)]


def test_of_two_categories_that_are_put_with_each_other_the_later_word_holds() -> None:
    words = (("copper-clad", "light-iron"), ("light-iron", "cast-iron"), ("cast-iron", "copper-clad"))
    lines = [Written(n, "", "yard", "any", "new", {"merged": dict([each])}) for n, each in enumerate(words)]
    at = yard.yards_in(lines).known["any"]
    assert {yard.goes_with(at, one) for one in ("copper-clad", "light-iron", "cast-iron")} == {"copper-clad"}
