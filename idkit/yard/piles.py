"""The user's piles as the daybook tells them, and the door by which a load takes all or some of one."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from idkit.errors import CallError
from idkit.vocabulary import Weighed, Written
from idkit.yard import heaps
from idkit.yard.heaps import Held, Lot
from idkit.yard.names import called

Act = tuple[str, str, str, Mapping[str, Any]]


@dataclass(frozen=True)
class Checked:
    """The last check of a pile: of `there` pieces, None where nobody counted, so many were looked at and were wrong."""

    at: str
    looked_at: int
    wrong: int
    there: int | None


@dataclass(frozen=True)
class Heap:
    """One pile in its bucket: what it is sold as, the bucket's tare, place and room, and what is in it.

    `state` is clean, dirty or '' where nobody said; `last` is the highest number that a lot of it ever had.
    """

    name: str
    category: str = ""
    state: str = ""
    tare: Weighed | None = None
    place: str = ""
    litres: Decimal | None = None
    held: Held = Held()
    last: int = 0
    checked: Checked | None = None


@dataclass(frozen=True)
class Taken:
    """What a load takes of a pile: its mass in kg, None where nobody knows, how far it may be off, pieces, records.

    `records` are of the parts that are surely in it: none where some was taken by weight, now or before.
    """

    pile: str
    category: str
    state: str
    kg: Decimal | None
    doubt: Decimal
    pieces: int | None
    records: tuple[int, ...]


@dataclass(frozen=True)
class _OnLoad:
    """What a line of a load holds of a pile, and that pile before it was taken and after."""

    pile: str
    held: Held
    before: Held
    left: Held


@dataclass
class _Book:
    """The piles while the daybook is read, and what lies on which line of which load."""

    piles: dict[str, Heap] = field(default_factory=dict)
    on_loads: dict[tuple[str, str], _OnLoad] = field(default_factory=dict)


def piles_in(lines: Iterable[Written]) -> Mapping[str, Heap]:
    """Every pile by name, after all lines of the daybook."""
    return _read(lines).piles


def pile_called(typed: str, known: Mapping[str, Heap], thing: str = "pile") -> Heap:
    """The pile of that name; CallError, with the nearest, where there is none."""
    return called(typed, known, "pile", thing)


def take(
    lines: Iterable[Written],
    pile: str,
    load: str,
    line: str,
    *,
    lots: Collection[int] = (),
    weight: Weighed | None = None,
) -> tuple[Taken, Act]:
    """All of a pile, those lots of it, or so much by weight, taken onto a line of a load: what that is, and its act.

    To be written in the same transaction as the line of the load; `line` is the load's own name for it. CallError where
    the pile is empty or unknown, has no such lot, holds less, or that line holds some of a pile already.
    """
    book = _read(lines)
    heap = pile_called(pile, book.piles, "--pile")
    if (load, line) in book.on_loads:
        raise CallError("--pile", f"got {heap.name} for a line that holds some of a pile", "a line of its own")
    refuse_missing(heap, lots, "--pile")
    if lots and weight:
        raise CallError("--pile", "got lots and a weight", "one of the two")
    _, gone = _leaving(heap, lots, weight)
    body: dict[str, Any] = {"load": load, "line": line} | _which(lots, weight)
    there = heaps.mass(gone)
    count = heaps.pieces_of(gone) if gone.lots else None
    sure = () if gone.loose else heaps.records_of(gone)
    taken = Taken(heap.name, heap.category, heap.state, there.kg, there.doubt, count, sure)
    return taken, ("pile", heap.name, "take", body)


def records_on_loads(lines: Iterable[Written]) -> dict[int, str]:
    """The load that each record went onto with a pile, or may have: of what was poured nobody knows which are left."""
    held = _read(lines).on_loads.items()
    return {record: load for (load, _), each in held for record in heaps.records_of(each.held)}


def put_back(lines: Iterable[Written], load: str, line: str) -> tuple[Act, ...]:
    """The act that puts back on its pile what that line of a load holds; none where it holds nothing of a pile."""
    there = _read(lines).on_loads.get((load, line))
    return (("pile", there.pile, "back", {"load": load, "line": line}),) if there else ()


def move(
    lines: Iterable[Written], pile: str, lots: Collection[int], weight: Weighed | None, *, to: str = "", out: str = ""
) -> Act:
    """The act that takes those lots, all where none is named, or a weight onto another pile, or out for a reason."""
    there = piles_in(lines)
    heap = pile_called(pile, there)
    refuse_missing(heap, lots, "--parts")
    _leaving(heap, lots, weight)
    if out:
        return "pile", heap.name, "move", _which(lots, weight) | {"out": out}
    goal = pile_called(to, there, "--to")
    if goal.name == heap.name:
        raise CallError("--to", f"got {goal.name}, where they lie", "another pile")
    return "pile", heap.name, "move", _which(lots, weight) | {"to": goal.name}


def refuse_missing(heap: Heap, lots: Collection[int], thing: str) -> None:
    """CallError where the pile is empty or lacks one of those lots."""
    if heaps.is_empty(heap.held):
        raise CallError(thing, f"{heap.name} is empty", "a pile with something on it")
    missing = [number for number in lots if number not in {lot.number for lot in heap.held.lots}]
    if missing:
        there = ", ".join(str(lot.number) for lot in heap.held.lots[:12]) or "none: nobody told its parts apart"
        raise CallError(
            thing, f"{heap.name} has no part {missing[0]}", there, f"idkit pile list '{heap.name}' shows it"
        )


def _which(lots: Collection[int], weight: Weighed | None) -> dict[str, Any]:
    """What left, as the daybook keeps it: some lots, a weight, or all."""
    return {"lots": sorted(lots)} if lots else {"weight": heaps.as_body(weight)} if weight else {}


def _leaving(heap: Heap, lots: Collection[int], weight: Weighed | None) -> tuple[Held, Held]:
    if weight:
        return heaps.poured(heap.held, weight, "--weight")
    return heaps.parted(heap.held, lots) if lots else (Held(), heap.held)


def _read(lines: Iterable[Written]) -> _Book:
    book = _Book()
    for line in lines:
        if line.kind == "pile":
            _ACTS[line.act](book, line)
    return book


def _new(book: _Book, line: Written) -> None:
    """A pile begun, or something of it said anew."""
    heap, body = book.piles.get(line.name, Heap(line.name)), line.body
    said: dict[str, Any] = {name: body[name] for name in ("category", "state", "place") if name in body}
    if "tare" in body:
        said["tare"] = heaps.of_body(body["tare"])
    if "litres" in body:
        said["litres"] = Decimal(body["litres"])
    book.piles[line.name] = replace(heap, **said)


def _add(book: _Book, line: Written) -> None:
    lots = tuple(
        Lot(0, row["what"], row["record"], row["pieces"], heaps.of_body(row["weight"])) for row in line.body["lots"]
    )
    _come(book, line.name, Held(lots))


def _come(book: _Book, name: str, held: Held) -> None:
    heap = book.piles[name]
    more = heaps.numbered(held, heap.last)
    book.piles[name] = replace(heap, held=heaps.together(heap.held, more), last=heap.last + len(more.lots))


def _weigh(book: _Book, line: Written) -> None:
    heap, body = book.piles[line.name], line.body
    if "lot" in body:
        weighed = heaps.of_body(body["weight"])
        held = heaps.weighed_one(heap.held, body["lot"], weighed) if weighed else heap.held
    else:
        held = heaps.weighed_whole(heap.held, Decimal(body["net"]), Decimal(body["doubt"]))
    book.piles[line.name] = replace(heap, held=held)


def _leave(book: _Book, line: Written) -> Held:
    heap = book.piles[line.name]
    left, gone = _leaving(heap, line.body.get("lots", ()), heaps.of_body(line.body.get("weight")))
    book.piles[line.name] = replace(heap, held=left)
    return gone


def _move(book: _Book, line: Written) -> None:
    """To another pile, or out. What has no lots arrives as one: uncounted where it was taken by weight, of no piece
    where it is what the whole weighed beyond its parts.
    """
    gone, weight = _leave(book, line), heaps.of_body(line.body.get("weight"))
    if "to" in line.body:
        weight = weight or Weighed(gone.whole, gone.doubt, heaps.said_kg(gone.whole))
        as_one = Held((Lot(0, f"from {line.name}", None, heaps.pieces_of(gone), weight),))
        _come(book, line.body["to"], gone if gone.lots else as_one)


def _take(book: _Book, line: Written) -> None:
    before = book.piles[line.name].held
    gone = _leave(book, line)
    key = line.body["load"], line.body["line"]
    book.on_loads[key] = _OnLoad(line.name, gone, before, book.piles[line.name].held)


def _back(book: _Book, line: Written) -> None:
    taken = book.on_loads.pop((line.body["load"], line.body["line"]))
    heap = book.piles[taken.pile]
    untouched = heap.held == taken.left  # then all is known again that was known before
    held = taken.before if untouched else heaps.together(heap.held, taken.held)
    book.piles[taken.pile] = replace(heap, held=held)


def _check(book: _Book, line: Written) -> None:
    body = line.body
    checked = Checked(line.at, body["looked_at"], body["wrong"], body["there"])
    book.piles[line.name] = replace(book.piles[line.name], checked=checked)


_ACTS: Mapping[str, Callable[[_Book, Written], object]] = {
    "new": _new,
    "add": _add,
    "weigh": _weigh,
    "move": _move,
    "take": _take,
    "back": _back,
    "check": _check,
}
