"""Load lists in words, as a table and as JSON."""

from __future__ import annotations

import io
import json
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Any

from idkit import batch, flows
from idkit.flows import LoadGroup as Group
from idkit.flows import LoadLine as Line
from idkit.flows import LoadList as Load
from idkit.flows import LoadShown
from idkit.show.fields import money
from idkit.show.holding import by_whose
from idkit.show.weights import plain, weight
from idkit.show.words import counted
from idkit.vocabulary import Money, Yard

Lines = Iterator[tuple[str, str]]


def begun(load: Load, is_new: bool) -> Lines:  # noqa: FBT001 (as flows give it)
    """A load that was begun or changed."""
    to = f" for {load.yard}" if load.yard else ""
    carries = f"; the vehicle may carry {weight(load.payload.kg)}" if load.payload else ""
    yield "good", f"{'New load' if is_new else 'Changed:'} {load.name}{to}{carries}."


def came(load: Load, lines: Sequence[Line]) -> Lines:
    """What went onto a load."""
    at = flows.yard_of_load(load.name)
    for line in lines:
        yield "good", f"{load.name}, line {line.number}: {one(line, at)}"
        if line.kg is None and line.pieces is None:
            yield "warn", "  nobody weighed it: weigh it before you go"


def one(line: Line, at: Yard) -> str:
    """One line of a load, with what it is sold as."""
    state = f", {line.state}" if line.state else ""
    return f"{line.what + ': ' if line.what else ''}{flows.named_at(line.category, at)}{state}, {much(line)}"


def within(line: Line) -> str:
    """The same under its category."""
    return f"{line.what or 'weighed'}, {much(line)}"


def much(line: Line) -> str:
    """How much of it there is."""
    told = [weight(line.kg)] if line.kg is not None else ["not weighed"] if line.pieces is None else []
    told += [counted(line.pieces, "piece")] if line.pieces is not None else []
    return ", ".join(told)


def shown(found: LoadShown) -> Lines:
    """A load by category: what it fetches first, then its lines, what to ask, what to beware of."""
    load, at = found.valued.load, found.holds.yard
    to = f" to {load.yard}" if load.yard else ""
    yield "title", f"{load.name}{to}, {'closed' if load.closed else 'open'}"
    if load.closed and found.holds.prices is not None:
        yield "dim", f"by the prices that held when it was closed, {load.closed.at[:10]}"
    yield from _sums(found)
    for group in found.valued.groups:
        yield "", ""
        yield from _group(group, at)
    for line in found.since:
        yield "warn", f"{line}."
    if found.questions:
        yield "", ""
        yield "title", "Ask the yard"
        yield from (("doubt", f"  {question}") for question in found.questions)
    for danger in found.dangers:
        yield "warn", f"Leave closed: {danger.message} {danger.who}"
    for caution in found.cautions:
        yield "warn", f"Beware: {caution.message}"
    yield "", ""
    yield from by_whose(found.holds)
    if found.holds.prices is None:
        yield "title", "Confirm at the yard."


def _sums(found: LoadShown) -> Lines:
    valued = found.valued
    if not valued.load.lines:
        yield "", "Nothing is on it yet: idkit load add"
        return
    unweighed = f", {counted(valued.unweighed, 'line')} not weighed" if valued.unweighed else ""
    yield "", f"{weight(valued.kg)} net{unweighed}"
    if (paid := flows.paid(valued.load)) is not None:
        prices = found.holds.prices
        told = flows.money_said(Money(paid, paid, prices.currency)) if prices else f"{paid:f}"
        yield "good", f"{told} paid; what differs from the list: idkit load ticket '{valued.load.name}'"
    if (pays := flows.to_pay(valued)) is not None:
        between, expected = map(flows.money_said, pays)
        yield "good", f"About {expected} expected" + ("." if between == expected else f": {between}")
    if without := without_price(found):
        yield "warn", f"Without a price, counted as nothing: {', '.join(without)}."
    if valued.over is not None and valued.over > 0:
        yield "warn", f"{weight(valued.over)} over what the vehicle may carry: leave some."
    elif valued.over is not None:
        before = f", less what nobody weighed ({counted(valued.unweighed, 'line')})" if valued.unweighed else ""
        yield "", f"{weight(-valued.over)} more may go on{before}."
    if found.metal:
        yield "dim", f"{weight(found.metal)} of metal kept out of landfill."


