"""Load lists begun, filled, shown and closed; each change is one act in the daybook."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from idkit import facts, keep, yard
from idkit.errors import CallError
from idkit.flows.filling import on_loads, pile_said, refuse_apart, refuse_dangerous, refuse_removed
from idkit.flows.heaps import Lines, named, state_named
from idkit.flows.keeping import numbers_of
from idkit.flows.weighing import weighed, weight_of
from idkit.flows.yards import in_use
from idkit.vocabulary import Weighed, Whole, Yard
from idkit.yard import Line, Load


@dataclass(frozen=True)
class Wanted:
    """What goes onto a load, as typed: records, some of a pile, or a category with its weight or its pieces."""

    records: str = ""
    pile: str = ""
    parts: str = ""
    category: str = ""
    state: str = ""
    gross: str = ""
    tare: str = ""
    weight: str = ""
    pieces: int | None = None
    what: str = ""
    note: str = ""


def new_load(name: str, at: str = "", payload: str = "", note: str = "") -> tuple[Load, bool]:
    """Begin a load, or say something anew of one that is there; the load, and whether it is new.

    A new one goes to the yard in use where none is named.
    """
    of = in_use(at).yard
    body: dict[str, Any] = {"yard": of.name} if at else {}
    if payload:
        body["payload"] = yard.as_body(weighed(payload, "--payload", of.tons))
    if note:
        body["note"] = note

    def compose(lines: Lines) -> list[keep.Act]:
        there = yard.loads_in(lines)
        known = yard.known_name(name, there)
        if known and at and there[known].tickets and of.name != there[known].yard:
            raise CallError("--yard", f"{known} has its ticket", f"{there[known].yard}, where it was sold")
        if known and at and there[known].closed and of.name != there[known].yard:
            mend = f"idkit load close '{known}' --open first"
            raise CallError("--yard", f"{known} is closed, at the prices of that day", "an open load", mend)
        if known and not body:
            raise CallError("load", f"{known} is there already", "what to change: --yard, --payload, --note")
        usual = {} if known or not of.name else {"yard": of.name}
        return [("load", known or named(name), "new", usual | body)]

    before = yard.loads_in(keep.acts("load"))
    (line,) = keep.write_acts(compose)
    return loads()[line.name], line.name not in before


def loads() -> Mapping[str, Load]:
    """Every load by name."""
    return yard.loads_in(keep.acts("load"))


def load_called(name: str = "") -> Load:
    """The load of that name; the newest open one where none is named. CallError where there is none."""
    there = loads()
    if name:
        return yard.load_called(name, there)
    opened = [load for load in there.values() if not load.closed]
    if not opened:
        raise CallError("load", "no load is open", "a load", "idkit load new NAME begins one")
    return opened[-1]


def add_to_load(name: str, wanted: Wanted, once: str = "") -> tuple[Load, tuple[Line, ...]]:
    """Put records, some of a pile, or a weighed line onto a load: the load after it, and the lines that came.

    What is said again with the same `once`, as where an answer was lost on its way, is done once.

    CallError where nothing or more than one of these is said, or the load is closed, or a record is on a load already.
    """
    said = [option for option in ("records", "pile", "category") if getattr(wanted, option)]
    if not said:
        raise CallError("load add", "got nothing to put on", "one of --records, --pile and --category")
    if "pile" in said and len(said) > 1:
        raise CallError("load add", f"got --pile with --{'records' if wanted.records else 'category'}", "one of them")
    if wanted.parts and not wanted.pile:
        raise CallError("--parts", "got it without --pile", "--pile, whose parts they are")
    if wanted.pieces is not None and wanted.pile:
        raise CallError(
            "--pieces", "got it with --pile", "--parts, or --weight", "a pile is taken by parts or by weight"
        )
    load = load_called(name)
    made = _of_pile if wanted.pile else _of_records if wanted.records else _of_weight
    known = tuple(keep.show(number) for number in numbers_of(wanted.records)) if wanted.records else ()
    if wanted.pieces is not None and known and wanted.pieces != len(known) and not _net(wanted, load):
        raise CallError("--pieces", f"got {wanted.pieces} for {len(known)} of --records", "nothing: each is one piece")
    came: list[Line] = []

    def compose(lines: Lines) -> list[keep.Act]:
        now = yard.load_called(load.name, yard.loads_in(lines))
        if once and any(line.kind == "load" and line.body.get("once") == once for line in lines):
            return []
        _refuse_closed(now)
        found, acts = made(now, wanted, known, lines)
        came[:] = [replace(line, number=now.last + step) for step, line in enumerate(found, start=1)]
        mark = {"once": once} if once else {}
        return [*acts, *(("load", now.name, "line", yard.line_as_body(line) | mark) for line in came)]

    keep.write_acts(compose)
    return loads()[load.name], tuple(came)


Made = tuple[list[Line], list[keep.Act]]


def _of_weight(load: Load, wanted: Wanted, known: Sequence[Whole], lines: Lines) -> Made:  # noqa: ARG001
    """A line that a person weighed or counted, named by its category."""
    net = _net(wanted, load)
    if net is None and wanted.pieces is None:
        raise CallError("load add", "got neither a weight nor pieces", "--weight, --gross with --tare, or --pieces")
    category = yard.category_named(wanted.category, "--category", in_use(load.yard).yard)
    return [_line(wanted, category, net)], []


def _of_records(load: Load, wanted: Wanted, known: Sequence[Whole], lines: Lines) -> Made:
    """A line for each record with its own weight; one for all of them where they were weighed together."""
    refuse_removed([each.kept for each in known])
    refuse_dangerous(known)
    _refuse_twice([each.kept.record for each in known], lines)
    net, at = _net(wanted, load), in_use(load.yard).yard
    named_as = yard.category_named(wanted.category, "--category", at) if wanted.category else ""
    if net is None:
        return [_of_record(each, wanted, named_as) for each in known], []
    piles = {pile_said(each.kept) for each in known}
    if len(piles) > 1 and not named_as:
        told = " and ".join(sorted(facts.categories()[pile].name for pile in piles))
        raise CallError("--weight", f"got one weight for records of {told}", "--category, what they are sold as")
    sold_as = named_as or piles.pop()
    may_be = _together([_may_be(each) for each in known], sold_as)
    states = {_state_of(each) for each in known}
    state = wanted.state or (states.pop() if len(states) == 1 else "")
    line = _line(replace(wanted, pieces=wanted.pieces or len(known), state=state), sold_as, net)
    records = tuple(each.kept.record for each in known)
    what = wanted.what or f"{len(known)} part{'s' * (len(known) > 1)}"
    return [replace(line, what=what, records=records, may_be=may_be)], []


def _of_record(each: Whole, wanted: Wanted, category: str) -> Line:
    """One record as a line: weight and state by what was answered."""
    told = weight_of(each.answers)
    line = _line(
        replace(wanted, pieces=1, state=wanted.state or _state_of(each)), category or pile_said(each.kept), told
    )
    return replace(line, what=wanted.what or each.kept.part, records=(each.kept.record,), may_be=_may_be(each))


def _state_of(each: Whole) -> str:
    """Clean or dirty by what is still on it; '' where nobody said."""
    attached = str(each.answers["attached"].value) if "attached" in each.answers else ""
    return "" if not attached else "clean" if attached == "none" else "dirty"


def _may_be(each: Whole) -> dict[str, Decimal]:
    """Chances of the piles a record may be of; empty where a person said what it is, or it was sure."""
    if each.kept.label or each.kept.sure:
        return {}
    found = {row["id"]: Decimal(str(row["chance"])) for row in each.document.get("categories", []) if row["chance"]}
    total = sum(found.values(), Decimal(0))
    return {pile: chance / total for pile, chance in found.items()} if total else {}


def _together(several: Sequence[Mapping[str, Decimal]], sold_as: str) -> dict[str, Decimal]:
    """The mean chances of several records; those that are sure are of the pile that they are sold as."""
    if not any(several):
        return {}
    every = [each or {sold_as: Decimal(1)} for each in several]
    piles = {pile for each in every for pile in each}
    return {pile: sum((each.get(pile, Decimal(0)) for each in every), Decimal(0)) / len(every) for pile in piles}


def _of_pile(load: Load, wanted: Wanted, known: Sequence[Whole], lines: Lines) -> Made:  # noqa: ARG001
    """All of a pile, some of its parts or a weight of it, off the pile and onto the load at once."""
    if wanted.category or wanted.state:
        raise CallError("--category", "got it with --pile", "--pile alone: the pile says what it is sold as")
    lots = numbers_of(wanted.parts, thing="--parts", of="idkit pile list") if wanted.parts else ()
    taken, act = yard.take(lines, wanted.pile, load.name, str(load.last + 1), lots=lots, weight=_net(wanted, load))
    doubted = [_may_be(keep.show(record)) for record in taken.records]
    sure = max(0, (taken.pieces or 0) - len(doubted))
    may_be = _together([*doubted, *([{}] * sure)], taken.category)
    line = Line(
        0, wanted.what or f"off {taken.pile}", taken.category, taken.state, taken.kg, taken.doubt, taken.pieces,
        records=taken.records, may_be=may_be, pile=taken.pile, note=wanted.note,
    )  # fmt: skip
    return [line], [act]


def _line(wanted: Wanted, category: str, net: Weighed | None) -> Line:
    return Line(
        number=0,
        what=wanted.what,
        category=category,
        state=state_named(wanted.state),
        kg=net.kg if net else None,
        doubt=net.step if net else Decimal(0),
        pieces=wanted.pieces,
        gross=wanted.gross,
        tare=wanted.tare,
        note=wanted.note,
    )


def _net(wanted: Wanted, load: Load) -> Weighed | None:
    """The net weight: as it is, or gross less tare with the steps of both; a bare ton is the load's yard's."""
    tons = in_use(load.yard).yard.tons
    if wanted.weight and (wanted.gross or wanted.tare):
        raise CallError("--weight", "got it with --gross or --tare", "--weight for net, or --gross with --tare")
    if wanted.weight:
        return weighed(wanted.weight, "--weight", tons)
    if not wanted.gross:
        if wanted.tare:
            raise CallError("--tare", "got it without --gross", "--gross with --tare")
        return None
    gross, tare = weighed(wanted.gross, "--gross", tons), weighed(wanted.tare, "--tare", tons) if wanted.tare else None
    if tare and tare.kg >= gross.kg:
        raise CallError("--tare", f"got {tare.typed}, not less than {gross.typed}", "less than --gross")
    kg, step = (gross.kg - tare.kg, gross.step + tare.step) if tare else (gross.kg, gross.step)
    return Weighed(kg, step, gross.typed)


def _refuse_closed(load: Load) -> None:
    if load.tickets:
        raise CallError("load", f"{load.name} has its ticket", "a load that was not sold yet", "idkit load new NAME")
    if load.closed:
        raise CallError("load", f"{load.name} is closed", "an open load", f"idkit load close '{load.name}' --open")


def _refuse_twice(records: Sequence[int], lines: Lines) -> None:
    """CallError where one of the records is on a load already, lies on a pile, or was taken apart."""
    refuse_apart(records, lines)
    on = on_loads(lines)
    twice = next((record for record in records if record in on), None)
    if twice is not None:
        raise CallError("--records", f"got {twice}, which is on {on[twice]}", "records that are on no load")
    piles = yard.piles_in(lines).values()
    lying = {record: heap.name for heap in piles for record in yard.records_of(heap.held)}
    lies = next((record for record in records if record in lying), None)
    if lies is not None:
        got, next_step = f"got {lies}, which lies on {lying[lies]}", f"idkit load add --pile '{lying[lies]}' takes it"
        raise CallError("--records", got, "records that lie on no pile", next_step)


def take_off(name: str, number: int) -> Load:
    """Take a line off a load; what it held of a pile goes back onto it."""

    def compose(lines: Lines) -> list[keep.Act]:
        load = yard.load_called(load_called(name).name, yard.loads_in(lines))
        _refuse_closed(load)
        if number not in {line.number for line in load.lines}:
            there = ", ".join(str(line.number) for line in load.lines[:12]) or "none: it is empty"
            raise CallError("line", f"got {number}", there)
        back = yard.put_back(lines, load.name, str(number))
        return [*back, ("load", load.name, "take-off", {"line": number})]

    written = keep.write_acts(compose)
    return loads()[written[-1].name]


def close_load(name: str, *, again: bool = False) -> Load:
    """Close a load: nothing more goes on it; `again` opens it."""

    def compose(lines: Lines) -> list[keep.Act]:
        load = yard.load_called(name, yard.loads_in(lines))
        if load.tickets:
            raise CallError("load", f"{load.name} has its ticket", "a load that was not sold yet")
        if bool(load.closed) is not again:
            raise CallError("load", f"{load.name} is {'closed' if load.closed else 'open'} already", "")
        return [("load", load.name, "open" if again else "close", {})]

    (line,) = keep.write_acts(compose)
    return loads()[line.name]


def currency_of_load(name: str) -> str:
    """The currency that a load is valued in; '' where no prices are in use."""
    load = load_called(name)
    holds = in_use(load.yard, load.closed)
    return holds.prices.currency if holds.prices else ""


def yard_of_load(name: str) -> Yard:
    """The yard that a load goes to."""
    return in_use(load_called(name).yard).yard
