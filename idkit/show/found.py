"""A find in words: what it gives, way by way, what each brings, and which is best."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from idkit import flows
from idkit.show import fields
from idkit.show.fields import amount, money
from idkit.show.weights import kilos, plain, weight

Lines = Iterator[tuple[str, str]]
NAMES = {"part": "part strip", "full": "full strip"}
WIDTH = 46  # letters of a part and what it is sold as


def head(find: flows.Find) -> str:
    """A find by name, mass and what it is sold as."""
    return f"{find.name}: {weight(find.weighed.kg)}, {_kind(find.category, find.state)}."


def every(known: Sequence[flows.Find]) -> Lines:
    """A line a find, the newest first."""
    if not known:
        yield "", "No find yet. idkit find new NAME notes one."
    for each in reversed(known):
        done = any(way.done for way in each.ways)
        state = "taken apart" if done else "planned" if each.ways else "whole"
        yield "" if done else "good", f"{each.name:30} {kilos(each.weighed.kg):>10}  {state}"


def compared(found: flows.Compared) -> Lines:
    """A find, every way of it with its parts and what it brings, and what to do."""
    outcomes = {each.way: each for each in found.outcomes}
    yield "title", head(found.find)
    if found.outcomes:
        yield "", f"  whole: {_brings(found.outcomes[0])}"
    for way in found.find.ways:
        yield from _way(way, outcomes.get(way.way))
    for each in found.placed:
        yield ("good", f"  {each.what}: onto {each.pile}.") if each.pile else ("warn", f"  {each.what}: {each.why}.")
    if not found.find.ways:
        yield "dim", "  Nobody has said yet what it gives: idkit find split with --gives."
    elif found.dangers:
        yield "warn", "Leave it whole, whatever its parts would bring."
    elif found.unpriced:
        without = " or ".join(flows.category_name(name) for name in found.unpriced)
        yield "warn", f"Nobody can say which way brings most: the list in use has no price for {without}."
    elif found.best is None:
        yield "dim", "No price list is in use, so nobody can say which way brings most."
    else:
        yield "good", _advice(found, found.best)


def _way(way: flows.Way, outcome: flows.Outcome | None) -> Lines:
    """A line a part, one for what is lost, one for what the scales round."""
    name = f"  {NAMES[way.way]}, {plain(way.minutes, 1)} minutes{'' if way.done else ', a plan'}"
    yield "", f"{name}: {_brings(outcome)}{_over_whole(outcome)}" if outcome else f"{name}:"
    for place, part in enumerate(way.parts):
        money = outcome.by_part[place] if outcome else None
        price = flows.said(money) if money else "no price" if outcome else ""
        told = f"{part.what}, {_kind(part.category, part.state)}"
        yield "", f"    {told:{WIDTH}}{kilos(part.weighed.kg):>10}  {price}".rstrip()
    yield "dim", f"    {'lost':{WIDTH}}{kilos(way.lost):>10}"
    if way.rounding:
        yield "dim", f"    {'rounding of the scales':{WIDTH}}{kilos(way.rounding):>10}"


def _brings(outcome: flows.Outcome) -> str:
    if not any(outcome.by_part):
        return "no price"
    return flows.said(outcome.money)


def _advice(found: flows.Compared, best: flows.Outcome) -> str:
    """What to do, with the figures: of the best way, or where whole is best, of the next best."""
    whole, *apart = found.outcomes
    told = max(apart, key=lambda each: each.net) if best is whole else best
    if told.more.low + told.more.high <= 0:
        return "Leave it whole: taking it apart brings no more."
    brings = f"a {NAMES[told.way]} brings {_middle(told)} more for {plain(told.minutes, 1)} minutes{_an_hour(told)}"
    leaves_open = f" Prices leave it open: {flows.said(told.more)}." if told.more.low < 0 else ""
    if found.worth is None:
        return f"Take it apart: {brings}.{_or_else(told, apart)}{leaves_open}"
    first = "Leave it whole" if best is whole else "Take it apart"
    return f"{first}: {brings}; yours is worth {plain(found.worth, 2)}.{leaves_open}"


def _or_else(best: flows.Outcome, apart: Sequence[flows.Outcome]) -> str:
    """What an hour's worth would change, where nobody said it."""
    quickest = max(apart, key=lambda each: each.an_hour or 0)
    if quickest is best or not quickest.an_hour:
        return " Leave it whole where your hour is worth more than that." if best.an_hour else ""
    return f" A {NAMES[quickest.way]} brings most for its time{_an_hour(quickest)}: --worth settles it."


def _middle(outcome: flows.Outcome) -> str:
    more = outcome.more
    return f"{flows.rounded((more.low + more.high) / 2, more.currency)} {more.currency}"


def _over_whole(outcome: flows.Outcome) -> str:
    return f"{_an_hour(outcome)} over whole" if outcome.an_hour is not None else ""


def _an_hour(outcome: flows.Outcome) -> str:
    if outcome.an_hour is None:
        return ""
    return f", {flows.rounded(outcome.an_hour, outcome.more.currency)} {outcome.more.currency} an hour"


def _kind(category: str, state: str) -> str:
    return flows.category_name(category) + (f" ({state})" if state else "")


def document(found: flows.Compared, holds: flows.InUse) -> str:
    """The same as one JSON document."""
    outcomes = {each.way: each for each in found.outcomes}
    find = found.find
    told = {
        "find": {
            "name": find.name,
            "kg": str(find.weighed.kg),
            "category": find.category,
            "state": find.state or None,
            "value": money(found.outcomes[0].money) if found.outcomes else None,
        },
        "ways": [_way_row(way, outcomes.get(way.way)) for way in find.ways],
        "best": found.best.way if found.best and not found.dangers else None,
        "leave_closed": [each.message for each in found.dangers],
        "placed": [{"what": each.what, "pile": each.pile or None, "why": each.why or None} for each in found.placed],
    }
    return fields.document(told, holds)


def _way_row(way: flows.Way, outcome: flows.Outcome | None) -> dict[str, Any]:
    by_part = outcome.by_part if outcome else (None,) * len(way.parts)
    return {
        "way": way.way,
        "done": way.done,
        "minutes": str(way.minutes),
        "parts": [
            {
                "what": part.what,
                "category": part.category,
                "state": part.state or None,
                "kg": str(part.weighed.kg),
                "value": money(value),
            }
            for part, value in zip(way.parts, by_part, strict=True)
        ],
        "lost_kg": str(way.lost),
        "rounding_kg": str(way.rounding),
        "value": money(outcome.money) if outcome else None,
        "more_than_whole": money(outcome.more) if outcome else None,
        "an_hour": amount(outcome.an_hour, outcome.more.currency) if outcome else None,
    }
