"""Yards and price lists in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import isnan

from idkit import flows
from idkit.flows import InUse
from idkit.show.weights import kilos, plain
from idkit.show.words import counted
from idkit.vocabulary import Category, Price, PriceList, Yard

Lines = Iterator[tuple[str, str]]


def begun(found: Yard, *, is_new: bool, in_use: str) -> Lines:
    """A yard that was begun or changed."""
    yield (
        "good",
        f"{found.name} {'is noted' if is_new else 'is changed'}{', and in use' if in_use == found.name else ''}.",
    )
    yield from _ways(found)
    if is_new:
        yield "dim", "idkit prices use FILE.csv says what it pays."


def every(known: Sequence[Yard], in_use: str) -> Lines:
    """A line a yard."""
    if not known:
        yield "", "No yard yet. idkit yard new NAME begins one."
    for each in known:
        mark = "in use" if each.name == in_use else ""
        yield "good" if mark else "", f"{each.name:30} {each.kind:16} {mark}".rstrip()


def one(found: Yard, holds: InUse) -> Lines:
    """One yard's own ways, and what it pays."""
    yield "title", f"{found.name} ({found.kind})"
    yield from _ways(found)
    if holds.prices:
        yield (
            "",
            f"pays by {holds.prices.name}: {counted(len(holds.prices.prices), 'price')} in {holds.prices.currency}",
        )
    else:
        yield "", "no price list yet: idkit prices use FILE.csv"
    for doubt in holds.doubts:
        yield "warn", doubt


def _ways(found: Yard) -> Lines:
    for category, name in found.names.items():
        yield "", f"  calls {flows.category_name(category)}: {name}"
    for category, other in found.merged.items():
        yield "", f"  puts {flows.category_name(category)} with {flows.category_name(other)}"
    if not isnan(found.thick_from):
        yield "", f"  takes steel for heavy from {1000 * found.thick_from:g} mm"
    yield from _words(found.tons, "a bare {} is a {}")
    yield from _words({k: str(v) for k, v in found.stale_days.items()}, "prices of {} are old after {} days")


def _words(said: Mapping[str, str], template: str) -> Lines:
    for one_, other in said.items():
        yield "", f"  {template.format(one_, other)}"


def listed(found: flows.PricesRead, unpriced: Sequence[Category]) -> Lines:
    """What a list holds, what is doubtful, what it does not price."""
    wrong = len(found.faults)
    if wrong:
        yield "warn", f"{wrong} cell{'' if wrong == 1 else 's'} can't be read, so no price of it is used."
    else:
        yield "good", f"{counted(len(found.prices.prices), 'price')} in {found.prices.currency} can be read."
    yield from _doubts(found)
    if unpriced and not wrong:
        yield "", f"Without a price: {'; '.join(each.name for each in unpriced)}."


def used(found: flows.PricesRead, of: Yard) -> Lines:
    """A list that holds from now on."""
    yield "good", f"{of.name} pays by {found.prices.name} from now on: {len(found.prices.prices)} prices."
    yield from _doubts(found)


def _doubts(found: flows.PricesRead) -> Lines:
    for doubt in found.doubts:
        yield "warn", doubt
    if found.not_read:
        yield "dim", f"Columns that mean nothing to idkit, not read: {', '.join(found.not_read)}."


def prices(holds: InUse) -> Lines:
    """Every price in use."""
    if holds.prices is None:
        yield "", "No price list is in use. idkit prices use FILE.csv"
        return
    yield "title", f"{holds.yard.name}, {holds.prices.name}"
    for each in sorted(holds.prices.prices, key=lambda row: flows.named_at(row.category, holds.yard)):
        yield "", f"  {_what(each, holds.yard):36} {said(each, holds.prices)}"
    for doubt in holds.doubts:
        yield "warn", doubt


def history(category: Category, found: Sequence[flows.Priced]) -> Lines:
    """What was paid for one category over time."""
    yield "title", f"{category.name}: what was paid"
    if not found:
        yield "", "  nothing yet"
    for each in found:
        listed_ = PriceList("", each.currency, (each.price,))
        yield "", f"  {each.date}  {each.price.state or 'either':7} {said(each.price, listed_)}"
    yield "dim", "What a yard paid, not what it will pay: ask before you drive."


def _what(price: Price, at: Yard) -> str:
    return f"{flows.named_at(price.category, at)}{', ' + price.state if price.state else ''}"


def said(price: Price, of: PriceList) -> str:
    """A price with its unit and conditions."""
    amount = f"{price.low}" if price.low == price.high else f"{price.low} to {price.high}"
    more = [f"from {kilos(price.from_kg)}"] if price.from_kg else []
    more += [f"at least {kilos(price.minimum_kg)}"] if price.minimum_kg else []
    more += [f"less {plain(100 * price.deducted, 2)} %"] if price.deducted else []
    more += [f"fee {price.fee}"] if price.fee else []
    more += [f"of {price.date}"] if price.date else []
    return f"{amount} {of.currency} {price.unit.said}{' (' + ', '.join(more) + ')' if more else ''}"
