"""Piles begun, filled, weighed, moved and listed; each is one act in the daybook."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from idkit import keep, yard
from idkit.errors import CallError
from idkit.flows.keeping import numbers_of
from idkit.flows.weighing import weighed
from idkit.flows.yards import InUse, in_use, named_at
from idkit.vocabulary import STATES, Money, Weighed, Written

LONGEST = 60  # letters of a name
Lines = Sequence[Written]


@dataclass(frozen=True)
class Balance:
    """A pile weighed as a whole: net, and what its lots weigh by themselves where all were, both with their doubt."""

    heap: yard.Heap
    net: yard.Mass
    alone: yard.Mass


@dataclass(frozen=True)
class Listed:
    """One pile as a list shows it: mass, worth, that for a litre, or why it has none where there is a price list."""

    heap: yard.Heap
    sold_as: str
    mass: yard.Mass
    pieces: int | None
    money: Money | None
    a_litre: Money | None
    why: str


def new_pile(
    name: str,
    category: str = "",
    state: str = "",
    tare: str = "",
    place: str = "",
    volume: str = "",
) -> tuple[yard.Heap, bool]:
    """Begin a pile, or say something anew of one that is there; the pile, and whether it is new.

    Categories go by the names of the yard in use too. CallError for a new pile without category.
    """
    body: dict[str, Any] = {}
    if category:
        body["category"] = yard.category_named(category, "--category", in_use().yard)
    if state:
        body["state"] = state_named(state)
    if tare:
        body["tare"] = yard.as_body(weighed(tare, "--tare"))
    if volume:
        body["litres"] = str(yard.litres(volume, "--volume"))
    if place:
        body["place"] = place

    def compose(lines: Lines) -> list[keep.Act]:
        there = yard.piles_in(lines)
        known = yard.known_name(name, there)
        if known is None and not category:
            raise CallError("--category", f"{name} is new", "what it is sold as", "idkit facts categories lists them")
        if known and not body:
            raise CallError("pile", f"{known} is there already", "what to change: --category, --state, --tare ...")
        return [("pile", known or named(name), "new", body)]

    (line,) = keep.write_acts(compose)
    lines = keep.acts("pile")
    return yard.piles_in(lines)[line.name], sum(each.name == line.name for each in lines) == 1


def weigh_pile(pile: str, typed: str, *, part: int | None = None, net: bool = False) -> Balance:
    """Weigh all of a pile, bucket and all unless `net`, or one lot of it by itself."""
    told = weighed(typed, "weight")

    def compose(lines: Lines) -> list[keep.Act]:
        heap = yard.pile_called(pile, yard.piles_in(lines))
        yard.refuse_missing(heap, () if part is None else (part,), "--part")
        if part is not None:
            return [("pile", heap.name, "weigh", {"lot": part, "weight": yard.as_body(told)})]
        return [("pile", heap.name, "weigh", _whole(heap, told, net=net))]

    heap = after(keep.write_acts(compose))
    return Balance(heap, yard.mass(heap.held), yard.alone(heap.held))


def move_pile(
    pile: str, parts: str = "", weight: str = "", *, to: str = "", place: str = "", out: str = ""
) -> tuple[yard.Heap, yard.Heap | None]:
    """Carry a pile to another place, or parts of it, all, or a weight onto another pile or out: both piles after it.

    `parts` is numbers as typed or 'all'; `out` is why they leave. CallError unless one of to, place, out is said.
    """
    if sum(map(bool, (to, place, out))) != 1:
        raise CallError("pile move", "got no single place to go", "one of --to PILE, --place WHERE and --out WHY")
    if place:
        if parts or weight:
            raise CallError("--place", "got it with parts or a weight", "--place alone, which moves the whole pile")
        return _carried(pile, place), None
    if bool(parts) == bool(weight):
        raise CallError("pile move", "got no parts to move", "one of --parts 1,3-5, --parts all and --weight '5 kg'")
    told = weighed(weight, "--weight") if weight else None
    some = parts and parts.strip().lower() != "all"
    lots = numbers_of(parts, thing="--parts", of="idkit pile list") if some else ()

    def compose(lines: Lines) -> list[keep.Act]:
        return [yard.move(lines, pile, lots, told, to=to, out=out)]

    (line,) = keep.write_acts(compose)
    there = yard.piles_in(keep.acts("pile"))
    return there[line.name], there[line.body["to"]] if to else None


def list_piles(pile: str = "", holds: InUse | None = None) -> tuple[Listed, ...]:
    """All piles, or one, by what they fetch for a litre of room at the yard in use, the most first."""
    holds = holds or in_use()
    there = yard.piles_in(keep.acts("pile"))
    wanted = [yard.pile_called(pile, there)] if pile else list(there.values())
    found = {heap.name: yard.worth(heap, holds.prices, holds.yard) if holds.prices else None for heap in wanted}
    rows = [(heap, one.money if (one := found[heap.name]) else None) for heap in wanted]
    return tuple(_listed(heap, money, found[heap.name], holds) for heap, money in yard.densest_first(rows))


def _listed(heap: yard.Heap, money: Money | None, found: yard.Fetched | None, holds: InUse) -> Listed:
    a_litre, why = yard.a_litre(heap, money), found.why if found else ""
    sold_as = named_at(heap.category, holds.yard)
    return Listed(heap, sold_as, yard.mass(heap.held), yard.pieces_of(heap.held), money, a_litre, why)


def named(name: str) -> str:
    """A name for a pile or find; CallError for one that could not be said at a bench."""
    plain = " ".join(name.split())
    if not plain or len(plain) > LONGEST or not plain.isprintable():
        raise CallError("name", f"got {name[:70]!r}", f"1 to {LONGEST} letters")
    return plain


def state_named(typed: str, thing: str = "--state") -> str:
    """Clean, dirty or nothing; CallError, which names `thing`, for another word."""
    if typed and typed.lower() not in STATES:
        raise CallError(thing, f"got {typed!r}", " or ".join(STATES))
    return typed.lower()


def _whole(heap: yard.Heap, told: Weighed, *, net: bool) -> dict[str, Any]:
    """The weight of all of a pile, its bucket off."""
    if heap.tare is None and not net:
        next_step = f"idkit pile new {heap.name!r} --tare says it once; --net where there is no bucket"
        raise CallError("pile", f"nobody said what the bucket of {heap.name} weighs", "", next_step)
    tare = Weighed(Decimal(0), Decimal(0), "") if net or heap.tare is None else heap.tare
    if told.kg < tare.kg:
        raise CallError("weight", f"got {told.typed}, less than the bucket ({tare.typed})", "bucket and all, or --net")
    body = {"gross": yard.as_body(told), "tare": yard.as_body(tare)}
    return body | {"net": str(told.kg - tare.kg), "doubt": str(told.step + tare.step)}


def _carried(pile: str, place: str) -> yard.Heap:
    def compose(lines: Lines) -> list[keep.Act]:
        return [("pile", yard.pile_called(pile, yard.piles_in(lines)).name, "new", {"place": place})]

    return after(keep.write_acts(compose))


def after(written: Sequence[Written]) -> yard.Heap:
    """The pile of the first of those lines as it stands now."""
    return yard.piles_in(keep.acts("pile"))[written[0].name]
