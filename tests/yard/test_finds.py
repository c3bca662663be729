"""Finds: masses that add up or are refused, and whole against stripped, worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import flows, keep, yard
from idkit.errors import CallError
from idkit.vocabulary import Answer, Entry, Money, Price, PriceList, Weighed

KG = yard.UNITS["kg"]
# Invented prices, one currency.
PRICES = PriceList("list", "EUR", (
    Price(2, "light-iron", "", Decimal("0.18"), Decimal("0.18"), KG, fee=Decimal(2), minimum_kg=Decimal(50)),
    Price(3, "electric-motors", "", Decimal("0.60"), Decimal("0.80"), KG),
    Price(4, "aluminium-sheet", "clean", Decimal("1.00"), Decimal("1.00"), KG),
))  # fmt: skip
HOLDS = flows.InUse(prices=PRICES)
PART = ["motor=electric motors=1.10 kg", "rest=light iron=2.08 kg"]
FULL = ["motor=electric motors=1.10 kg", "blades=aluminium sheet=0.24 kg=clean", "cage=light iron=1.40 kg"]


def fan() -> None:
    flows.new_find("desk fan", "3.20 kg", "light iron")


def strip(way: str, parts: list[str], loss: str, minutes: str, **more: bool) -> flows.Strip:
    return flows.Strip(way, parts, loss, minutes, more.get("plan", True), more.get("onto_piles", False))


def grams(number: int) -> Weighed:
    return Weighed(Decimal(number) / 1000, Decimal("0.001"), f"{number} g")


def test_a_fan_by_hand() -> None:
    """Whole 3.20 x 0.18 = 0.576: on a pile of iron neither the fee nor the least weight is the fan's.

    Part strip: 1.10 x 0.60 to 0.80 = 0.66 to 0.88, and 2.08 x 0.18 = 0.3744: together 1.0344 to 1.2544. The middle,
    1.1444, is 0.5684 more than whole, in 6 minutes: 5.684 an hour.
    Full strip: 0.66 to 0.88, 0.24 x 1.00 = 0.24, 1.40 x 0.18 = 0.252: 1.152 to 1.372, the middle 0.686 more in 15
    minutes, 2.744 an hour. An hour worth 4: part 1.1444 - 0.40 = 0.7444, full 1.262 - 1.00 = 0.262, whole 0.576.
    """
    fan()
    flows.split_find("desk fan", strip("part", PART, "20 g", "6"))
    found = flows.split_find("desk fan", strip("full", FULL, "460 g", "15"), "4", HOLDS)
    whole, part, full = found.outcomes
    assert [each.way for each in found.outcomes] == ["whole", "part", "full"]
    assert whole.money == Money(Decimal("0.5760"), Decimal("0.5760"), "EUR")
    assert (part.money.low, part.money.high) == (Decimal("1.0344"), Decimal("1.2544"))
    assert part.an_hour == Decimal("5.684")
    assert (full.money.low, full.money.high, full.an_hour) == (Decimal("1.152"), Decimal("1.372"), Decimal("2.744"))
    assert [each.net for each in found.outcomes] == [Decimal("0.576"), Decimal("0.7444"), Decimal("0.262")]
    assert found.best == part
    dear = flows.split_find("desk fan", None, "12", HOLDS)
    assert dear.best == dear.outcomes[0]  # leave it whole
    richest = flows.split_find("desk fan", None, holds=HOLDS).best
    assert richest is not None
    assert richest.way == "full"  # where time costs nothing


def test_every_gram_has_its_line() -> None:
    fan()
    flows.split_find("desk fan", strip("part", PART, "10 g", "6"))
    (way,) = flows.split_find("desk fan", None).find.ways
    # 3.20 - 1.10 - 2.08 - 0.01 = 0.01: within the four steps, 0.01 + 0.01 + 0.01 + 0.01 (10 g is read to 1 g: 0.001).
    assert (way.lost, way.rounding) == (Decimal("0.010"), Decimal("0.010"))
    assert sum((part.weighed.kg for part in way.parts), way.lost + way.rounding) == Decimal("3.20")


@given(st.lists(st.integers(1, 5000), min_size=1, max_size=6), st.integers(0, 900), st.integers(-20, 20), st.randoms())
def test_mass_is_kept_and_order_does_not_matter(parts: list[int], lost: int, off: int, random: object) -> None:
    whole = grams(sum(parts) + lost + off)
    every = [grams(each) for each in parts]
    loss = grams(lost) if lost else None
    room = 1 + len(parts) + (1 if lost else 0)  # a step of 1 g for each weighing
    if whole.kg <= 0:
        return
    if abs(off) > room:
        with pytest.raises(CallError, match="less than the whole|more than the whole"):
            yard.remaining(whole, every, loss, "--gives")
        return
    left = yard.remaining(whole, every, loss, "--gives")
    assert sum((each.kg for each in every), left + (loss.kg if loss else 0)) == whole.kg
    assert yard.remaining(whole, every[::-1], loss, "--gives") == left


def test_a_split_that_does_not_add_up_is_refused_in_one_line_and_nothing_is_written() -> None:
    fan()
    before = keep.acts()
    with pytest.raises(CallError, match=r"0.46 kg less than the whole 3.20 kg.*--loss '0.46 kg'") as told:
        flows.split_find("desk fan", strip("full", FULL, "", "15"))
    assert "\n" not in str(told.value)
    with pytest.raises(CallError, match=r"0.9 kg more than the whole"):
        flows.split_find("desk fan", strip("full", [*FULL, "x=tin=1.36 kg"], "", "15"))
    assert keep.acts() == before


def test_parts_go_onto_the_one_pile_of_their_kind() -> None:
    fan()
    flows.new_pile("motors", "electric motors")
    for name in ("iron", "more iron"):
        flows.new_pile(name, "light iron")
    found = flows.split_find("desk fan", strip("full", FULL, "460 g", "15", plan=False, onto_piles=True))
    assert [(each.what, each.pile) for each in found.placed] == [("motor", "motors"), ("blades", ""), ("cage", "")]
    assert [each.why for each in found.placed[1:]] == [
        "there is no pile for it",
        "on one of iron, more iron: say which with idkit pile add",
    ]
    (motors,) = flows.list_piles("motors")
    assert (motors.mass.kg, motors.heap.held.lots[0].what) == (Decimal("1.10"), "motor of desk fan")
    with pytest.raises(CallError, match="its parts went onto motors"):
        flows.split_find("desk fan", strip("part", PART, "20 g", "6", plan=False))
    with pytest.raises(CallError, match="call this one otherwise"):
        fan()


def test_a_correction_is_a_new_line() -> None:
    fan()
    flows.new_find("desk fan", "3.25 kg", "light iron")
    flows.split_find("Desk Fan", strip("part", PART, "70 g", "6", plan=False))
    found = flows.split_find("desk fan", strip("part", PART, "80 g", "7", plan=False)).find
    assert [(way.lost, way.minutes) for way in found.ways] == [(Decimal("0.080"), Decimal(7))]
    assert len(keep.acts("find")) == 4


def test_a_plan_does_not_take_the_place_of_what_was_done() -> None:
    fan()
    flows.split_find("desk fan", strip("part", PART, "20 g", "6", plan=False))
    with pytest.raises(CallError, match="was taken apart so"):
        flows.split_find("desk fan", strip("part", PART, "20 g", "9"))
    found = flows.split_find("desk fan", strip("full", FULL, "460 g", "15")).find  # the other way may be planned
    assert [(way.way, way.done, way.minutes) for way in found.ways] == [("part", True, 6), ("full", False, 15)]


def test_a_corrected_weight_is_told() -> None:
    assert flows.new_find("toaster", "2.00 kg", "light iron").weighed_before == ""
    assert flows.new_find("toaster", "2.00 kg", "light iron", note="rusty").weighed_before == ""
    assert flows.new_find("Toaster", "1.50 kg", "light iron").weighed_before == "2 kg"


def test_what_has_no_price_is_not_worth_nothing() -> None:
    """The motor has no price: 20 kg of iron bring less than 30, yet nobody can say that it is best left whole.

    Where the iron alone brings more than the whole, which is cheap, the rest need not be known.
    """
    iron = replace(PRICES, prices=PRICES.prices[:1])
    motor = ["motor=electric motors=10 kg", "case=light iron=20 kg"]
    flows.new_find("washer", "30 kg", "light iron")
    found = flows.split_find("washer", strip("full", motor, "", "10"), "5", flows.InUse(prices=iron))
    assert found.unpriced == ("electric-motors",)
    assert found.best is None
    flows.new_find("radio", "3 kg", "whole appliances")
    found = flows.split_find("radio", strip("full", ["case=light iron=3 kg"], "", "10"), "5", flows.InUse(prices=iron))
    assert found.unpriced == ("appliances",)
    assert found.outcomes[1].an_hour is None
    cheap = replace(iron, prices=(*iron.prices, Price(5, "appliances", "", Decimal("0.01"), Decimal("0.01"), KG)))
    parts = ["board=circuit boards=1 kg", "case=light iron=2 kg"]
    flows.new_find("printer", "3 kg", "whole appliances")
    found = flows.split_find("printer", strip("full", parts, "", "1"), "5", flows.InUse(prices=cheap))
    assert found.unpriced == ()
    assert found.best is not None
    assert found.best.way == "full"


def test_dangers_in_opening_it_are_said() -> None:
    assert flows.new_find("microwave oven", "13 kg", "light iron").dangers
    assert flows.new_find("cooling unit", "9 kg", "sealed units").dangers  # by what it is sold as
    assert not flows.new_find("garden lamp", "1 kg", "light iron").dangers


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("motor=electric motors", "WHAT=CATEGORY=WEIGHT"),
        ("motor=elektric moters=1 kg", "no category here; right is electric"),
        ("motor=electric motors=1", "--gives motor: got '1'"),
        ("motor=electric motors=1 kg=shiny", "clean or dirty"),
    ],
)
def test_a_part_typed_wrong_is_one_line(part: str, words: str) -> None:
    fan()
    with pytest.raises(CallError, match=words):
        flows.split_find("desk fan", strip("full", [part], "", "3"))


def test_another_thing_of_that_name_does_not_take_its_place_and_a_danger_stays() -> None:
    flows.new_find("heater", "3.20 kg", "light iron", note="gas bottle in it")
    with pytest.raises(CallError, match=r"heater is there already: 3.2 kg, light iron.*'heater 2'"):
        flows.new_find("Heater", "2.00 kg", "zinc")
    found = flows.new_find("heater", "3.25 kg", "")
    assert found.dangers
    assert (found.find.weighed.kg, found.find.note) == (Decimal("3.25"), "gas bottle in it")


def test_a_record_is_taken_apart_once() -> None:
    weight = Answer("weight", 0.651, "kg", 0.001, "0.651 kg")
    entry = Entry(
        "tap", "identify", "as-found", {"weight": weight}, {"zinc-die-cast": 1.0}, "zinc", True, ("m", "d"), {}, ()
    )
    record = str(keep.add(entry, None))
    for name in ("one", "two"):
        flows.new_find(name, "", "", record=record)
    flows.split_find("one", strip("full", ["bits=zinc=0.651 kg"], "", "1", plan=False))
    with pytest.raises(CallError, match="was taken apart as one"):
        flows.split_find("two", strip("full", ["bits=zinc=0.651 kg"], "", "1", plan=False))
