"""Finds: one thing of known mass, and the ways to take it apart; every gram of it goes on a line of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from idkit.errors import CallError
from idkit.vocabulary import Weighed, Written
from idkit.yard.heaps import as_body, of_body, said_kg
from idkit.yard.names import called

WAYS = ("part", "full")
NOTHING = Decimal(0)


@dataclass(frozen=True)
class Component:
    """What comes off a find: what it is, and what it is sold as."""

    what: str
    category: str
    state: str
    weighed: Weighed


@dataclass(frozen=True)
class Way:
    """One of WAYS to take a find apart: what comes of it, what is lost and the scales' rounding in kg, the minutes.

    It is `done`, or else a plan.
    """

    way: str
    parts: tuple[Component, ...]
    lost: Decimal
    rounding: Decimal
    minutes: Decimal
    done: bool


@dataclass(frozen=True)
class Find:
    """One thing as it was found. `onto` are the piles that its parts went onto."""

    name: str
    weighed: Weighed
    category: str
    state: str = ""
    record: int | None = None
    note: str = ""
    ways: tuple[Way, ...] = ()
    onto: tuple[str, ...] = ()


def remaining(whole: Weighed, parts: Sequence[Weighed], lost: Weighed | None, thing: str, lost_by: str = "") -> Decimal:
    """What is left over of a mass in kg when parts and loss are off it: the rounding of the scales, and no more.

    Every weighing may be off by one step of its scale, all the same way: Handbook 44 of NIST lets a scale of class III
    in use be off by so much on its first 500 steps (from memory). CallError, which names `thing`, where more is missing
    or too much; `lost_by` is the option that would say what is lost.

    >>> grams = [Weighed(Decimal(each) / 1000, Decimal("0.001"), f"{each} g") for each in (500, 300, 199)]
    >>> remaining(grams[0], grams[1:], None, "--part")
    Decimal('0.001')
    """
    every = [whole, *parts, *([lost] if lost else [])]
    left = whole.kg - sum((each.kg for each in every[1:]), NOTHING)
    room = sum((each.step for each in every), NOTHING)
    if abs(left) <= room:
        return left
    got = f"the parts weigh {said_kg(abs(left))} {'less' if left > 0 else 'more'} than the whole {whole.typed}"
    right = f"within {said_kg(room)}, a step of the scale for each weighing"
    next_step = f"say what is missing: {lost_by} '{said_kg(left)}'" if left > 0 and lost_by else "weigh them again"
    raise CallError(thing, got, right, next_step)


def finds_in(lines: Iterable[Written]) -> Mapping[str, Find]:
    """Every find by name, after all lines of the daybook."""
    found: dict[str, Find] = {}
    for line in lines:
        if line.kind == "find" and line.act == "new":
            found[line.name] = _new(line)
        elif line.kind == "find":
            found[line.name] = _split(found[line.name], line.body)
    return found


def find_called(typed: str, known: Mapping[str, Find]) -> Find:
    """The find of that name; CallError, with the nearest, where there is none."""
    return called(typed, known, "find")


def _new(line: Written) -> Find:
    body, weighed = line.body, of_body(line.body["weight"])
    assert weighed is not None
    return Find(line.name, weighed, body["category"], body["state"], body["record"], body["note"])


def _split(find: Find, body: Mapping[str, Any]) -> Find:
    way = way_of_body(body)
    others = tuple(each for each in find.ways if each.way != way.way and not (way.done and each.done))
    ways = tuple(sorted((*others, way), key=lambda each: WAYS.index(each.way)))
    return replace(find, ways=ways, onto=(*find.onto, *body["onto"]))


def way_as_body(way: Way, onto: Sequence[str] = ()) -> dict[str, Any]:
    """A way as the daybook keeps it."""
    parts = [
        {"what": part.what, "category": part.category, "state": part.state, "weight": as_body(part.weighed)}
        for part in way.parts
    ]
    numbers = {"lost": str(way.lost), "rounding": str(way.rounding), "minutes": str(way.minutes)}
    return {"way": way.way, "parts": parts, **numbers, "done": way.done, "onto": list(onto)}


def way_of_body(body: Mapping[str, Any]) -> Way:
    """The way that was kept so."""
    parts = []
    for row in body["parts"]:
        weighed = of_body(row["weight"])
        assert weighed is not None
        parts.append(Component(row["what"], row["category"], row["state"], weighed))
    lost, rounding, minutes = (Decimal(body[name]) for name in ("lost", "rounding", "minutes"))
    return Way(body["way"], tuple(parts), lost, rounding, minutes, body["done"])
