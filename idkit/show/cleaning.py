"""The command that says whether cleaning pays."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from idkit.errors import CallError
from idkit.show import terminal
from idkit.show.weights import plain, weight

if TYPE_CHECKING:
    from idkit.flows import Cleaning, CleaningBench, InUse, Left

Lines = Iterator[tuple[str, str]]
SAFE = "Eye protection on; nothing with a battery, capacitor, oil or pressure is opened."


def clean(
    records: Annotated[str, typer.Argument(help="numbers of idkit records list: 12 or 12,14-16")] = "",
    pile: Annotated[str, typer.Option(help="one of your piles instead")] = "",
    load: Annotated[str, typer.Option(help="a load instead: its lines that are not clean")] = "",
    category: Annotated[str, typer.Option(help="what it is sold as instead, with --weight")] = "",
    weight_: Annotated[str, typer.Option("--weight", help='with all that is on it: "2.4 kg"')] = "",
    off: Annotated[
        list[str] | None, typer.Option(help='what comes off each: "40 g steel screws", "5 % plastic"')
    ] = None,
    minutes: Annotated[str, typer.Option(help="how long one takes")] = "",
    file: Annotated[
        Path | None,
        typer.Option(
            help="a CSV table instead, a part a row: record, or pile, or what, category and weight; off, minutes",
            show_default=False,
        ),
    ] = None,
    worth: Annotated[str, typer.Option(help="what an hour of yours is worth, in the money of the prices")] = "",
    yard: Annotated[str, typer.Option(help="sell to this yard instead of the one in use")] = "",
    prices: Annotated[
        Path | None, typer.Option(help="a price list instead of the one in use", show_default=False)
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Clean it or sell it as it is: what each brings, for how much work, and which of several to clean first."""
    from idkit import flows
    from idkit.show import selling

    bench = flows.CleaningBench(records, pile, category, weight_, tuple(off or ()), minutes, load=load)
    benches = _table(file, bench) if file else [bench]
    found, left, holds = flows.clean(benches, worth, selling.at(yard, prices) if yard or prices else None)
    if as_json:
        sys.stdout.write(document(found, left, holds) + "\n")
    else:
        terminal.show(words(found, left, holds))


def _table(file: Path, beside: CleaningBench) -> list[CleaningBench]:
    """The rows of a table; CallError where options say something of a part too."""
    from idkit import flows

    if beside != flows.CleaningBench():
        raise CallError("--file", "got other parts beside it", "the table alone, with --worth, --yard and --prices")
    return flows.cleaning_benches(file.name, *flows.table_cells(file, "--file"))


def words(found: Sequence[Cleaning], left: Sequence[Left], holds: InUse) -> Lines:
    """Every part, the best paid first, with a sentence for each; then what is left as it is."""
    from idkit.show.holding import by_whose

    for each in found:
        yield from _one(each, several=len(found) > 1)
    for part in left:
        yield "dim", f"{part.name}: {part.why}"
    if len(found) > 1:
        yield from _in_all(found)
    if found:
        yield "dim", SAFE
    yield from by_whose(holds)


def _one(each: Cleaning, *, several: bool) -> Lines:
    from idkit import flows

    soiled, currency = each.soiled, each.dirty.currency
    what = " and ".join(f"{weight(off.kg)} {off.what}".strip() for off in soiled.off)
    yield "title", f"{soiled.name}, {weight(soiled.kg)}"
    yield "", f"  as it is {flows.money_said(each.dirty)}; without {what} {flows.money_said(each.clean)}{_with(each)}"
    yield ("good" if each.pays else "doubt"), f"  {sentence(each, currency)}"
    if several:
        yield "", ""


def _in_all(found: Sequence[Cleaning]) -> Lines:
    """How far down the list it pays, and what that brings; nothing where some of it hangs on what nobody said."""
    from idkit import flows
    from idkit.vocabulary import Money

    if any(each.pays is None for each in found):
        return
    paying = [each for each in found if each.pays]
    if not paying:
        yield "good", "Sell all of it as it is."
        return
    more = sum((each.more for each in paying), Decimal(0))
    took = sum((each.soiled.minutes or Decimal(0) for each in paying), Decimal(0))
    money = flows.money_said(Money(more, more, found[0].dirty.currency))
    which = f"all {len(found)}" if len(paying) == len(found) else f"the first {len(paying)} of {len(found)}"
    yield "good", f"Clean {which}: {money} more in {plain(took, 0)} minutes."


def _with(each: Cleaning) -> str:
    from idkit import flows

    if not flows.rounded(each.came_off.high, each.came_off.currency):
        return ""
    return f", and {flows.money_said(each.came_off)} for what comes off"


def sentence(each: Cleaning, currency: str) -> str:
    """What to do, with the figures."""
    from idkit import flows
    from idkit.vocabulary import Money

    more = flows.money_said(Money(abs(each.more), abs(each.more), currency))
    if not flows.rounded(each.more, currency):
        return "Sell it as it is: cleaning brings nothing more."
    if each.more < 0:
        return f"Sell it as it is: cleaning brings {more} less."
    if each.an_hour is None:
        at = f": at {each.worth} an hour it pays if it takes under {plain(each.even, 0)} minutes" if each.even else ""
        return f"Cleaning brings {more} more{at}."
    hour = flows.money_said(Money(each.an_hour, each.an_hour, currency))
    told = f"{more} more for {plain(each.soiled.minutes or Decimal(0), 1)} minutes, {hour} an hour"
    if each.worth is None or each.even is None:
        return f"Cleaning brings {told}."
    if each.pays:
        return f"Clean it: {told}; yours is worth {each.worth}, so it pays up to {plain(each.even, 0)} minutes."
    return f"Sell it as it is: {told}, and yours is worth {each.worth}."


def document(found: Sequence[Cleaning], left: Sequence[Left], holds: InUse) -> str:
    """The same as one JSON document, decimals as text."""
    from idkit.show import fields

    told = {"parts": [_row(each) for each in found], "left": [vars(each) for each in left]}
    return fields.document(told, holds)


def _row(each: Cleaning) -> dict[str, Any]:
    from idkit.show.fields import amount, money, number

    currency = each.dirty.currency
    return {
        "part": each.soiled.name,
        "kg": str(each.soiled.kg),
        "off": [{"what": off.what, "kg": str(off.kg), "category": off.category or None} for off in each.soiled.off],
        "dirty": money(each.dirty),
        "clean": money(each.clean),
        "came_off": money(each.came_off),
        "more": amount(each.more, currency),
        "minutes": number(each.soiled.minutes),
        "an_hour": amount(each.an_hour, currency),
        "pays_under_minutes": str(round(each.even, 1)) if each.even is not None else None,
        "pays": each.pays,
    }
