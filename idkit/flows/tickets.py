"""What a yard weighed, called and paid: read, kept, set against the load list, and the records behind it confirmed."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from difflib import get_close_matches
from typing import TypeVar

from idkit import keep, yard
from idkit.errors import CallError, FaultyTable, IdkitError
from idkit.flows.confirming import Voice, label_of
from idkit.flows.heaps import Lines, state_named
from idkit.flows.loads import load_called
from idkit.flows.weighing import weighed
from idkit.flows.yards import InUse, in_use
from idkit.vocabulary import Label, Yard
from idkit.yard import Difference, Group, Load, Reconciled, Ticketed, number

T = TypeVar("T")
Fate = tuple[object, ...]
Cells = tuple[int, Mapping[str, str]]
FAR = Decimal("0.2")  # of what was listed, from which more or less is hardly the same things; from memory
BESIDE = ("yard", "currency", "date", "note")  # columns that a ticket may have beside those that are read
ALSO = {"pile": "category", "deduct": "deducted", "called-category": "called", "amount": "paid"}


@dataclass(frozen=True)
class Confirmed:
    """What confirming a ticket did: records that the yard took for what they were sold as, downgraded lines, and those
    of which the ticket says nothing, for they were not paid, or what was weighed is far from what was listed.
    """

    records: tuple[int, ...]
    downgraded: tuple[keep.Downgrade, ...]
    doubtful: tuple[int, ...] = ()


@dataclass
class _Row:
    """One line of a ticket while it is read; what is wrong is gathered."""

    place: str
    cells: Mapping[str, str]
    faults: list[IdkitError] = field(default_factory=list)

    def read(self, column: str, reader: Callable[[str, str], T], otherwise: T, *, needed: bool = False) -> T:
        typed = self.cells.get(column, "").strip()
        thing = f"{self.place}, column {column}" if self.place else f"--{column}"
        if not typed:
            if needed:
                self.faults.append(CallError(thing, "is empty", "what the ticket says"))
            return otherwise
        try:
            return reader(typed, thing)
        except IdkitError as error:
            self.faults.append(error)
            return otherwise


def read_ticket(
    name: str, header: Sequence[str], rows: Sequence[Cells], at: Yard, currency: str = ""
) -> tuple[Ticketed, ...]:
    """The lines of a ticket in a table of that name; FaultyTable, with every wrong cell, where one can't be read.

    Where the ticket names a yard or a currency, it is the load's; `currency` is '' where no prices are in use.
    """
    meaning = yard.meanings(name, header, _meaning)
    missing = [column for column in ("category", "paid") if column not in meaning.values()]
    if missing:
        columns = ", ".join(yard.TICKET_COLUMNS)
        raise CallError(name, f"lacks {' and '.join(missing)}", f"columns of {columns}", "category and paid at least")
    unknown = next((column for column, is_ in meaning.items() if is_ not in (*yard.TICKET_COLUMNS, *BESIDE)), None)
    if unknown is not None:
        near = get_close_matches(_meaning(unknown), (*yard.TICKET_COLUMNS, *BESIDE), 1)
        guess = f"is it {near[0]!r}?" if near else "take it out, or call it note"
        raise CallError(name, f"has the column {unknown!r}", ", ".join((*yard.TICKET_COLUMNS, *BESIDE)), guess)
    if not rows:
        raise CallError(name, "has no line in it", "a row for each line of the ticket")
    read = [_Row(f"{name}, row {row}", {meaning[c]: text for c, text in cells.items()}) for row, cells in rows]
    for row in read:
        row.read("yard", lambda typed, thing: _is(typed, thing, at.name), "")
        row.read("currency", lambda typed, thing: _is(yard.currency_of(typed, thing), thing, currency), "")
    found = tuple(_ticketed(row, at) for row in read)
    faults = [fault for row in read for fault in row.faults]
    if faults:
        raise FaultyTable(name, [*map(str, faults)], "cell", "nothing of it is kept")
    return found


def one_line(cells: Mapping[str, str], at: Yard) -> Ticketed:
    """A line of a ticket as typed in options; the first of what can't be read is raised."""
    row = _Row("", cells)
    found = _ticketed(row, at)
    if row.faults:
        raise row.faults[0]
    return found


def _is(typed: str, thing: str, right: str) -> str:
    """What the load has too, where it has any."""
    if right and yard.known_name(typed, [right]) is None:
        raise CallError(thing, f"got {typed!r}", f"{right}, as the load has it")
    return typed


def _meaning(column: str) -> str:
    plain = re.sub(r"[\s_]+", "-", column.strip().lower())
    return ALSO.get(plain, plain)


