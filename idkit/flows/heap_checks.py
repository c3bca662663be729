"""A pile checked by some of its pieces, drawn at random."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from itertools import accumulate

from idkit import keep, yard
from idkit.decide.intervals import at_most
from idkit.errors import CallError
from idkit.flows.heaps import Lines, after

MOST = 10_000
MORE = (2, 4)  # times as many, to tell what looking at more would show


@dataclass(frozen=True)
class Piece:
    """One piece to look at: its lot, and which of the lot's pieces it is."""

    lot: yard.Lot
    which: int


@dataclass(frozen=True)
class Shown:
    """What `looked_at` pieces with so many wrong ones show: the most that may be wrong, as a share and in pieces.

    True 19 times in 20. `pieces` is None where nobody counted the pile: then it is taken for endless.
    """

    looked_at: int
    wrong: int
    share: float
    pieces: int | None


@dataclass(frozen=True)
class Proposed:
    """A check of a pile: the pieces to look at, none where nobody counted them; what it shows, and what more would."""

    heap: yard.Heap
    there: int | None
    pieces: tuple[Piece, ...]
    shown: Shown
    more: tuple[Shown, ...]


def check_pile(pile: str, count: int, seed: int, wrong: int | None = None) -> Proposed:
    """Draw so many pieces of a pile and say what they show; where `wrong` is said, that is kept as the last check.

    Without it, what finding none wrong would show. CallError for an empty pile, or more wrong than were looked at.
    """
    if not 0 < count <= MOST:
        raise CallError("count", f"got {count}", f"1 to {MOST} pieces")
    heap = yard.pile_called(pile, yard.piles_in(keep.acts("pile")))
    yard.refuse_missing(heap, (), "pile")
    there = yard.pieces_of(heap.held)
    looked_at = min(count, there or count)
    if wrong is not None and not 0 <= wrong <= looked_at:
        raise CallError("--wrong", f"got {wrong}", f"0 to {looked_at}, how many were looked at")
    if wrong is not None:
        heap = _kept(heap.name, there, looked_at, wrong)
    chosen = yard.drawn(there, looked_at, seed) if there else ()
    more = (shown(there, min(times * looked_at, there or MOST), 0) for times in MORE)
    told = shown(there, looked_at, wrong or 0)
    return Proposed(
        heap, there, _pieces(heap, chosen), told, tuple(each for each in more if each.looked_at > looked_at)
    )


def shown(there: int | None, looked_at: int, wrong: int) -> Shown:
    """What so many wrong ones among those looked at show of all that are there."""
    if there is None:
        return Shown(looked_at, wrong, at_most(wrong, looked_at), None)
    most = yard.most_wrong(there, looked_at, wrong)
    return Shown(looked_at, wrong, most / there, most)


def _kept(pile: str, there: int | None, looked_at: int, wrong: int) -> yard.Heap:
    """Note the check; CallError where the pile has changed since its pieces were drawn."""

    def compose(lines: Lines) -> list[keep.Act]:
        if yard.pieces_of(yard.piles_in(lines)[pile].held) != there:
            raise CallError("pile", f"{pile} was changed meanwhile", "", "check it again")
        return [("pile", pile, "check", {"looked_at": looked_at, "wrong": wrong, "there": there})]

    return after(keep.write_acts(compose))


def _pieces(heap: yard.Heap, chosen: tuple[int, ...]) -> tuple[Piece, ...]:
    """The chosen pieces, counted through the lots in their order."""
    ends = list(accumulate(lot.pieces or 0 for lot in heap.held.lots))
    places = [bisect_left(ends, number) for number in chosen]
    return tuple(
        Piece(heap.held.lots[place], number - (ends[place - 1] if place else 0))
        for place, number in zip(places, chosen, strict=True)
    )
