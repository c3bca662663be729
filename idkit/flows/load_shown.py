"""A load as it stands: what it fetches, what to ask the yard, what to beware of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from idkit import facts, keep, yard
from idkit.errors import CallError
from idkit.flows.filling import dangers_of_record
from idkit.flows.loads import load_called, loads
from idkit.flows.yards import InUse, in_use, is_paid, named_at
from idkit.vocabulary import Caution, Danger, Yard
from idkit.yard import Group, Load, Valued

NOT_METAL = ("not-scrap-metal", "keep-or-resell", "recycling-point")
DOUBTFUL = Decimal("0.8")  # share of a line that is what it is sold as, under which the yard is asked; from memory


@dataclass(frozen=True)
class Shown:
    """A load as it stands: what it fetches at its yard, what to ask there, cautions, metal kept out of landfill.

    `since` is what was said of its records after they came on it, a line each.
    """

    valued: Valued
    holds: InUse
    questions: tuple[str, ...]
    cautions: tuple[Caution, ...]
    dangers: tuple[Danger, ...]
    metal: Decimal
    since: tuple[str, ...] = ()


def show_load(name: str = "") -> Shown:
    """A load as it stands, valued by the prices of its yard; a closed one by those that held when it was closed."""
    load = load_called(name) if name else _newest()
    holds = in_use(load.yard, load.closed)
    found = yard.valued(load, holds.prices, holds.yard)
    metal = sum((line.kg for line in load.lines if line.kg and line.category not in NOT_METAL), Decimal(0))
    since = () if load.tickets else tuple(_since(load, holds))
    return Shown(found, holds, tuple(_questions(found, holds)), _cautions(load), _dangers(load), metal, since)


def _since(load: Load, holds: InUse) -> Iterator[str]:
    """Records of a load that are now said to be something else, or were removed."""
    for line in load.lines:
        there = keep.still_kept(line.records)
        for record in line.records:
            if record not in there:
                yield f"Record {record} on line {line.number} was deleted since"
        for each in keep.known(there):
            if each.removed:
                yield f"Record {each.record} on line {line.number} was removed since"
            elif each.label and each.label.pile and not _one(each.label.pile, line.category, holds.yard):
                said = named_at(each.label.pile, holds.yard)
                on = f"Record {each.record} on line {line.number}"
                yield f"{on} was since said to be {said}: take the line off, add it anew"


def _one(pile: str, other: str, at: Yard) -> bool:
    return yard.goes_with(at, pile) == yard.goes_with(at, other)


def _newest() -> Load:
    there = list(loads().values())
    if not there:
        raise CallError("load", "there is none yet", "a load", "idkit load new NAME begins one")
    return next((load for load in reversed(there) if not load.closed), there[-1])


def _questions(found: Valued, holds: InUse) -> list[str]:
    """What to ask the yard: what is in doubt, and what has no price."""
    told = []
    for group in found.groups:
        name = named_at(group.category, holds.yard)
        if group.category == "ask-the-yard":
            told.append(f"What is {_what(group)}?")
        elif group.right < DOUBTFUL:
            others = sorted(
                {pile for line in group.lines for pile in line.may_be if pile != group.category},
                key=lambda pile: -max(line.may_be.get(pile, Decimal(0)) for line in group.lines),
            )
            rather = f", or {named_at(others[0], holds.yard)}" if others else ""
            told.append(f"Is {_what(group)} {name}{rather}? ({10 * group.right:.0f} in 10)")
        if holds.prices is not None and group.fetched.price is None and is_paid(group.category):
            told.append(f"What do you pay for {name}? ({group.fetched.why})")
        if not group.state and _by_state(group, holds):
            told.append(f"Is the {name} clean enough to be paid as clean?")
    return told


def _by_state(group: Group, holds: InUse) -> bool:
    """Whether that yard pays clean and dirty apart."""
    rows = holds.prices.prices if holds.prices else ()
    return any(row.state for row in rows if row.category == group.category)


def _what(group: Group) -> str:
    named_ = [line.what for line in group.lines if line.what]
    return ", ".join(named_[:3]) + (f" and {len(named_) - 3} more" if len(named_) > 3 else "") or "it"


def _cautions(load: Load) -> tuple[Caution, ...]:
    """The cautions of what is on a load and of selling it: by words that a person used, by what its categories hold.

    A material counts where all that may be in a category has the same caution.
    """
    found = {each.id: each for each in facts.cautions_for((), text=f"{_words(load)}; selling")}
    for line in load.lines:
        row = facts.categories()[line.category]
        forms = [form.id for form in facts.forms().values() if form.category == row.id]
        for form in forms:
            found |= {each.id: each for each in facts.cautions_for((), form=form)}
        by_material = [{each.id: each for each in facts.cautions_for((name,))} for name in row.materials]
        shared = set.intersection(*map(set, by_material)) if by_material else set()
        found |= {name: by_material[0][name] for name in shared}
    return tuple(each for each in facts.cautions().values() if each.id in found)


def _dangers(load: Load) -> tuple[Danger, ...]:
    """What of a load is left closed or whole, and who takes it. Nothing on a load is weighed in water."""
    found: dict[str, Danger] = {}
    for line in load.lines:
        forms = [form.id for form in facts.forms().values() if form.category == line.category]
        said = f"{line.what}; {line.note}; {facts.categories()[line.category].name}"
        for danger in (each for form in (*forms, None) for each in facts.dangers_of(form, said)):
            if set(danger.forbids) - {"wet"}:
                found[danger.id] = danger
        for record in keep.still_kept(line.records):
            found |= {danger.id: danger for danger in dangers_of_record(keep.show(record)) if danger.leave_closed}
    return tuple(found.values())


def _words(load: Load) -> str:
    return "; ".join(f"{line.what} {line.note} {facts.categories()[line.category].name}" for line in load.lines)
