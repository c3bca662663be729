"""Finds: a thing noted with its mass, taken apart or planned to be, and what each way of selling it brings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from idkit import facts, keep, yard
from idkit.errors import CallError
from idkit.flows.filling import pile_said, refuse_apart, refuse_placed
from idkit.flows.heaps import Lines, named, state_named
from idkit.flows.keeping import numbers_of
from idkit.flows.weighing import weighed, weight_of
from idkit.flows.yards import InUse, in_use
from idkit.vocabulary import Danger, Kept, Weighed, Written, Yard

CLOSED = frozenset(("handle", "open", "cut", "strike"))
"""Acts without which nothing is taken apart: what forbids one of them is left whole."""


@dataclass(frozen=True)
class Placed:
    """The pile that a part went onto; '' with the reason where it did not."""

    what: str
    pile: str
    why: str = ""


@dataclass(frozen=True)
class Compared:
    """A find, the dangers in opening it, what each way brings and the best of them; none where no prices are in use, or
    where the list has none for the categories `unpriced`, which leave it open.

    `placed` says of each part where it went, where that was wanted; `weighed_before` what it weighed until now, where
    that was corrected.
    """

    find: yard.Find
    dangers: tuple[Danger, ...]
    outcomes: tuple[yard.Outcome, ...] = ()
    best: yard.Outcome | None = None
    worth: Decimal | None = None
    placed: tuple[Placed, ...] = ()
    weighed_before: str = ""
    unpriced: tuple[str, ...] = ()


@dataclass(frozen=True)
class Strip:
    """One way of taking a find apart, as typed: the parts as WHAT=CATEGORY=WEIGHT, perhaps with =dirty behind."""

    way: str
    parts: Sequence[str]
    loss: str
    minutes: str
    plan: bool
    onto_piles: bool


def new_find(name: str, weight: str, category: str, state: str = "", record: str = "", note: str = "") -> Compared:
    """Note a thing as it was found, or say something anew of one; a record may tell its weight and category.

    CallError where nobody says one of them, where a find of that name was split or planned already, or where both of
    them are others than before: that is another thing.
    """
    kept = keep.known(numbers_of(record, most=1))[0] if record else None
    told = weighed(weight, "--weight") if weight else _weight_of(kept)
    at, sold = in_use().yard, ""
    if category or kept is not None:
        sold = yard.category_named(category, "--category", at) if category or kept is None else pile_said(kept)

    was: list[str] = []

    def compose(lines: Lines) -> list[keep.Act]:
        there = yard.finds_in(lines)
        known = yard.known_name(name, there)
        before = there[known] if known else None
        if before and before.ways:
            got = f"{known} was taken apart, or planned to be, by the weight it had"
            raise CallError("find", got, "", f"call this one otherwise, such as '{known} 2'")
        if before and told and sold and told.kg != before.weighed.kg and sold != before.category:
            there_is = f"{yard.said_kg(before.weighed.kg)}, {facts.categories()[before.category].name}"
            right = "another name, or one thing at a time"
            raise CallError("find", f"{known} is there already: {there_is}", right, f"such as '{known} 2'")
        if before and told and told.kg != before.weighed.kg:
            was[:] = [yard.said_kg(before.weighed.kg)]
        mass = told or (before.weighed if before else None)
        if mass is None or not mass.kg:
            raise CallError("--weight", f"{name} has none", "what it weighs, such as '3.20 kg'")
        what = sold or (before.category if before else yard.category_named(category, "--category", at))
        body: dict[str, Any] = {"weight": yard.as_body(mass), "category": what}
        body |= {"state": state_named(state) or (before.state if before else "")}
        body |= {"note": note or (before.note if before else "")}
        body |= {"record": kept.record if kept else before.record if before else None}
        return [("find", known or named(name), "new", body)]

    noted = _compared(_after(keep.write_acts(compose)), InUse(), None)
    return replace(noted, weighed_before=was[0] if was else "")


def finds() -> tuple[yard.Find, ...]:
    """Every find, the oldest first."""
    return tuple(yard.finds_in(keep.acts("find")).values())


def split_find(name: str, strip: Strip | None, worth: str = "", holds: InUse | None = None) -> Compared:
    """Take a find apart or plan to, and compare all ways of it; only compare where `strip` is None.

    `worth` is what an hour is worth, in the money of the prices; `holds` the yard and prices to compare by, else those
    in use. CallError where masses do not add up.
    """
    holds = holds or in_use()
    hour = yard.number(worth, "--worth") if worth else None
    if strip is None:
        return _compared(yard.find_called(name, yard.finds_in(keep.acts("find"))), holds, hour)
    parts = tuple(_component(typed, holds.yard) for typed in strip.parts)
    lost = weighed(strip.loss, "--loss") if strip.loss else None
    minutes = yard.number(strip.minutes, "--minutes", "minutes, such as 12")
    placed: list[Placed] = []

    def compose(lines: Lines) -> list[keep.Act]:
        find = yard.find_called(name, yard.finds_in(lines))
        _refuse_again(find, strip)
        if find.record is not None and not strip.plan:
            refuse_placed([find.record], lines)
            refuse_apart([find.record], lines, but=find.name)
        rounding = yard.remaining(find.weighed, [part.weighed for part in parts], lost, "--gives", "--loss")
        way = yard.Way(strip.way, parts, lost.kg if lost else Decimal(0), rounding, minutes, not strip.plan)
        placed[:] = [_place(part, yard.piles_in(lines), holds.yard) for part in parts] if strip.onto_piles else []
        put = [(part, each.pile) for part, each in zip(parts, placed, strict=True) if each.pile] if placed else []
        split = ("find", find.name, "split", yard.way_as_body(way, [pile for _, pile in put]))
        return [split, *(("pile", pile, "add", {"lots": [_lot(part, find)]}) for part, pile in put)]

    return _compared(_after(keep.write_acts(compose)), holds, hour, tuple(placed))


def _weight_of(kept: Kept | None) -> Weighed | None:
    return weight_of(keep.answers([kept.record])[kept.record]) if kept else None


def _component(typed: str, at: Yard) -> yard.Component:
    """A part as typed: WHAT=CATEGORY=WEIGHT, perhaps with =clean or =dirty behind."""
    cells = [cell.strip() for cell in typed.split("=")]
    if len(cells) not in (3, 4) or not all(cells):
        right = "WHAT=CATEGORY=WEIGHT, perhaps =dirty behind"
        raise CallError("--gives", f"got {typed!r}", right, "such as --gives 'motor=electric motors=1.1 kg'")
    what, category, mass, *state = cells
    sold = yard.category_named(category, "--gives", at)
    return yard.Component(what, sold, state_named(*state) if state else "", weighed(mass, f"--gives {what}"))


def _refuse_again(find: yard.Find, strip: Strip) -> None:
    if strip.onto_piles and strip.plan:
        raise CallError("--onto-piles", "got it with --plan", "one of the two", "nothing is taken apart by a plan")
    if strip.plan and any(way.done for way in find.ways if way.way == strip.way):
        raise CallError("--plan", f"{find.name} was taken apart so", "another --way to plan, or none", "")
    if find.onto and not strip.plan:
        got = f"{find.name} was taken apart, and its parts went onto {', '.join(dict.fromkeys(find.onto))}"
        raise CallError("find", got, "", "idkit pile move takes parts from there")


def _place(part: yard.Component, there: Mapping[str, yard.Heap], at: Yard) -> Placed:
    """The one pile that takes a part; none where there is none, or more than one."""
    kind = yard.goes_with(at, part.category)
    alike = [heap for heap in there.values() if yard.goes_with(at, heap.category) == kind]
    found = [heap.name for heap in alike if _alike(heap.state, part.state)]
    if len(found) == 1:
        return Placed(part.what, found[0])
    why = f"on one of {', '.join(found)}: say which with idkit pile add" if found else "there is no pile for it"
    return Placed(part.what, "", why)


def _alike(one: str, other: str) -> bool:
    return not one or not other or one == other


def _lot(part: yard.Component, find: yard.Find) -> dict[str, Any]:
    what = f"{part.what} of {find.name}"
    return {"what": what, "record": None, "pieces": 1, "weight": yard.as_body(part.weighed)}


def _compared(find: yard.Find, holds: InUse, worth: Decimal | None, placed: tuple[Placed, ...] = ()) -> Compared:
    forms = [form.id for form in facts.forms().values() if form.category and form.category == find.category]
    said = " ".join((find.name, find.note, *(part.what for way in find.ways for part in way.parts)))
    met = facts.dangers_of(forms[0] if forms else None, said)
    dangers = tuple(each for each in met if CLOSED.intersection(each.forbids))
    if holds.prices is None:
        return Compared(find, dangers, worth=worth, placed=placed)
    found = yard.outcomes(find, holds.prices, holds.yard, worth)
    unpriced = yard.left_open(find, found)
    best = None if unpriced else yard.best(found)
    return Compared(find, dangers, found, best, worth, placed, unpriced=unpriced)


def _after(written: Sequence[Written]) -> yard.Find:
    return yard.finds_in(keep.acts("find"))[written[0].name]
