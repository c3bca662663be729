"""Load lists and tickets, worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import yard
from idkit.vocabulary import PriceList, Weighed, Written, Yard

AT = Yard("Old Quay Metals", merged={"copper-clad": "light-iron"})
D = Decimal
# Invented prices.
LIST = (
    "category,state,price,unit,currency,deducted,fee,from\n"
    "aluminium-cast,clean,0.90-1.00,kg,EUR,,,\n"
    "aluminium-cast,dirty,0.40,kg,EUR,,,\n"
    "zinc,,1.10,kg,EUR,,,\n"
    "light-iron,,200,tonne,EUR,2 %,1.50,\n"
    "copper,,7.00,kg,EUR,,,\n"
    "copper,,7.20,kg,EUR,,,20 kg\n"
    "sealed-units,,4,each,EUR,,,\n"
)


def prices(text: str = LIST) -> PriceList:
    header, *rows = [line.split(",") for line in text.splitlines()]
    cells = [(n, dict(zip(header, row, strict=True))) for n, row in enumerate(rows, start=2)]
    found = yard.read_prices("prices.csv", header, cells, AT, date(2026, 5, 20))
    assert not found.faults
    return found.prices


def line(number: int, category: str, kg: str | None, state: str = "", **more: object) -> yard.Line:
    fields = {"what": f"thing {number}", "doubt": D("0.01"), "pieces": None} | more
    return yard.Line(number=number, category=category, state=state, kg=None if kg is None else D(kg), **fields)  # type: ignore[arg-type]


def value(*lines: yard.Line, payload: str = "") -> yard.Valued:
    carries = Weighed(D(payload), D(1), payload) if payload else None
    return yard.valued(yard.Load("May", lines=lines, payload=carries), prices(), AT)


def test_a_category_is_weighed_and_paid_as_one() -> None:
    # Copper: 12 + 9 = 21 kg reach the step from 20 kg: 21 x 7.20 = 151.20.
    found = value(line(1, "copper", "12"), line(2, "copper", "9"))
    assert found.money is not None
    assert found.money.low == found.money.high == D("151.20")
    # Light iron: 40 kg and 10 kg of copper-clad, which this yard puts with it: 50 x 0.98 = 49 kg, 0.049 t x 200 = 9.80,
    # less the fee of 1.50 once = 8.30.
    found = value(line(1, "light-iron", "40"), line(2, "copper-clad", "10"))
    assert found.expected == D("8.30")
    assert [group.category for group in found.groups] == ["light-iron"]


def test_doubt_widens_what_a_line_fetches() -> None:
    # 10 kg called clean cast aluminium, 8 in 10 by its record, else zinc.
    found = value(line(1, "aluminium-cast", "10", "clean", may_be={"aluminium-cast": D("0.8"), "zinc": D("0.2")}))
    (group,) = found.groups
    assert group.right == D("0.8")
    assert group.money is not None
    # At the least: 8 kg at 0.90 = 7.20 and 2 kg of zinc at 1.10 = 2.20, 9.40 in all, which is more than 10 x 0.90 = 9.
    assert group.money.low == D("9.00")
    # Expected: 8 kg at the middle of 0.95 = 7.60, and 2.20 of zinc.
    assert group.expected == D("9.80")
    # Where the rest has no price it counts as nothing: 8 x 0.90 = 7.20, expected 7.60.
    unknown = value(line(1, "aluminium-cast", "10", "clean", may_be={"aluminium-cast": D("0.8"), "tin": D("0.2")}))
    assert unknown.money is not None
    assert (unknown.money.low, unknown.expected) == (D("7.20"), D("7.60"))


def test_the_doubtful_share_is_at_worst_the_cheapest_it_may_be() -> None:
    # 10 kg called copper, 6 in 10 by its record, else zinc or light iron: 6 x 7.00 = 42.00, and at worst all 4 kg of
    # the rest are light iron: 4 x 0.98 / 1000 x 200 = 0.784.
    chances = {"copper": D("0.6"), "zinc": D("0.3"), "light-iron": D("0.1")}
    (group,) = value(line(1, "copper", "10", may_be=chances)).groups
    assert group.money is not None
    assert group.money.low == D("42.784")
    # Expected: 42.00, 3 kg of zinc at 1.10 = 3.30, and 1 kg of light iron = 0.196.
    assert group.expected == D("45.496")


def test_what_may_be_paid_by_the_piece_counts_by_its_chance() -> None:
    # 2 kg called zinc, 9 in 10 by its record, else one sealed unit at 4.00: 1.8 x 1.10 = 1.98 and 0.1 x 4.00 = 0.40.
    chances = {"zinc": D("0.9"), "sealed-units": D("0.1")}
    (group,) = value(line(1, "zinc", "2", pieces=1, may_be=chances)).groups
    assert group.expected == D("2.38")


def test_clean_or_dirty_runs_over_both() -> None:
    (group,) = value(line(1, "aluminium-cast", "10")).groups
    assert group.money is not None
    assert (group.money.low, group.money.high) == (D("4.00"), D("10.00"))


def test_pieces_and_what_was_not_weighed() -> None:
    found = value(line(1, "sealed-units", None, pieces=3), line(2, "copper", None), payload="100")
    by = {group.category: group for group in found.groups}
    assert by["sealed-units"].expected == D(12)
    assert by["copper"].money is None
    assert by["copper"].fetched.why == "copper is paid by weight: weigh it"
    assert found.unweighed == 2
    assert found.over == D(-100)


@given(st.permutations(range(6)))
def test_the_order_of_lines_does_not_matter(order: list[int]) -> None:
    lines = [
        line(n, category, kg, state)
        for n, (category, kg, state) in enumerate(
            [("copper", "3", ""), ("zinc", "2", ""), ("copper", "4", ""), ("aluminium-cast", "5", "dirty")]
            + [("light-iron", "60", ""), ("aluminium-cast", "1", "clean")]
        )
    ]
    one, other = value(*lines), value(*(lines[n] for n in order))
    assert (one.kg, one.money, one.expected) == (other.kg, other.money, other.expected)


@given(st.lists(st.tuples(st.sampled_from(["copper", "zinc"]), st.decimals("0.001", "900", places=3)), min_size=1))
def test_mass_is_kept_and_value_linear_in_price(rows: list[tuple[str, Decimal]]) -> None:
    load = yard.Load("May", lines=tuple(line(n, name, str(kg)) for n, (name, kg) in enumerate(rows)))
    doubled = LIST.replace("7.00", "14.00").replace("7.20", "14.40").replace("1.10", "2.20")
    one, two = yard.valued(load, prices(), AT), yard.valued(load, prices(doubled), AT)
    assert sum(group.kg for group in one.groups if group.kg) == one.kg == sum(kg for _, kg in rows)
    assert one.expected is not None
    assert two.expected == 2 * one.expected


def ticketed(category: str, weighed: str, paid: str, **more: object) -> yard.Ticketed:
    off, price = D(str(more.pop("deducted", "0"))), D(str(more.pop("price", "1")))
    fields: dict[str, object] = {
        "state": "", "called": category, "called_state": more.get("state", ""), "tare": D(0), "reason": "",
        "unit": yard.UNITS["kg"], "fee": D(0), "step": D("0.1"),
    }  # fmt: skip
    fields |= more
    net = D(weighed) - off
    return yard.Ticketed(
        category=category, gross=D(weighed), deducted=off, net=net, price=price, paid=D(paid), **fields
    )  # type: ignore[arg-type]


def parts(lines: list[yard.Line], each: yard.Ticketed) -> tuple[yard.Difference, dict[str, Decimal]]:
    (found,) = yard.reconciled(value(*lines), [each], prices(), AT).differences
    assert found.total is not None
    assert sum(found.parts.values()) == pytest.approx(found.total, abs=D("1e-20"))
    return found, {name: amount for name, amount in found.parts.items() if abs(amount) > D("1e-15")}


def test_a_ticket_that_says_what_the_list_says_differs_by_nothing() -> None:
    found, why = parts([line(1, "zinc", "10")], ticketed("zinc", "10", "11.00", price="1.10"))
    assert why == {}
    assert not found.apart


def test_weight_and_price_are_told_apart() -> None:
    # Listed: 10 kg of zinc at 1.10 = 11.00. Weighed there 9.5 kg, paid at 1.00 = 9.50: 1.50 less.
    # Weight: -0.5 kg x 1.10 = -0.55. Price: 9.5 x (1.00 - 1.10) = -0.95. Together -1.50.
    found, why = parts([line(1, "zinc", "10")], ticketed("zinc", "9.5", "9.50", price="1.00"))
    assert why == {"weight": D("-0.55"), "price": D("-0.95")}
    assert found.apart  # by 0.5 kg, more than 0.01 + 0.1


def test_a_downgrade_is_grade_and_a_deduction_is_deduction() -> None:
    # Listed: 12 kg of clean cast aluminium at the middle of 0.95 = 11.40. The yard weighs 12.1 kg, takes 0.6 kg off for
    # screws, calls it dirty and pays the list's 0.40 for 11.5 kg = 4.60: 6.80 less.
    # Weight: +0.1 x 0.95 = 0.095. Deduction: -0.6 x 0.95 = -0.57. Grade: 11.5 x (0.40 - 0.95) = -6.325. Sum -6.80.
    each = ticketed("aluminium-cast", "12.1", "4.60", state="clean", called_state="dirty", deducted="0.6", price="0.40")
    found, why = parts([line(1, "aluminium-cast", "12", "clean")], each)
    assert why == {"weight": D("0.095"), "deduction": D("-0.57"), "grade": D("-6.325")}
    assert each.downgraded
    assert not found.apart  # 0.1 kg is within 0.01 + 0.1


def test_fee_and_the_tickets_own_sums() -> None:
    # Listed: 100 kg light iron: 98 kg x 0.20 = 19.60 - 1.50 = 18.10. Paid for 98 kg at 200 a tonne = 19.60, fee 2.00 =
    # 17.60, but the ticket says 17.50. Fee: -0.50; the ticket's own sums: -0.10.
    each = ticketed("light-iron", "100", "17.50", deducted="2", price="200", fee=D("2.00"), unit=yard.UNITS["tonne"])
    _, why = parts([line(1, "light-iron", "100")], each)
    assert why == {"fee": D("-0.50"), "rounding": D("-0.10")}


def test_what_the_list_can_not_price_is_all_grade() -> None:
    # 10 kg of copper at 7.00 = 70.00, called tin, of which the list knows no price, and paid 3.00 a kg = 30.00.
    _, why = parts([line(1, "copper", "10")], ticketed("copper", "10", "30.00", called="tin", price="3.00"))
    assert why == {"grade": D("-40.00")}


def test_what_nobody_called_clean_or_dirty_is_expected_as_the_list_has_it() -> None:
    # 10 kg of cast aluminium, dirty at 0.40 to clean at 0.90 to 1.00: from 4.00 to 10.00, 7.00 in the middle. Paid as
    # clean at 0.95 = 9.50: all of the 2.50 more is price.
    listed = [line(1, "aluminium-cast", "10")]
    found, why = parts(listed, ticketed("aluminium-cast", "10", "9.50", price="0.95"))
    assert found.expected == value(*listed).groups[0].expected == D("7.00")
    assert why == {"price": D("2.50")}


def test_what_is_paid_by_the_piece_needs_no_weight() -> None:
    # Listed: 5 pieces at 12.00 = 60.00. The yard counts 4 and pays 11.00 each, less 1.00 = 43.00: 17.00 less.
    # Count: -1 x 12.00. Price: 4 x (11.00 - 12.00). Fee: -1.00. Sum -17.00.
    by_piece = prices("category,state,price,unit,currency\nsealed-units,,12.00,each,EUR\n")
    load = yard.valued(
        yard.Load("May", lines=(replace(line(1, "sealed-units", "0"), kg=None, pieces=5),)), by_piece, AT
    )
    each = ticketed("sealed-units", "0", "43.00", price="11.00", fee=D(1), pieces=4, unit=yard.UNITS["each"])
    (found,) = yard.reconciled(load, [each], by_piece, AT).differences
    assert found.expected == D("60.00")
    assert {name: amount for name, amount in found.parts.items() if amount} == {
        "weight": D("-12.00"), "price": D("-4.00"), "fee": D("-1"),
    }  # fmt: skip
    assert found.total == D("-17.00")
    assert found.apart
    assert yard.ticketed_of(yard.ticketed_as_body(each)) == each


def test_what_was_in_doubt_is_a_part_of_its_own() -> None:
    # 10 kg said to be zinc, 6 in 10 surely: as zinc 11.00, by the chances 0.6 x 11.00 and nothing for tin, of which the
    # list has no price: 6.60. The yard takes all of it for zinc at 1.10 = 11.00: the 4.40 more were doubt.
    listed = [replace(line(1, "zinc", "10"), records=(3,), may_be={"zinc": D("0.6"), "tin": D("0.4")})]
    found, why = parts(listed, ticketed("zinc", "10", "11.00", price="1.10"))
    assert found.expected == value(*listed).groups[0].expected == D("6.60")
    assert why == {"doubt": D("4.40")}


def test_the_whole_counts_what_is_on_one_side_alone() -> None:
    load = value(line(1, "zinc", "10"), line(2, "copper", "1"))
    each = [ticketed("zinc", "10", "11", price="1.10"), ticketed("lead", "2", "2")]
    found = yard.reconciled(load, each, prices(), AT)
    assert (found.expected, found.paid) == (D("18.00"), D("13"))  # 11.00 and 7.00; 11 and 2
    assert (found.unlisted, found.unpaid) == (D("2"), D("7.00"))
    assert found.paid - found.expected == sum(found.parts.values()) + found.unlisted - found.unpaid


def test_what_is_on_one_side_alone_is_said() -> None:
    load = value(line(1, "zinc", "10"), line(2, "copper", "1"))
    found = yard.reconciled(
        load, [ticketed("zinc", "10", "11", price="1.10"), ticketed("lead", "2", "2")], prices(), AT
    )
    assert [group.category for group in found.missing] == ["copper"]
    assert [each.group is None for each in found.differences] == [False, True]


@given(
    st.decimals("0.1", "500", places=2), st.decimals("0", "0.05", places=3), st.decimals("0.5", "9", places=2),
    st.decimals("0", "5", places=2), st.sampled_from(["zinc", "copper", "tin"]), st.decimals("0", "900", places=2),
)  # fmt: skip
def test_the_parts_add_up_to_the_coin(
    weighed: Decimal, share: Decimal, price: Decimal, fee: Decimal, called: str, paid: Decimal
) -> None:
    each = ticketed(
        "zinc",
        str(weighed),
        str(paid),
        deducted=weighed * share,
        price=price,
        fee=fee,
        called=called,
        unit=yard.UNITS["lb"],
    )
    found, _ = parts([line(1, "zinc", "10")], each)
    assert found.total is not None
    rounded = yard.to_the_coin(found.parts, "EUR")
    assert sum(rounded.values()) == yard.rounded(sum(found.parts.values(), D(0)), "EUR")


def test_the_daybook_tells_a_load() -> None:
    lines = [
        Written(1, "2026-05-20T08:00:00Z", "load", "May", "new", {"yard": "Old Quay Metals"}),
        Written(2, "2026-05-20T08:01:00Z", "load", "May", "line", yard.line_as_body(line(1, "zinc", "2"))),
        Written(3, "2026-05-20T08:02:00Z", "load", "May", "line", yard.line_as_body(line(2, "copper", "3"))),
        Written(4, "2026-05-20T08:03:00Z", "load", "May", "take-off", {"line": 1}),
        Written(5, "2026-05-20T09:00:00Z", "load", "May", "close", {}),
    ]
    found = yard.loads_in(lines)["May"]
    assert [each.category for each in found.lines] == ["copper"]
    assert found.last == 2  # a number that was taken off is not given again
    assert found.closed == lines[-1]
    assert yard.line_of(yard.line_as_body(line(1, "zinc", "2"))) == line(1, "zinc", "2")


def test_two_lines_of_a_ticket_for_one_line_of_the_list_share_it() -> None:
    # Listed: 12 kg of clean cast aluminium at 0.95 = 11.40. The yard takes 9 kg as clean, 8.55, 3 kg as dirty, 1.20:
    # 9 of 12 were to fetch 8.55, 3 of 12 2.85; grade of the second 3 x (0.40 - 0.95) = -1.65.
    load = value(line(1, "aluminium-cast", "12", "clean"))
    first = ticketed("aluminium-cast", "9", "8.55", state="clean", price="0.95")
    second = ticketed("aluminium-cast", "3", "1.20", state="clean", called_state="dirty", price="0.40")
    found = yard.reconciled(load, [first, second], prices(), AT)
    assert (found.expected, found.paid) == (D("11.40"), D("9.75"))
    assert [each.total for each in found.differences] == [D("0"), D("-1.65")]
    assert found.parts["grade"] == D("-1.65")
    assert found.missing == ()


def test_a_ticket_for_what_the_list_gave_no_price_has_nothing_to_differ_from() -> None:
    # Lead is bought from 10 kg; the list had no price for 3 kg of it, and the yard paid 3.00 all the same.
    listed = prices("category,price,unit,currency,minimum\nlead,1.10,kg,EUR,10 kg\n")
    load = yard.valued(yard.Load("May", lines=(line(1, "lead", "3"),)), listed, AT)
    assert load.money is None
    found = yard.reconciled(load, [ticketed("lead", "3", "3.00")], listed, AT)
    assert (found.differences[0].expected, found.expected) == (None, D(0))


def test_what_nobody_called_clean_or_dirty_differs_from_the_one_price_there_is() -> None:
    # Only dirty zinc has a price, 0.80: 10 kg are 8.00, as the list has it, and as it was paid.
    listed = prices("category,state,price,unit,currency\nzinc,dirty,0.80,kg,EUR\n")
    load = yard.valued(yard.Load("May", lines=(line(1, "zinc", "10"),)), listed, AT)
    (found,) = yard.reconciled(load, [ticketed("zinc", "10", "8.00", price="0.80")], listed, AT).differences
    assert (load.expected, found.expected, found.total) == (D("8.00"), D("8.00"), D(0))
