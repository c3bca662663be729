"""What one part fetches at the yard in use, where it is put best while its pile is open, and what a check saves."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

import numpy as np

from idkit import facts, keep, yard
from idkit.decide.piles import Piles
from idkit.flows.weighing import weight_of
from idkit.flows.yards import FREE, InUse, named_at
from idkit.vocabulary import STATES, Answers, Floats, Money, PriceList, Record, Sold, Yard

SHOWN = Decimal("0.05")  # chance from which a pile counts in the value of a part; from memory
COVERED = 0.9  # chance of piles that have a price, from which the next check is chosen by money; from memory
WORTH_SAYING = Decimal("0.01")  # of the currency, under which knowing is not worth a word; from memory


@dataclass(frozen=True)
class Holds:
    """The yard and prices in use, and what lies on the user's own piles already, by category."""

    in_use: InUse
    buckets: Mapping[str, yard.Bucket] = field(default_factory=dict)


@dataclass(frozen=True)
class Worth:
    """What a part is worth on each pile: by pile the least, most and middle; a kg of each; what has no price."""

    by_pile: Mapping[str, Money]
    a_kg: Mapping[str, Decimal]
    per: str
    without: tuple[str, ...]
    kg: Decimal

    def buckets(self, own: Mapping[str, yard.Bucket]) -> dict[str, yard.Bucket]:
        """What lies on each pile: on the user's own what is on it, else as much again as the part."""
        return {pile: yard.Bucket(self.kg, a_kg) for pile, a_kg in self.a_kg.items()} | dict(own)

    @property
    def middle(self) -> dict[str, Decimal]:
        """The middle of each pile's range."""
        return {pile: (money.low + money.high) / 2 for pile, money in self.by_pile.items()}


def holds(in_use: InUse) -> Holds | None:
    """What holds now; None where neither yard nor prices are in use."""
    if not in_use.yard.name and in_use.prices is None:
        return None
    return Holds(in_use, _buckets(in_use.prices, in_use.yard) if in_use.prices else {})


def _buckets(prices: PriceList, of: Yard) -> dict[str, yard.Bucket]:
    """The user's piles by category, weighed or estimated, at what a kg of them fetches."""
    found: dict[str, yard.Bucket] = {}
    for heap in yard.piles_in(keep.acts("pile", "load")).values():
        kg, pieces, pile = yard.mass(heap.held).kg, yard.pieces_of(heap.held), yard.goes_with(of, heap.category)
        money = yard.fetched_either(yard.on_a_pile(prices), of, pile, heap.state, kg, pieces).money
        if kg and money:
            before = found.get(pile, yard.Bucket(Decimal(0), Decimal(0)))
            brings = before.kg * before.a_kg + (money.low + money.high) / 2
            found[pile] = yard.Bucket(before.kg + kg, brings / (before.kg + kg))
    return found


def priced(record: Record, now: Holds) -> Record:
    """The same record with what the part fetches, its piles under the yard's own names, and where it is put best."""
    of, prices = now.in_use.yard, now.in_use.prices
    called = {pile: named_at(pile, of) for pile in record.verdict.piles}
    if prices is None:
        return replace(record, sold=Sold(of.name, None, "part", called))
    if record.verdict.pile is None and any(each.leave_closed for each in record.verdict.dangers):
        return replace(record, sold=Sold(of.name, None, "part", called))
    chances = _chances(record)
    worth = worths(tuple(chances), record.answers, prices, of)
    ranges = list(worth.by_pile.values())
    value = None
    if ranges:
        value = Money(min(each.low for each in ranges), max(each.high for each in ranges), prices.currency)
    sure = len(worth.by_pile) < 2 or bool(worth.without)
    advice = "" if sure else _advice(record, chances, worth, now)
    old = _old(tuple(worth.by_pile), worth.kg, record.answers, now.in_use)
    return replace(
        record, sold=Sold(of.name, value, worth.per, called, advice, worth.without, _saves(record, now), old)
    )


def _old(piles: Sequence[str], kg: Decimal, answers: Answers, in_use: InUse) -> tuple[str, ...]:
    """Why the price of a pile may no longer hold, a line each; that a price has no date was said when it was read."""
    if in_use.prices is None:
        return ()
    rows = [
        (pile, row)
        for pile in piles
        for row in yard.prices_for(in_use.prices, in_use.yard, pile, _state(answers), kg)
        if row.doubt and (row.date or row.valid_until)
    ]
    named = ((f"{row.state} {named_at(pile, in_use.yard)}".strip(), row.doubt) for pile, row in rows)
    return tuple(dict.fromkeys(f"the price of {name} {doubt}" for name, doubt in named))


def _chances(record: Record) -> dict[str, Decimal]:
    """Chances of the piles that count, summing to 1; the settled one alone."""
    verdict = record.verdict
    if verdict.pile is not None:
        return {verdict.pile.category.id: Decimal(1)}
    some = {pile: Decimal(repr(chance)) for pile, chance in verdict.piles.items() if chance >= float(SHOWN)}
    total = sum(some.values(), Decimal(0))
    return {pile: chance / total for pile, chance in some.items()}


