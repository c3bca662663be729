"""What a pile fetches, and what that is for a litre of the room it takes."""

from __future__ import annotations

from decimal import Decimal

from idkit.vocabulary import STATES, Money, Price, PriceList, Yard
from idkit.yard import heaps
from idkit.yard.piles import Heap
from idkit.yard.prices import Fetched, fetched, price_of
from idkit.yard.yards import goes_with


def worth(heap: Heap, prices: PriceList, at: Yard) -> Fetched:
    """What all of a pile fetches at a yard; from dirty to clean where nobody said which it is."""
    there = heaps.mass(heap.held).kg, heaps.pieces_of(heap.held)
    return fetched_either(prices, at, heap.category, heap.state, *there)


def fetched_either(
    prices: PriceList, at: Yard, category: str, state: str, kg: Decimal | None, pieces: int | None
) -> Fetched:
    """What so much fetches as what that yard puts it with; from dirty to clean where `state` is ''."""
    found = [fetched(prices, goes_with(at, category), each, kg, pieces) for each in ([state] if state else STATES)]
    money = [each.money for each in found if each.money is not None]
    if not money:
        return found[0]
    return Fetched(Money(min(m.low for m in money), max(m.high for m in money), prices.currency), found[0].price)


def prices_for(prices: PriceList, at: Yard, category: str, state: str, kg: Decimal | None) -> tuple[Price, ...]:
    """The rows that so much is reckoned by: one, or one for dirty and one for clean where `state` is ''."""
    rows = (price_of(prices, goes_with(at, category), each, kg) for each in ([state] if state else STATES))
    return tuple({row.row: row for row in rows if row is not None}.values())


def a_litre(heap: Heap, money: Money | None) -> Money | None:
    """The same for a litre of its bucket; None where the bucket's volume or the worth is not known."""
    if money is None or heap.litres is None:
        return None
    return Money(money.low / heap.litres, money.high / heap.litres, money.currency)


def densest_first(rows: list[tuple[Heap, Money | None]]) -> list[tuple[Heap, Money | None]]:
    """Piles by worth for a litre, the most first; those of which nobody can say come last, by name."""

    def place(row: tuple[Heap, Money | None]) -> tuple[bool, Decimal, str]:
        each = a_litre(*row)
        return each is None, -(each.low + each.high) if each else Decimal(0), row[0].name.casefold()

    return sorted(rows, key=place)
