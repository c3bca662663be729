"""A yard's ticket against the load list, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from idkit import flows
from idkit.flows import Confirmed, Difference, InUse, Reconciled
from idkit.show.weights import weight
from idkit.show.words import counted
from idkit.vocabulary import Money

Lines = Iterator[tuple[str, str]]
ODD, COINS = Decimal("0.05"), Decimal("0.05")  # of what was paid, and of the currency: more is no rounding; from memory
WORDS = {
    "doubt": "what the list held to be in doubt",
    "weight": "the yard's weight or count",
    "deduction": "what it took off",
    "grade": "what it called it",
    "price": "the price",
    "fee": "the fee",
    "rounding": "the ticket's own sums and rounding",
    "unlisted": "what is not on the list, or has no price",
    "unpaid": "on the list and on no ticket",
}


def reconciled(found: Reconciled, holds: InUse, *, asked: bool = False) -> Lines:
    """What was paid against what was expected, and why: all together, then line by line; `asked` to confirm by it."""
    currency = holds.prices.currency if holds.prices else ""
    yield "title", f"{found.load.name} at {found.load.yard or 'the yard'}: {_money(found.paid, currency)} paid"
    if found.expected:
        total = found.paid - found.expected
        yield (
            _style(total),
            f"{_signed(total, currency)} against the list, which had {_money(found.expected, currency)}",
        )
        more = {"unlisted": found.unlisted, "unpaid": -found.unpaid}
        yield from _parts({**found.parts, **more}, currency)
    for each in found.differences:
        yield "", ""
        yield from _line(each, holds, currency)
    for group in found.missing:
        yield "warn", f"On the list and on no ticket: {_named(group.category, group.state, holds)}."
    if not found.load.confirmed and not asked:
        yield (
            "dim",
            f"idkit load ticket '{found.load.name}' --confirm lets the yard's word confirm the records behind it.",
        )


def _line(each: Difference, holds: InUse, currency: str) -> Lines:
    told, at = each.ticketed, holds.yard
    claimed = _named(told.category, told.state, holds)
    much = counted(told.pieces, "piece") if told.by_piece else weight(told.net) if told.net else "no weight"
    yield "title", f"{claimed}: {much}, {_money(told.paid, currency)} paid"
    if told.downgraded:
        why = f": {told.reason}" if told.reason else ", no reason said"
        yield "warn", f"  the yard called it {_named(told.called, told.called_state, holds)}{why}"
    elif told.reason and not told.deducted:
        yield "warn", f"  the yard said: {told.reason}"
    if told.deducted:
        why = f": {told.reason}" if told.reason and not told.downgraded else ""
        yield "", f"  {weight(told.deducted)} taken off{why}"
    if each.group is None:
        yield "warn", f"  not on the list: {flows.named_at(told.category, at)}"
    elif each.total is None:
        yield "dim", "  the list has no price or weight for it, so nothing can be compared"
    else:
        listed = f"{_signed(each.total, currency)} against the list"
        yield _style(each.total), f"  {listed if flows.rounded(each.total, currency) else 'as the list had it'}"
        yield from (("", f"  {line}") for _, line in _parts(each.parts, currency))
        if abs(each.parts.get("rounding", Decimal(0))) > max(ODD * abs(told.paid), COINS):
            yield "warn", "  price times weight is far from what was paid: is the unit right, or a number mistyped?"
    if each.off:
        yield "warn" if each.apart else "dim", f"  {_weighed_otherwise(each, each.off)}"


def _weighed_otherwise(each: Difference, off: Decimal) -> str:
    """How much more or less the yard found than the list has."""
    which = "more" if off > 0 else "less"
    if each.ticketed.by_piece:
        return f"the yard counted {counted(abs(int(off)), 'piece')} {which}"
    beyond = "more than" if each.apart else "within"
    return f"the yard weighed {weight(abs(off))} {which}, {beyond} both scales' steps"


def _named(category: str, state: str, holds: InUse) -> str:
    return flows.named_at(category, holds.yard) + (f", {state}" if state else "")


def _parts(parts: Mapping[str, Decimal], currency: str) -> Lines:
    """The parts of a difference that come to a coin, rounded so that they add up to it."""
    for name, amount in flows.to_the_coin(parts, currency).items():
        if amount:
            yield "", f"  {WORDS[name]:36}{_signed(amount, currency):>16}"


def _style(amount: Decimal) -> str:
    return "warn" if amount < 0 else "good"


def _money(amount: Decimal, currency: str) -> str:
    return flows.money_said(Money(amount, amount, currency)).strip()


def _signed(amount: Decimal, currency: str) -> str:
    """An amount with its sign."""
    rounded = flows.rounded(amount, currency)
    return f"{rounded:+,} {currency}".strip() if rounded else f"0 {currency}".strip()


def confirmed(done: Confirmed) -> Lines:
    """What a ticket confirmed."""
    are = "is" if len(done.records) == 1 else "are"
    yield "good", f"{counted(len(done.records), 'record')} {are} confirmed by the yard as what was sold."
    if done.doubtful:
        told = ", ".join(map(str, done.doubtful))
        yield "doubt", f"Not confirmed, for they were not paid or the weights are far apart: records {told}."
    for each in done.downgraded:
        told = f"{flows.category_name(each.claimed)} paid as {flows.category_name(each.paid)}: {each.reason}"
        yield "doubt", f"Noted, and no part of it labelled: {told}. If you know which one it was:"
        yield "", f"  idkit confirm RECORD MATERIAL --by yard (records {', '.join(map(str, each.records))})"
