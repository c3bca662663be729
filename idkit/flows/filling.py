"""Parts put onto a pile, with their records or without."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from idkit import facts, keep, yard
from idkit.errors import CallError
from idkit.flows.heaps import Lines, after
from idkit.flows.keeping import numbers_of
from idkit.flows.listings import category_name
from idkit.flows.weighing import weighed, weight_of
from idkit.vocabulary import Danger, Kept, Weighed, Whole


@dataclass(frozen=True)
class Filled:
    """What went onto a pile: the pile after it, how many lots came, and what is doubtful of them, a line each."""

    heap: yard.Heap
    came: int
    doubts: tuple[str, ...]


def add_to_pile(pile: str, records: str, what: str, pieces: int | None, weight: str) -> Filled:
    """Put kept records, or something without one, onto a pile; `pieces` is None where nobody counted.

    A record brings the weight that was said of it. CallError for a record that lies on a pile already.
    """
    if pieces is not None and pieces < 1:
        raise CallError("--pieces", f"got {pieces}", "1 or more, or --uncounted")
    kept = keep.known(numbers_of(records)) if records else ()
    refuse_dangerous([keep.show(each.record) for each in kept])
    lots = _of_records(kept, what, pieces, weight) if kept else [_lot(what, None, pieces, weight)]

    def compose(lines: Lines) -> list[keep.Act]:
        there = yard.piles_in(lines)
        heap = yard.pile_called(pile, there)
        if not (records.strip() or what.strip() or weight.strip() or pieces != 1):
            right = "--records, --what, --weight, or --pieces of things without a record"
            raise CallError("pile add", "got nothing to put on", right)
        _refuse_twice([each.record for each in kept], lines)
        return [("pile", heap.name, "add", {"lots": lots})]

    heap = after(keep.write_acts(compose))
    return Filled(heap, len(lots), tuple(_doubt(each, heap) for each in kept if pile_said(each) != heap.category))


def _lot(what: str, record: int | None, pieces: int | None, weight: str | Weighed | None) -> dict[str, Any]:
    told = weighed(weight, "--weight") if isinstance(weight, str) and weight else weight or None
    kept = yard.as_body(told) if isinstance(told, Weighed) else None
    return {"what": what, "record": record, "pieces": pieces, "weight": kept}


def _of_records(kept: Sequence[Kept], what: str, pieces: int | None, weight: str) -> list[dict[str, Any]]:
    """A lot for every record. One may be weighed anew; several have the weights that were said of them."""
    refuse_removed(kept)
    if len(kept) > 1 and (weight or what):
        raise CallError("--weight or --what", "got one for several records", "one record at a time")
    if pieces != 1:
        raise CallError("--pieces", "got it with records", "nothing: a record is one piece")
    known = keep.answers([each.record for each in kept])
    return [_lot(what or each.part, each.record, 1, weight or weight_of(known[each.record])) for each in kept]


def refuse_removed(kept: Sequence[Kept]) -> None:
    """CallError where one of the records was removed."""
    gone = next((each.record for each in kept if each.removed), None)
    if gone is not None:
        raise CallError("record", f"got {gone}, which was removed", "", f"idkit samples remove {gone} --undo first")


def remove(numbers: str, *, undo: bool = False) -> int:
    """Take records out of lists and learning, or put them back; how many that changed.

    CallError where one lies on a pile, or on a load that was not sold yet.
    """
    wanted = numbers_of(numbers)
    if not undo:
        lines = keep.acts("pile", "load", "find")
        sold = {
            record
            for load in yard.loads_in(lines).values()
            if load.tickets
            for line in load.lines
            for record in line.records
        }
        refuse_placed([record for record in wanted if record not in sold], lines)
    return keep.remove(wanted, undo=undo)


def dangers_of_record(whole: Whole) -> tuple[Danger, ...]:
    """Why a kept part is left closed, whole or dry, as it was told when it was kept."""
    known = facts.dangers()
    named = (str(each.get("id")) for each in whole.document.get("leave_closed", []) if isinstance(each, dict))
    return tuple(known[id_] for id_ in named if id_ in known)


def refuse_dangerous(wanted: Sequence[Whole]) -> None:
    """CallError where one of the parts is to be left alone: nobody carries it onto a pile or a load."""
    for each in wanted:
        for danger in dangers_of_record(each):
            if danger.leave_alone:
                got = f"got {each.kept.record} ({each.kept.part}): {danger.message}"
                raise CallError("--records", got, "parts that may be carried", danger.who)


def on_loads(lines: Lines) -> dict[int, str]:
    """The load that each record is on, by itself or with a pile."""
    loads = yard.loads_in(lines).values()
    by_itself = {record: load.name for load in loads for line in load.lines for record in line.records}
    return yard.records_on_loads(lines) | by_itself


def refuse_apart(wanted: Sequence[int], lines: Lines, but: str = "") -> None:
    """CallError where one of the records is of a find that was taken apart: its parts are sold, not the whole.

    `but` is a find that does not count.
    """
    finds = [find for find in yard.finds_in(lines).values() if find.name != but]
    apart = {find.record: find.name for find in finds if any(way.done for way in find.ways)}
    for record in wanted:
        if record in apart:
            raise CallError("record", f"got {record}, which was taken apart as {apart[record]}", "what came of it")


def _refuse_twice(wanted: Sequence[int], lines: Lines) -> None:
    """CallError where one of the records lies on a pile already, is on a load, or was taken apart."""
    refuse_apart(wanted, lines)
    refuse_placed(wanted, lines)


def refuse_placed(wanted: Sequence[int], lines: Lines) -> None:
    """CallError where one of the records lies on a pile or is on a load."""
    lying = {record: heap.name for heap in yard.piles_in(lines).values() for record in yard.records_of(heap.held)}
    gone = on_loads(lines)
    for record in wanted:
        if record in lying:
            next_step = f"idkit pile move {lying[record]!r} takes it to another"
            raise CallError("record", f"got {record}, which lies on {lying[record]} already", "", next_step)
        if record in gone:
            raise CallError(
                "record", f"got {record}, which is on the load {gone[record]}", "", "take it off there first"
            )


def pile_said(kept: Kept) -> str:
    """The pile that a person said, where one did, else the machine."""
    return kept.label.pile if kept.label and kept.label.pile else kept.pile


def _doubt(kept: Kept, heap: yard.Heap) -> str:
    said = "was said to be" if kept.label and kept.label.pile else "was taken for"
    mixed = f"record {kept.record} ({kept.part}) {said} {category_name(pile_said(kept))}"
    return f"{mixed}, and this is a pile of {category_name(heap.category)}: look again"