def without_price(found: LoadShown) -> tuple[str, ...]:
    """What the prices in use have none for, each once."""
    named = [
        flows.named_at(group.category, found.holds.yard)
        for group in found.valued.groups
        if group.money is None and group.fetched.price is None and found.holds.prices is not None
    ]
    return tuple(dict.fromkeys(named))


def _group(group: Group, at: Yard) -> Lines:
    state = f", {group.state}" if group.state else ""
    there = (
        weight(group.kg) if group.kg is not None else counted(group.pieces, "piece") if group.pieces else "not weighed"
    )
    money = f": {flows.money_said(group.money)}" if group.money else ""
    yield "title", f"{flows.named_at(group.category, at)}{state}, {there}{money}"
    if group.money is None and group.fetched.why:
        yield "dim", f"  {group.fetched.why}"
    if group.right < 1:
        unseen = sum(not line.may_be for line in group.lines)
        rest = f"; {counted(unseen, 'line')} without a judged record as you named it" if unseen else ""
        yield "doubt", f"  {int(10 * group.right)} in 10 of it is surely that, by the records{rest}"
    for line in group.lines:
        yield "", f"  {line.number:>3}  {within(line)}"


def every(known: Sequence[Load]) -> Lines:
    """A line a load."""
    if not known:
        yield "", "No load yet. idkit load new NAME begins one."
    for load in reversed(known):
        state = "paid" if load.tickets else "closed" if load.closed else "open"
        yield "good" if state == "open" else "", f"{load.name:30} {load.begun[:10]}  {len(load.lines):4} lines  {state}"


COLUMNS = ("line", "what", "category", "called", "state", "kg", "gross", "tare", "pieces", "records", "pile", "note")


def table(found: LoadShown) -> str:
    """The lines as CSV, as the spreadsheet at the bench has it."""
    out, between = io.StringIO(), batch.MARKS[flows.bench().cells]
    rows: list[Iterable[str]] = [COLUMNS]
    for line in found.valued.load.lines:
        kg = "" if line.kg is None else batch.decimal(plain(line.kg, 6).replace(",", ""), between)
        numbers = " ".join(map(str, line.records))
        rows.append(
            (
                str(line.number),
                line.what,
                line.category,
                flows.named_at(line.category, found.holds.yard),
                line.state,
                kg,
                line.gross,
                line.tare,
                "" if line.pieces is None else str(line.pieces),
                numbers,
                line.pile,
                line.note,
            )
        )
    batch.write_table(out, rows, between)
    return out.getvalue()


def document(found: LoadShown) -> str:
    """A load as one JSON document, decimals as text."""
    valued, load = found.valued, found.valued.load
    span, expected = flows.to_pay(valued) or (None, None)
    paid = flows.paid(load)
    told = {
        "schema": 1,
        "load": load.name,
        "yard": load.yard or None,
        "closed": bool(load.closed),
        "kg": str(valued.kg),
        "unweighed": valued.unweighed,
        "payload_kg": str(load.payload.kg) if load.payload else None,
        "over_kg": str(valued.over) if valued.over is not None else None,
        "value": money(span),
        "expected": amount(expected.low, span) if expected else None,
        "paid": str(paid) if paid is not None else None,
        "categories": [_row(group, found.holds.yard) for group in valued.groups],
        "ask": list(found.questions),
        "cautions": [{"id": each.id, "message": each.message} for each in found.cautions],
        "leave_closed": [{"id": each.id, "message": each.message, "who": each.who} for each in found.dangers],
        "metal_kg": str(found.metal),
        "since": list(found.since),
        "doubts": list(found.holds.doubts),
        "confirm": "Confirm at the yard.",
    }
    return json.dumps(told, indent=1, ensure_ascii=False)


def _row(group: Group, at: Yard) -> dict[str, Any]:
    return {
        "category": group.category,
        "name": flows.named_at(group.category, at),
        "state": group.state or None,
        "kg": str(group.kg) if group.kg is not None else None,
        "pieces": group.pieces,
        "value": money(group.money),
        "expected": amount(group.expected, group.money),
        "surely": str(round(group.right, 4)),
        "why": group.fetched.why or None,
        "lines": [
            {
                "line": line.number,
                "what": line.what,
                "kg": str(line.kg) if line.kg is not None else None,
                "pieces": line.pieces,
                "records": list(line.records),
                "pile": line.pile or None,
            }
            for line in group.lines
        ],
    }


def amount(value: Decimal | None, of: Money | None) -> str | None:
    """An amount of the same currency as text."""
    return None if value is None or of is None else str(flows.rounded(value, of.currency))
