"""Clean or sell as is, of kept records, a pile, a load, or a weight of something, by the prices in use."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from idkit import facts, keep, yard
from idkit.errors import CallError
from idkit.flows.filling import pile_said
from idkit.flows.keeping import numbers_of
from idkit.flows.loads import load_called
from idkit.flows.to_clean import Bench
from idkit.flows.weighing import weighed, weight_of
from idkit.flows.yards import InUse, in_use
from idkit.vocabulary import PriceList, Whole, Yard
from idkit.yard import Cleaning, Load, Off, Soiled, number

_OFF = re.compile(r"\s*(?P<much>[\d.,]+\s*(?:%|lbs?\s+[\d.,]+\s*oz|[^\W\d]+))\s*(?P<what>[^=]*)(?:=(?P<category>.+))?")
BY_WORD = (
    (("plastic", "rubber", "wood", "felt", "glass", "insulation", "dirt", "oil"), ""),
    (("brass",), "yellow-brass"),
    (("copper",), "copper"),
    (("aluminium", "aluminum"), "aluminium-mixed"),
    (("steel", "iron", "screw", "stud", "bolt", "nut", "bearing", "spring", "nail", "shaft"), "light-iron"),
)
"""What comes off is sold as, by a word for it; '' is the bin. Common practice, no source."""

COUNTS = Decimal("0.05")  # chance from which a pile of an open record counts; from memory


@dataclass(frozen=True)
class Left:
    """A part that is not cleaned, and why."""

    name: str
    why: str


def clean(
    benches: Sequence[Bench], worth: str, holds: InUse | None = None
) -> tuple[tuple[Cleaning, ...], tuple[Left, ...], InUse]:
    """Each part sold as it is against cleaned, the best paid first; those that can't be told, with why.

    `worth` is that of an hour, as typed; `holds` are a yard and prices; where None those of the load's yard, or in use.
    CallError where there
    are no prices; a row of a table that can't be read is left, with why.
    """
    holds = holds or in_use(_yard_of(benches))
    if holds.prices is None:
        raise CallError("clean", "no price list is in use", "one", "idkit prices use FILE.csv")
    paid = number(worth, "--worth") if worth else None
    told: list[Cleaning | Left] = []
    for bench in benches:
        try:
            told += _of(bench, holds.yard, holds.prices, paid)
        except CallError as error:
            if not bench.row:
                raise
            told.append(Left(bench.row, str(error)))
    left = tuple(each for each in told if isinstance(each, Left))
    return tuple(yard.in_order([each for each in told if isinstance(each, Cleaning)])), left, holds


def _yard_of(benches: Sequence[Bench]) -> str:
    """The yard that the loads go to; '' where there is none, or more than one."""
    yards = {load_called(bench.load).yard for bench in benches if bench.load}
    return yards.pop() if len(yards) == 1 else ""


def _of(bench: Bench, at: Yard, prices: PriceList, paid: Decimal | None) -> list[Cleaning | Left]:
    """One bench: each of its records, its pile, the lines of its load or its weight."""
    if not bench.off:
        raise CallError("--off", "got nothing", "what comes off: '40 g steel screws' or '5 % plastic'")
    took = number(bench.minutes, "--minutes") if bench.minutes else None
    if took is not None and not took:
        raise CallError("--minutes", "got 0", "more than none")
    told: list[Cleaning | Left] = []
    for each in _parts(bench, at):
        if isinstance(each, Left):
            told.append(each)
            continue
        name, kg, piles, pieces = each
        apart = tuple(_off(typed, kg, at) for typed in bench.off)
        try:
            told.append(yard.cleaned(Soiled(name, kg, piles, apart, took, pieces), prices, at, paid))
        except CallError as error:
            if not (bench.records or bench.load):
                raise
            told.append(Left(name, str(error)))
    return told


Part = tuple[str, Decimal, dict[str, Decimal], int | None]


def _parts(bench: Bench, at: Yard) -> list[Part | Left]:
    said = [name for name in ("records", "pile", "load", "category") if getattr(bench, name)]
    if len(said) != 1:
        right = "records, or --pile, --load, or --category with --weight"
        raise CallError("clean", "got no single thing to clean", right)
    if bench.load:
        return _lines(load_called(bench.load))
    if bench.records:
        return [_record(keep.show(each)) for each in numbers_of(bench.records)]
    if bench.pile:
        heap = yard.pile_called(bench.pile, yard.piles_in(keep.acts("pile", "load")))
        kg = yard.mass(heap.held).kg
        if not kg:
            got, mend = f"nobody knows what {heap.name} weighs", f"idkit pile weigh '{heap.name}' first"
            raise CallError("--pile", got, "", mend)
        return [(bench.what or heap.name, kg, {heap.category: Decimal(1)}, yard.pieces_of(heap.held))]
    if not bench.weight:
        raise CallError("--weight", "got none", "what it weighs with all that is on it")
    category = yard.category_named(bench.category, "--category", at)
    name = bench.what or facts.categories()[category].name
    return [(name, weighed(bench.weight, "--weight").kg, {category: Decimal(1)}, None)]


def _lines(load: Load) -> list[Part | Left]:
    """Every line of a load: those that were weighed and are not clean, and why the others are left."""
    told: list[Part | Left] = []
    for line in load.lines:
        name = f"{load.name}, line {line.number} ({line.what or facts.categories()[line.category].name})"
        if line.state == "clean":
            told.append(Left(name, "it is clean"))
        elif line.kg is None:
            told.append(Left(name, "nobody weighed it"))
        else:
            told.append((name, line.kg, dict(line.may_be) or {line.category: Decimal(1)}, line.pieces))
    if not told:
        raise CallError("--load", f"got {load.name}, on which nothing is", "one with lines", "idkit load add")
    return told


def _record(whole: Whole) -> Part | Left:
    """A record with its weight and the chances of its piles; left where something in it is better not opened."""
    name = f"record {whole.kept.record} ({whole.kept.part})"
    dangers = whole.document.get("leave_closed", [])
    if dangers:
        return Left(name, f"leave it closed: {dangers[0].get('message', 'it may hurt you')}")
    told = weight_of(whole.answers)
    if told is None:
        return Left(name, "nobody weighed it")
    if whole.kept.label or whole.kept.sure:
        return name, told.kg, {pile_said(whole.kept): Decimal(1)}, 1
    rows = whole.document.get("categories", [])
    some = {row["id"]: Decimal(str(row["chance"])) for row in rows if row["chance"] and row["chance"] >= float(COUNTS)}
    total = sum(some.values(), Decimal(0))
    return (
        name,
        told.kg,
        {pile: chance / total for pile, chance in some.items()} if total else {whole.kept.pile: Decimal(1)},
        1,
    )


def _off(typed: str, kg: Decimal, at: Yard) -> Off:
    """What comes off as typed: '40 g steel screws', '5 % plastic', '30 g sleeve=yellow brass'."""
    found = _OFF.fullmatch(typed)
    if not found:
        raise CallError("--off", f"got {typed!r}", "a weight or per cent and what it is", "such as '40 g steel screws'")
    much = found["much"].strip()
    mass = kg * number(much.rstrip("% "), "--off") / 100 if much.endswith("%") else weighed(much, "--off").kg
    what = found["what"].strip()
    if found["category"]:
        return Off(what, mass, yard.category_named(found["category"].strip(), "--off", at))
    made_of = re.sub(r"\b\w+(?:[- ]colou?red|[- ]plated|[- ]clad|[- ]coated|[- ]look)\b", " ", what.lower())
    words = {word.rstrip("s") for word in re.findall(r"[a-z]+", made_of)}
    category = next((goes for said, goes in BY_WORD if words & {word.rstrip("s") for word in said}), None)
    if category is None:
        raise CallError(
            "--off", f"got {typed!r}", "steel, plastic, brass ... or =CATEGORY behind it", "such as '40 g sleeve=zinc'"
        )
    return Off(what, mass, category)