def _ticketed(row: _Row, at: Yard) -> Ticketed:
    none = Decimal(0)

    def mass(typed: str, thing: str) -> Decimal:
        return weighed(typed, thing, at.tons).kg

    def category(typed: str, thing: str) -> str:
        return yard.category_named(typed, thing, at)

    claimed = row.read("category", category, "", needed=True)
    state = row.read("state", state_named, "")
    unit = row.read("unit", lambda typed, thing: yard.unit_of(typed, thing, at.tons), yard.UNITS["kg"])
    by_piece = unit.kg is None
    pieces = row.read("pieces", _count, 0, needed=by_piece)
    whole: Decimal | None = row.read("gross", mass, None)
    said: Decimal | None = row.read("net", mass, None, needed=not by_piece and not row.cells.get("gross", "").strip())
    tare = row.read("tare", mass, none)
    net, taken = said or none, None if whole is None else whole - tare
    off = row.read("deducted", lambda typed, thing: _deducted(typed, thing, taken, net), none)
    step = row.read("step", mass, none)
    if taken is not None:
        net = taken - off
        room = max(step, _last_digit(row.cells.get("net", ""), at) / 2)
        if not row.faults and (net < 0 or (said is not None and abs(said - net) > room)):
            told = f"gross less tare less deducted is {yard.said_kg(net)}"
            told += "" if said is None else f", net says {row.cells['net'].strip()} ({yard.said_kg(said)})"
            row.faults.append(CallError(row.place or "--net", told, "what the ticket says, or leave one of them out"))
        elif said is not None:  # as the ticket has it, rounded to the yard's scale
            net, off = said, taken - said
    gross = net + off + tare if whole is None else whole
    paid = row.read("paid", number, none, needed=True)
    fee = row.read("fee", number, none)
    price = row.read("price", number, _worked_out(paid + fee, Decimal(pieces) if by_piece else net, unit.kg))
    called = row.read("called", category, claimed)
    return Ticketed(
        category=claimed,
        state=state,
        called=claimed if yard.goes_with(at, called) == yard.goes_with(at, claimed) else called,
        called_state=row.read("called-state", state_named, state),
        gross=gross,
        tare=tare,
        deducted=off,
        reason=row.cells.get("reason", "").strip(),
        net=net,
        unit=unit,
        price=price,
        paid=paid,
        fee=fee,
        step=step,
        pieces=pieces,
    )


def _last_digit(typed: str, at: Yard) -> Decimal:
    """How much the last digit of a weight stands for, in kg; 0 where it is none."""
    try:
        return weighed(typed, "--net", at.tons).step
    except IdkitError:
        return Decimal(0)


def _worked_out(paid: Decimal, amount: Decimal, kg: Decimal | None) -> Decimal:
    """The price that a ticket does not print: what was paid before the fee, by the net weight or the pieces."""
    return paid / (amount / (kg or 1)) if amount else paid


def _count(typed: str, thing: str) -> int:
    if not typed.isdecimal() or not int(typed):
        raise CallError(thing, f"got {typed!r}", "a number of pieces, 1 or more")
    return int(typed)


def _deducted(typed: str, thing: str, taken: Decimal | None, net: Decimal) -> Decimal:
    """A weight, or per cent of what was weighed: of `taken`, or of what left so much net."""
    if not typed.endswith("%"):
        return weighed(typed, thing).kg
    share = number(typed.rstrip("% "), thing) / 100
    if share >= 1:
        raise CallError(thing, f"got {typed!r}", "per cent of the weight, under 100")
    return net * share / (1 - share) if taken is None else taken * share


def keep_ticket(name: str, lines: Sequence[Ticketed], *, more: bool = False) -> Load:
    """Keep what the yard said of a load; the load is closed by it.

    Said again, it takes the place of what was said before, which stays in the daybook; with `more` it adds to it.
    CallError where the load was confirmed by its ticket, and this one would say otherwise of the records behind it.
    """
    body = {"lines": [yard.ticketed_as_body(line) for line in lines], "more": more}
    there = load_called(name)
    holds = in_use(there.yard, there.closed)

    def compose(before: Lines) -> list[keep.Act]:
        load = yard.load_called(name, yard.loads_in(before))
        if load.confirmed:
            now = replace(load, tickets=(*(load.tickets if more else ()), body))
            _refuse_otherwise(load.name, _fates(_against(load, holds)), _fates(_against(now, holds)))
        return [("load", load.name, "ticket", body)]

    (line,) = keep.write_acts(compose)
    return yard.loads_in(keep.acts("load"))[line.name]


def paid(load: Load) -> Decimal | None:
    """What was paid for a load by its tickets; None where it has none."""
    lines = [yard.ticketed_of(body) for ticket in load.tickets for body in ticket["lines"]]
    return sum((line.paid for line in lines), Decimal(0)) if lines else None


def _refuse_otherwise(load: str, before: Mapping[int, Fate], now: Mapping[int, Fate]) -> None:
    """CallError where a ticket would say something else of the records that another has confirmed."""
    other = sorted(record for record in before.keys() | now.keys() if before.get(record) != now.get(record))
    if other:
        those = ", ".join(map(str, other))
        got = f"{load} was confirmed by its ticket, and this one says otherwise of record {those}"
        raise CallError("load", got, "weights and money alone", "say what each part is: idkit confirm RECORD")


