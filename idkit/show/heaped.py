"""Piles in words and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

from idkit import flows
from idkit.show.fields import money
from idkit.show.weights import kilos, plain, weight

if TYPE_CHECKING:
    pass

Lines = Iterator[tuple[str, str]]
NO_PRICES = "No price list is in use, so nobody can say what it fetches."


def begun(heap: flows.Heap, *, is_new: bool) -> Lines:
    """A pile as it was begun or changed."""
    yield "good", f"{'New pile' if is_new else 'Pile'} {heap.name}: {_kind(heap)}{_bucket(heap)}."
    if not heap.state:
        yield "dim", "  Clean or dirty? --state says; until then it is reckoned as either."


def filled(found: flows.Filled) -> Lines:
    """What a pile holds after something came."""
    came = f"{found.came} parts" if found.came > 1 else _lot(found.heap.held.lots[-1])
    yield "good", f"{found.heap.name}: {came} added; {_holds(found.heap)}."
    yield from (("warn", f"  {_first_upper(doubt)}.") for doubt in found.doubts)


def balanced(found: flows.Balance) -> Lines:
    """What a pile weighs, and whether its parts add up to that."""
    net, alone = found.net, found.alone
    if net.kg is None:
        yield "good", f"{found.heap.name}: noted; {_holds(found.heap)}."
        return
    yield "good", f"{found.heap.name}: {weight(net.kg)} net, give or take {kilos(net.doubt)}."
    if alone.kg is None:
        return
    off, room = alone.kg - net.kg, alone.doubt + net.doubt
    if abs(off) > room:
        what = "is one missing, or on it twice" if off > 0 else "is something on it that was never added"
        more = f"{kilos(abs(off))} {'more' if off > 0 else 'less'} than this"
        yield "warn", f"  By themselves its parts weigh {kilos(alone.kg)}, {more}: {what}?"


def moved(found: tuple[flows.Heap, flows.Heap | None]) -> Lines:
    """Both piles after something was moved."""
    for heap in found:
        if heap is not None:
            yield "good", f"{heap.name}: {_holds(heap)}{f'; {heap.place}' if heap.place else ''}."
    left, goal = found
    if goal is not None and (left.category, left.state) != (goal.category, goal.state):
        yield "", f"  What was moved counts as {_kind(goal)} now."


def proposed(found: flows.Proposed, seed: int) -> Lines:
    """Which pieces to look at, and what finding none wrong would show."""
    count, name = found.shown.looked_at, found.heap.name
    if found.pieces:
        yield "title", f"{name}: look at {count} of its {found.there} pieces (drawn at random, seed {seed}):"
    else:
        yield "title", f"{name}: stir it, and take {count} pieces blind, from top, middle and bottom."
        yield "dim", "  Nobody counted its pieces, so none can be drawn for you."
    for lot, group in groupby(found.pieces, key=lambda piece: piece.lot):
        yield "", f"  {_some_of(lot, [piece.which for piece in group])}"
    yield "", ""
    yield "", f"None wrong among {count} leaves room for {_room(found.shown, found.there)}, 19 times in 20."
    for more in found.more:
        yield "dim", f"  None wrong among {more.looked_at} would leave {_room(more, found.there)}."
    yield "", f"Then say what you found: idkit pile check {_quoted(name)} {count} --seed {seed} --wrong 0"


def checked(found: flows.Proposed) -> Lines:
    """What a check showed."""
    told = found.shown
    wrong = f"{told.wrong} wrong" if told.wrong else "none wrong"
    room = _room(told, found.there)
    yield "warn" if told.wrong else "good", f"{found.heap.name}: {wrong} among {told.looked_at}. It may hold {room}."
    if told.wrong:
        yield "", f"  Go through all of it before it is sold as {flows.category_name(found.heap.category)}."


def listed(found: Sequence[flows.Listed]) -> Lines:
    """All piles, two lines each."""
    if not found:
        yield "", "No piles yet; idkit pile new begins one."
    for each in found:
        heap = each.heap
        yield "", f"{heap.name}: {_sold(each)}; {_holds(heap)}{f'; {heap.place}' if heap.place else ''}."
        if (each.money or each.why) and not flows.is_empty(heap.held):
            yield ("good" if each.money else "dim"), f"    {_worth(each)}."
    if found and not any(each.money or each.why for each in found):
        yield "dim", NO_PRICES
    money = [each.money for each in found if each.money]
    if len(money) > 1:
        yield "title", f"All piles: {flows.said(flows.summed(money, money[0].currency))}."


def whole(found: flows.Listed) -> Lines:
    """One pile, part by part."""
    heap = found.heap
    yield "title", f"{heap.name}: {_sold(found)}{_bucket(heap)}; {_holds(heap)}."
    yield ("good" if found.money else "dim"), f"  {_worth(found)}." if found.money or found.why else NO_PRICES
    if heap.held.loose:
        yield "warn", "  Some was taken by weight: nobody knows which of these are still on it."
    for lot in heap.held.lots:
        mass = kilos(lot.weighed.kg) if lot.weighed else "not weighed"
        yield "", f"  {lot.number:4}  {_lot(lot)}, {mass}"
    if heap.checked:
        last = heap.checked
        yield "dim", f"  Checked {last.at[:10]}: {last.wrong} wrong among {last.looked_at}."


def row(found: flows.Listed) -> dict[str, Any]:
    """One pile as JSON; numbers of weight and money are text, exact."""
    heap = found.heap
    return {
        "pile": heap.name,
        "category": heap.category,
        "state": heap.state or "unknown",
        "place": heap.place,
        "litres": None if heap.litres is None else str(heap.litres),
        "kg": None if found.mass.kg is None else str(found.mass.kg),
        "doubt_kg": str(found.mass.doubt),
        "pieces": found.pieces,
        "value": money(found.money),
        "value_a_litre": money(found.a_litre),
        "parts": [_lot_row(lot) for lot in heap.held.lots],
        "parts_certain": not heap.held.loose,
    }


def _lot_row(lot: flows.Lot) -> dict[str, Any]:
    kg = None if lot.weighed is None else str(lot.weighed.kg)
    return {"part": lot.number, "what": lot.what, "record": lot.record, "pieces": lot.pieces, "kg": kg}


def _kind(heap: flows.Heap) -> str:
    return flows.category_name(heap.category) + (f", {heap.state}" if heap.state else "")


def _sold(found: flows.Listed) -> str:
    return found.sold_as + (f", {found.heap.state}" if found.heap.state else "")


def _bucket(heap: flows.Heap) -> str:
    told = [f"bucket {kilos(heap.tare.kg)}"] if heap.tare else []
    told += [f"{plain(heap.litres, 1)} litres"] if heap.litres else []
    told += [heap.place] if heap.place else []
    return f"; {', '.join(told)}" if told else ""


def _holds(heap: flows.Heap) -> str:
    """How many pieces a pile holds, and their weight."""
    if flows.is_empty(heap.held):
        return "empty"
    there, mass = flows.pieces_of(heap.held), flows.mass(heap.held)
    count = "pieces not counted" if there is None else "1 piece" if there == 1 else f"{there} pieces"
    return f"{count}, {'weight not known' if mass.kg is None else weight(mass.kg)}"


def _worth(found: flows.Listed) -> str:
    if found.money is None:
        return f"No value: {found.why}"
    room = f"; {flows.said(found.a_litre)} a litre" if found.a_litre else ""
    return f"{flows.said(found.money)}{room}"


def _lot(lot: flows.Lot) -> str:
    count = "not counted" if lot.pieces is None else "" if lot.pieces == 1 else f"{lot.pieces} pieces"
    record = "" if lot.record is None else f"record {lot.record}"
    inside = ", ".join(each for each in (record, count) if each)
    return f"{lot.what or 'part'}{f' ({inside})' if inside else ''}"


def _some_of(lot: flows.Lot, which: Sequence[int]) -> str:
    if lot.pieces == 1:
        return f"part {lot.number}, {_lot(lot)}"
    numbers = ", ".join(str(each) for each in which)
    return f"part {lot.number}, {lot.what or 'pieces'}: number {numbers} of {lot.pieces} as they come to hand"


def _room(told: flows.Shown, there: int | None) -> str:
    """How many may be wrong, in words."""
    percent = f"{100 * told.share:.2g} %"
    if told.pieces is None:
        return f"up to {percent} wrong"
    return f"up to {told.pieces} wrong of {there} ({percent})" if told.pieces else f"no wrong one of {there}"


def _quoted(name: str) -> str:
    return f"'{name}'" if " " in name else name


def _first_upper(text: str) -> str:
    return text[:1].upper() + text[1:]
