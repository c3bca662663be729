"""The command of cable: how much of it is metal, and whether stripping it pays."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from idkit.show import terminal

if TYPE_CHECKING:
    from idkit import flows

Lines = Iterator[tuple[str, str]]


def wire(
    whole: Annotated[str, typer.Option(help='what a piece weighs with its covering: "212 g"')],
    bare: Annotated[str, typer.Option(help='what its metal weighs, stripped: "127 g"')],
    covering: Annotated[str, typer.Option(help="what came off, to check that nothing is missing")] = "",
    minutes: Annotated[str, typer.Option(help="how long that piece took to strip")] = "",
    weight: Annotated[str, typer.Option(help="how much of the cable there is; else all is told for 1 kg")] = "",
    pile: Annotated[str, typer.Option(help="your pile of it, instead of --weight")] = "",
    cable: Annotated[str, typer.Option(help="what it is sold as unstripped, if not insulated cable")] = "",
    metal: Annotated[str, typer.Option(help="what is inside, as a category")] = "copper",
    worth: Annotated[str, typer.Option(help="what an hour of yours is worth, in the money of the prices")] = "",
    yard: Annotated[str, typer.Option(help="sell to this yard instead of the one in use")] = "",
    prices: Annotated[
        Path | None, typer.Option(help="a price list instead of the one in use", show_default=False)
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Strip a piece of cable and weigh it: how much is metal, and whether stripping the rest pays."""
    from idkit import flows
    from idkit.show import holding, selling

    holds, coil = selling.at(yard, prices), flows.Coil(weight, pile, cable, metal)
    found = flows.wire(whole, bare, covering, coil, minutes, worth, holds)
    if as_json:
        sys.stdout.write(document(found, holds) + "\n")
        return
    terminal.show(lines(found))
    terminal.show(holding.by_whose(holds) if found.stripping else ())


def lines(found: flows.Wire) -> Lines:
    """What a sample tells, in words."""
    share, low, high = (f"{100 * each:.1f}" for each in (found.recovery.share, found.recovery.low, found.recovery.high))
    yield "title", f"Recovery {share} %: between {low} and {high} %, by the steps of the scale."
    told = found.stripping
    if told is None:
        yield from _sure(found)
        yield "dim", f"What it fetches nobody can say: {found.why}."
    else:
        yield from _money(told)
        yield "good" if found.times == 1 else "doubt", _advice(found, told)
    yield "dim", "Scrape a cut end first: a red skin may hide aluminium or steel."
    yield "warn", f"Beware: {found.caution.message}"


def _sure(found: flows.Wire) -> Lines:
    if found.times != 1:
        yield "doubt", _more(found, "to know it within two points")


def _more(found: flows.Wire, purpose: str) -> str:
    from idkit.show.weights import kilos

    if found.times is None:
        return "No sample that anybody would strip tells more on this scale: take a finer one."
    piece = f"{found.times} such pieces in all, {kilos(found.sample.whole.kg * found.times)}"
    return f"Strip more {purpose}: {piece}, on this scale."


def _money(told: flows.Stripping) -> Lines:
    from idkit import flows
    from idkit.show.weights import plain, weight

    takes = "" if told.minutes is None else f", in {plain(told.minutes, 0)} minutes"
    yield "", f"{weight(told.kg)}: as it is {flows.said(told.as_is)}; stripped {flows.said(told.stripped)}{takes}."
    by = "your time counted" if told.worth else "your time for nothing"
    if told.even < 1:
        yield "dim", f"  Both come to the same at a recovery of {100 * told.even:.1f} %, {by}."
    else:
        yield "dim", f"  By these prices no cable is worth stripping, {by}."


def _advice(found: flows.Wire, told: flows.Stripping) -> str:
    from idkit import flows
    from idkit.show.weights import plain

    currency = told.as_is.currency
    hour = "" if told.an_hour is None else f", {flows.rounded(told.an_hour, currency)} {currency} an hour"
    worth = f"; yours is worth {plain(told.worth, 2)}" if told.worth else ""
    if found.times is None:
        return "Sell it as it is: it is too near to call, and no sample on this scale would tell."
    if found.times > 1:
        return _more(found, "before you decide")
    if told.more <= 0:
        return "Sell it as it is: stripped it brings no more."
    brings = f"stripping brings {flows.rounded(told.more, currency)} {currency} more{hour}{worth}"
    open_ = " The ranges of the prices leave it open." if told.open else ""
    advice = "Strip it" if found.recovery.share > told.even else "Sell it as it is"
    return f"{advice}: {brings}.{open_}"


def document(found: flows.Wire, holds: flows.InUse) -> str:
    """The same as one JSON document; shares are 0 to 1."""
    from idkit.show import fields
    from idkit.show.fields import amount, money, number

    told, share = found.stripping, found.recovery
    pays = (
        None
        if told is None
        else {
            "kg": str(told.kg),
            "as_is": money(told.as_is),
            "stripped": money(told.stripped),
            "more": amount(told.more, told.as_is.currency),
            "minutes": number(told.minutes),
            "an_hour": amount(told.an_hour, told.as_is.currency),
            "same_at_recovery": str(round(told.even, 4)),
            "open": told.open,
        }
    )
    recovery = {name: str(round(getattr(share, name), 4)) for name in ("share", "low", "high")}
    row = {"recovery": recovery, "samples_to_strip": found.times, "stripping": pays, "why": found.why or None}
    return fields.document(row | {"cautions": [found.caution.message]}, holds)