def reconcile(name: str) -> tuple[Reconciled, InUse]:
    """A load against its tickets; CallError where it has none."""
    load = load_called(name)
    if not load.tickets:
        raise CallError("load", f"{load.name} has no ticket", "", f"idkit load ticket '{load.name}' --file TICKET.csv")
    holds = in_use(load.yard, load.closed)
    return _against(load, holds), holds


def _against(load: Load, holds: InUse) -> Reconciled:
    lines = [yard.ticketed_of(body) for ticket in load.tickets for body in ticket["lines"]]
    return yard.reconciled(yard.valued(load, holds.prices, holds.yard), lines, holds.prices, holds.yard)


def confirm_ticket(name: str) -> Confirmed:
    """Confirm the pile of the records behind each line by the yard's word; downgraded lines say so, and no more.

    Where the yard made several lines of one and downgraded some, nobody knows which records those are, and none is
    confirmed. CallError where it was done already.
    """
    found, holds = reconcile(name)
    voice = Voice("yard", holds.yard.name, f"ticket of {found.load.name}")
    labels: list[Label] = []
    worse: list[keep.Downgrade] = []
    doubtful: list[int] = []
    for group, its in _by_group(found):
        records = keep.still_kept([record for line in group.lines for record in line.records])
        below, as_sold = _taken(group, its)
        if below and records:
            worse += [_downgrade(each, records, holds.yard.name) for each in below]
        elif as_sold:
            labels += _as_sold(group, records, voice, holds.yard)
        else:
            doubtful += records

    def compose(before: Lines) -> list[keep.Act]:
        load = yard.loads_in(before)[found.load.name]
        if load.tickets != found.load.tickets:
            raise CallError("--confirm", f"{load.name} got another ticket meanwhile", "", "say it again")
        if load.confirmed:
            raise CallError("--confirm", f"{found.load.name} was confirmed already", "a load that was not")
        return [("load", found.load.name, "confirm", {})]

    keep.settle(compose, labels, worse)
    return Confirmed(tuple(label.record for label in labels), tuple(worse), tuple(doubtful))


def _by_group(found: Reconciled) -> list[tuple[Group, list[Difference]]]:
    """The groups of the load list that the ticket names, each with its lines of the ticket."""
    by: dict[tuple[str, str], tuple[Group, list[Difference]]] = {}
    for each in found.differences:
        if each.group is not None:
            by.setdefault((each.group.category, each.group.state), (each.group, []))[1].append(each)
    return list(by.values())


def _taken(group: Group, its: Sequence[Difference]) -> tuple[list[Ticketed], bool]:
    """Lines of the ticket that made less of a group, and whether all of them took it as it was sold."""
    below = [each.ticketed for each in its if _below(each.ticketed, group)]
    return below, not below and all(each.ticketed.paid > 0 and not _is_far(each, group) for each in its)


def _fates(found: Reconciled) -> dict[int, Fate]:
    """What the ticket says of every record behind the lines it names: what it was sold as, whether it was taken as
    that, and what it was called instead."""
    told: dict[int, Fate] = {}
    for group, its in _by_group(found):
        below, as_sold = _taken(group, its)
        fate = (group.category, as_sold, *((each.called, each.called_state) for each in below))
        told |= {record: fate for line in group.lines for record in line.records}
    return told


def _is_far(each: Difference, group: Group) -> bool:
    """Whether the yard found so much more or less that it hardly weighed or counted the same things."""
    listed = Decimal(group.pieces or 0) if each.ticketed.by_piece else group.kg
    return bool(each.off and each.apart and listed and abs(each.off) > FAR * listed)


def _below(each: Ticketed, group: Group) -> bool:
    """Whether the yard took it for something else than was claimed, or for dirty where clean was listed."""
    return each.downgraded or (group.state == "clean" and each.called_state == "dirty")


def _as_sold(group: Group, records: Sequence[int], voice: Voice, at: Yard) -> list[Label]:
    """The yard took these records for what their lines were sold as; what it said of one part itself stands."""
    said = {
        each.record
        for each in keep.known(records)
        if each.label and each.label.by == "yard" and each.label.yard in ("", at.name)
    }
    answers = keep.answers([record for record in records if record not in said])
    return [
        label_of(record, answers[record], "", line.category, voice, at)
        for line in group.lines
        for record in line.records
        if record in answers
    ]


def _downgrade(each: Ticketed, records: tuple[int, ...], at: str) -> keep.Downgrade:
    return keep.Downgrade(at, each.category, each.called, _reason(each), records)


def _reason(each: Ticketed) -> str:
    """Why a line was paid as less: what the yard said, and clean for dirty where that is all."""
    said = each.reason or "no reason said"
    return f"{each.called_state}, {said}" if each.called == each.category and each.called_state else said