def worths(piles: tuple[str, ...], answers: Answers, prices: PriceList, of: Yard) -> Worth:
    """What the part is worth on each pile: whole where its weight is known, else for a kg, or a lb where all are.

    Where nobody weighed it, what is paid by the piece is so beside nothing else.
    """
    weighed, plain = weight_of(answers), yard.on_a_pile(prices)
    kg, per = (weighed.kg, "part") if weighed else _a_unit(piles, prices)
    state, pieces = _state(answers), 1 if per == "part" else None
    found = {pile: _fetched(plain, of, pile, state, kg, pieces) for pile in piles}
    by_pile = {pile: money for pile, money in found.items() if money is not None}
    return Worth(
        by_pile,
        {pile: (money.low + money.high) / 2 / kg for pile, money in by_pile.items()},
        per,
        tuple(pile for pile in piles if pile not in by_pile),
        kg,
    )


def _fetched(prices: PriceList, of: Yard, pile: str, state: str, kg: Decimal, pieces: int | None) -> Money | None:
    """What so much fetches on a pile; nothing in the bin or at a recycling point, None where there is no price."""
    money = yard.fetched_either(prices, of, pile, state, kg, pieces).money
    free = facts.categories()[pile].buyer in FREE
    return Money(Decimal(0), Decimal(0), prices.currency) if money is None and free else money


def _a_unit(piles: tuple[str, ...], prices: PriceList) -> tuple[Decimal, str]:
    units = {price.unit.id for price in prices.prices if price.category in piles}
    if units == {"each"}:
        return Decimal(1), "part"
    return (yard.POUND, "lb") if units and units <= {"lb", "oz", "net-ton", "cwt-100"} else (Decimal(1), "kg")


def _state(answers: Answers) -> str:
    """Clean or dirty by what is still on it; '' where nobody said."""
    if "attached" not in answers:
        return ""
    return STATES[0] if str(answers["attached"].value) == "none" else STATES[1]


def _advice(record: Record, chances: Mapping[str, Decimal], worth: Worth, now: Holds) -> str:
    """One sentence: the pile it is put on best, what it brings there and on the next, what knowing is worth."""
    of, currency = now.in_use.yard, next(iter(worth.by_pile.values())).currency
    middle = worth.middle
    first, second, *_ = yard.likelier_first(
        yard.bets(chances, middle, worth.a_kg, worth.buckets(now.buckets)), chances, WORTH_SAYING
    )
    knowing = yard.known(chances, middle) - first.expected

    def money(amount: Decimal) -> str:
        return yard.said(Money(amount, amount, currency))

    per = "" if worth.per == "part" else f" a {worth.per}"
    told = (
        f"While the pile is open, {named_at(first.pile, of)} is the best bet: {money(first.expected)}{per} expected"
        f", {money(second.expected)} on {named_at(second.pile, of)}"
    )
    if second.spoils > WORTH_SAYING:
        told += f" where a wrong one may spoil the bucket (taken off for that: {money(second.spoils)})"
    saves = _saves(record, now) or Decimal(0)
    worth_it = [f"asking the yard is worth up to {money(knowing)}{per}"] if knowing > WORTH_SAYING else []
    worth_it += [f"the next check {money(saves)}"] if saves > WORTH_SAYING else []
    return told + (f"; {', '.join(worth_it)}." if worth_it else ".")


def _saves(record: Record, now: Holds) -> Decimal | None:
    """What the next check saves, where it is chosen by money."""
    check, most = record.verdict.next_check, _most(record.verdict.piles, record.answers, now.in_use)
    return Decimal(repr(check.saves)) * most if check and most else None


def gains_of(by_pile: Mapping[str, float], answers: Answers, now: Holds | None) -> Callable[[Piles], Floats] | None:
    """What is gained where a part of each material is put on each pile, of the most that is gained: for the next check.

    `by_pile` are the chances of the piles now. None, which counts right and wrong alone, where no prices are in use or
    piles with more than 1 chance in 10 have none; others without a price fetch nothing.
    """
    prices = now.in_use.prices if now else None
    if now is None or prices is None or not (most := _most(by_pile, answers, now.in_use)):
        return None
    of = now.in_use.yard

    def gains(piles: Piles) -> Floats:
        worth = worths(piles.ids, answers, prices, of)
        middle, a_kg = (
            {pile: table.get(pile, Decimal(0)) for pile in piles.ids} for table in (worth.middle, worth.a_kg)
        )
        table = yard.gains(piles.ids, piles.ids, middle, a_kg, worth.buckets(now.buckets))
        return np.asarray(piles.shares @ np.array([[float(each / most) for each in row] for row in table]))

    return gains


def _most(by_pile: Mapping[str, float], answers: Answers, in_use: InUse) -> Decimal:
    """The most that the part may fetch on a pile that counts; 0 where piles that have no price are too likely."""
    if in_use.prices is None:
        return Decimal(0)
    worth = worths(tuple(by_pile), answers, in_use.prices, in_use.yard)
    if sum(by_pile[pile] for pile in worth.by_pile) < COVERED:
        return Decimal(0)
    return max((m for pile, m in worth.middle.items() if by_pile[pile] >= SHOWN), default=Decimal(0))
