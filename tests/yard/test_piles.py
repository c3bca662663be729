"""Piles: what lies on them and weighs, worked out by hand, whatever the order; and what a load takes of one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from idkit import yard
from idkit.errors import CallError
from idkit.vocabulary import Money, Price, PriceList, Weighed, Written, Yard

Act = tuple[str, str, str, Mapping[str, Any]]


def written(acts: Sequence[Act]) -> list[Written]:
    return [Written(number, "2026-05-20T10:00:00+00:00", *act) for number, act in enumerate(acts, start=1)]


def weighed(kg: str, step: str = "0.01") -> dict[str, str]:
    return {"kg": kg, "step": step, "typed": f"{kg} kg"}


def lot(what: str, kg: str | None = None, record: int | None = None, pieces: int | None = 1) -> dict[str, Any]:
    return {"what": what, "record": record, "pieces": pieces, "weight": weighed(kg) if kg else None}


def new(name: str, **body: object) -> Act:
    return "pile", name, "new", {"category": "yellow-brass", "state": "clean", **body}


def add(name: str, *lots: dict[str, Any]) -> Act:
    return "pile", name, "add", {"lots": list(lots)}


def whole(name: str, net: str, doubt: str = "0.02") -> Act:
    return "pile", name, "weigh", {"net": net, "doubt": doubt}


def move(name: str, to: str, lots: list[int] | None = None) -> Act:
    return "pile", name, "move", {"to": to} | ({"lots": lots} if lots else {})


def kg(acts: Sequence[Act], name: str) -> Decimal | None:
    return yard.mass(yard.piles_in(written(acts))[name].held).kg


TAPS = [new("taps"), add("taps", lot("tap", "0.65", 3), lot("valve", None, 4), lot("nuts", "2.00", None, 40))]


def test_a_pile_by_hand() -> None:
    # A valve nobody weighed: the pile's weight is not known until all of it is weighed.
    assert kg(TAPS, "taps") is None
    # 3.10 kg net, and a hinge of 0.20 kg after it: 3.30 kg.
    weighed_once = [*TAPS, whole("taps", "3.10"), add("taps", lot("hinge", "0.20"))]
    assert kg(weighed_once, "taps") == Decimal("3.30")
    # The tap, 0.65 kg, goes to another pile: 3.30 - 0.65 = 2.65 here, 0.65 there.
    apart = [*weighed_once, new("odd"), move("taps", "odd", [1])]
    assert (kg(apart, "taps"), kg(apart, "odd")) == (Decimal("2.65"), Decimal("0.65"))
    # The valve goes too: nobody knows what is left, until it is weighed again.
    adrift = [*apart, move("taps", "odd", [2])]
    assert (kg(adrift, "taps"), kg(adrift, "odd")) == (None, None)
    assert kg([*adrift, whole("taps", "2.20")], "taps") == Decimal("2.20")
    # Doubt by hand: steps of 0.01 for gross, tare and the hinge, and 0.01 for the tap that left.
    assert yard.mass(yard.piles_in(written(apart))["taps"].held).doubt == Decimal("0.04")


def test_pieces_and_records_go_with_the_lots() -> None:
    acts = [*TAPS, new("odd"), move("taps", "odd", [1, 3])]
    there = yard.piles_in(written(acts))
    assert [yard.pieces_of(there[name].held) for name in ("taps", "odd")] == [1, 41]
    assert [yard.records_of(there[name].held) for name in ("taps", "odd")] == [(4,), (3,)]
    assert [each.number for each in there["taps"].held.lots] == [2]
    later = yard.piles_in(written([*acts, add("taps", lot("bolt", "0.1"))]))
    assert [each.number for each in later["taps"].held.lots] == [2, 4]  # a number is never used twice


AMOUNTS = st.integers(1, 20_000).map(lambda grams: str(Decimal(grams) / 1000))


@given(st.lists(AMOUNTS, min_size=1, max_size=8), st.randoms(use_true_random=False))
def test_the_order_in_which_parts_come_does_not_matter(amounts: list[str], random: Any) -> None:
    shuffled = random.sample(amounts, len(amounts))
    both = [kg([new("a"), *(add("a", lot("part", each)) for each in order)], "a") for order in (amounts, shuffled)]
    assert both[0] == both[1] == sum(Decimal(each) for each in amounts)


MOVES = st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from("abc"), st.integers(0, 9)), max_size=12)


@given(st.lists(AMOUNTS, min_size=2, max_size=6), st.none() | AMOUNTS, MOVES)
@example(["0.001", "0.001"], "0.001", [("a", "b", 0), ("a", "b", 0), ("b", "a", 1), ("b", "a", 0), ("b", "a", 0)])
def test_moving_keeps_mass_pieces_and_records(amounts: list[str], net: str | None, moves: list[tuple[str, str, int]]):
    acts = [new(name) for name in "abc"]
    acts.append(add("a", *(lot("part", each, number) for number, each in enumerate(amounts))))
    lots = sum(Decimal(each) for each in amounts)
    if net is not None:  # weighed as a whole it may well weigh more than its parts, never less beyond the steps
        acts.append(whole("a", str(lots + Decimal(net))))
    total = lots + Decimal(net or 0)
    for one, to, number in moves:
        held = yard.piles_in(written(acts))[one].held
        if one == to or yard.is_empty(held):
            continue
        chosen = [held.lots[number % len(held.lots)].number] if held.lots and number < 8 else []
        acts.append(yard.move(written(acts), one, chosen, None, to=to))
        there = yard.piles_in(written(acts)).values()
        assert sum(yard.mass(heap.held).kg or 0 for heap in there) == total
        assert sum(yard.pieces_of(heap.held) or 0 for heap in there) == len(amounts)
        assert sorted(r for heap in there for r in yard.records_of(heap.held)) == list(range(len(amounts)))


@given(st.lists(AMOUNTS, min_size=1, max_size=6), AMOUNTS, st.integers(0, 5))
def test_a_load_takes_and_puts_back_the_same_mass(amounts: list[str], some: str, number: int) -> None:
    acts: list[Act] = [new("a"), add("a", *(lot("part", each) for each in amounts))]
    total = sum(Decimal(each) for each in amounts)
    weight = Weighed(Decimal(some), Decimal("0.001"), some)
    ways: list[dict[str, Any]] = [{}, {"lots": [number % len(amounts) + 1]}]
    ways += [{"weight": weight}] if weight.kg <= total else []
    for way in ways:
        taken, act = yard.take(written(acts), "A", "may", "1", **way)
        after = [*acts, act]
        assert taken.kg is not None
        assert taken.kg + (kg(after, "a") or 0) == total
        (back,) = yard.put_back(written(after), "may", "1")
        assert kg([*after, back], "a") == total
        assert yard.put_back(written([*after, back]), "may", "1") == ()


def test_what_was_taken_by_weight_and_put_back_alone_keeps_its_mass_and_is_not_counted() -> None:
    acts: list[Act] = [new("nuts"), new("odd"), add("nuts", lot("nuts", "7.00", None, 400))]
    some = Weighed(Decimal(5), Decimal("0.1"), "5 kg")
    acts.append(yard.take(written(acts), "nuts", "may", "1", weight=some)[1])
    acts.append(yard.take(written(acts), "nuts", "may", "2")[1])
    acts += yard.put_back(written(acts), "may", "1")
    assert kg(acts, "nuts") == Decimal(5)
    assert yard.pieces_of(yard.piles_in(written(acts))["nuts"].held) is None
    # A hinge that comes after it is taken without it.
    later = [*acts, add("nuts", lot("hinge", "0.20"))]
    taken, act = yard.take(written(later), "nuts", "may", "3", lots=[2])
    assert (taken.kg, kg([*later, act], "nuts")) == (Decimal("0.20"), Decimal(5))
    # All of it goes to another pile: 5 kg there too.
    moved = [*acts, yard.move(written(acts), "nuts", [], None, to="odd")]
    assert (kg(moved, "nuts"), kg(moved, "odd")) == (Decimal(0), Decimal(5))


def test_what_a_load_takes_says_what_is_surely_in_it() -> None:
    lines = written([*TAPS, whole("taps", "3.10")])
    assert yard.take(lines, "taps", "may", "1")[0] == yard.Taken(
        "taps", "yellow-brass", "clean", Decimal("3.10"), Decimal("0.02"), 42, (3, 4)
    )
    some, act = yard.take(lines, "taps", "may", "1", weight=Weighed(Decimal("1.1"), Decimal("0.1"), "1.1 kg"))
    assert (some.kg, some.pieces, some.records) == (Decimal("1.1"), None, ())
    left = yard.piles_in([*lines, Written(9, "", *act)])["taps"].held
    assert (left.loose, yard.pieces_of(left), yard.mass(left).kg) == (True, None, Decimal("2.00"))
    rest, _ = yard.take([*lines, Written(9, "", *act)], "taps", "may", "2")
    assert (rest.kg, rest.pieces, rest.records) == (Decimal("2.00"), None, ())  # the tap may be on the first line


@pytest.mark.parametrize(
    ("way", "words"),
    [
        ({"pile": "tapps"}, "which is no pile; right is taps"),
        ({"pile": "empty"}, "empty is empty"),
        ({"lots": [9]}, "taps has no part 9; right is 1, 2, 3"),
        ({"weight": Weighed(Decimal(1), Decimal(1), "1 kg")}, "of what nobody has weighed"),
    ],
)
def test_what_can_not_be_taken_is_one_line(way: dict[str, Any], words: str) -> None:
    lines = written([*TAPS, new("empty")])
    with pytest.raises(CallError, match=words) as told:
        yard.take(lines, way.pop("pile", "taps"), "may", "1", **way)
    assert "\n" not in str(told.value)


def test_the_last_of_a_pile_is_taken_once() -> None:
    lines = written(TAPS)
    _, act = yard.take(lines, "taps", "may", "1")
    with pytest.raises(CallError, match="taps is empty"):
        yard.take([*lines, Written(9, "", *act)], "taps", "june", "1")


def test_worth_and_room_by_hand() -> None:
    """Invented prices: 13.3 kg at 3.90 to 4.10 are 51.87 to 54.53; in 10 litres 5.187 to 5.453 a litre."""
    units = yard.UNITS["kg"]
    prices = PriceList("list", "EUR", (
        Price(2, "yellow-brass", "clean", Decimal("3.90"), Decimal("4.10"), units),
        Price(3, "yellow-brass", "dirty", Decimal("2.60"), Decimal("2.60"), units),
    ))  # fmt: skip
    acts = [new("taps", litres="10"), add("taps", lot("tap")), whole("taps", "13.3"), new("odd", state="", litres="5")]
    acts += [add("odd", lot("knob", "10"))]
    there = yard.piles_in(written(acts))
    money = yard.worth(there["taps"], prices, Yard("any")).money
    assert money == Money(Decimal("51.87"), Decimal("54.53"), "EUR")
    assert yard.a_litre(there["taps"], money) == Money(Decimal("5.187"), Decimal("5.453"), "EUR")
    # Nobody said whether the knobs are clean: from 10 x 2.60 to 10 x 4.10; 5.2 to 8.2 a litre, so they come first.
    either = yard.worth(there["odd"], prices, Yard("any")).money
    assert either == Money(Decimal("26.0"), Decimal("41.0"), "EUR")
    rows = [(there["taps"], money), (there["odd"], either), (yard.Heap("bare"), None)]
    assert [heap.name for heap, _ in yard.densest_first(rows)] == ["odd", "taps", "bare"]


@pytest.mark.parametrize(
    ("typed", "litres"),
    # NIST Handbook 44, Appendix C: the gallon is 231 cubic inches, 3.785411784 L; a cubic foot is 28.316846592 L.
    # The British gallon is 4.54609 L: Weights and Measures Act 1985, from memory.
    [
        ("1 us gal", "3.785411784"),
        ("1 uk-gal", "4.54609"),
        ("1 cu ft", "28.316846592"),
        ("0,2 m³", "200"),
        ("7 L", "7"),
    ],
)
def test_volumes_are_those_of_the_handbook(typed: str, litres: str) -> None:
    assert yard.litres(typed, "--volume") == Decimal(litres)


@pytest.mark.parametrize("typed", ["5 gal", "5", "l", "", "0 l", "5 buckets"])
def test_other_volumes_are_refused(typed: str) -> None:
    with pytest.raises(CallError, match="--volume: "):
        yard.litres(typed, "--volume")
