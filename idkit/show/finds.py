"""The commands of finds: one thing noted, and taken apart, or left whole."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from idkit.errors import CallError
from idkit.show import terminal

app = typer.Typer(help="Finds: one thing as it was found, and whether to sell it whole or take it apart.")


class Way(StrEnum):
    """How far it is taken apart."""

    PART = "part"
    FULL = "full"


@app.command()
def new(
    find: Annotated[str, typer.Argument(help='what you call it: "desk fan"')],
    weight: Annotated[str, typer.Option(help='what it weighs whole: "3.20 kg"')] = "",
    category: Annotated[str, typer.Option(help="what it is sold as whole: idkit facts categories")] = "",
    state: Annotated[str, typer.Option(help="clean or dirty")] = "",
    record: Annotated[str, typer.Option(help="its record, which may know weight and category")] = "",
    note: Annotated[str, typer.Option(help="whatever else is to be known: a gas bottle in it, oil, a battery")] = "",
) -> None:
    """Note one thing, whole, with what it weighs."""
    from idkit import flows
    from idkit.show import found, words

    noted = flows.new_find(find, weight, category, state, record, note)
    terminal.show([("good", found.head(noted.find))])
    if noted.weighed_before:
        name = noted.find.name
        told = f"Changed: it weighed {noted.weighed_before}. Another thing needs another name, such as '{name} 2'."
        terminal.show([("warn", told)])
    terminal.show(words.dangers_said(noted.dangers))


@app.command("list")
def list_finds() -> None:
    """List the finds, the newest first."""
    from idkit import flows
    from idkit.show import found

    terminal.show(found.every(flows.finds()))


@app.command()
def split(
    find: Annotated[str, typer.Argument(help="the name of the find")],
    gives: Annotated[list[str] | None, typer.Option(help="WHAT=CATEGORY=WEIGHT, as often as there are parts")] = None,
    loss: Annotated[str, typer.Option(help='what is lost or thrown away: "20 g"')] = "",
    minutes: Annotated[str, typer.Option(help="how long it takes")] = "",
    way: Annotated[Way, typer.Option(help="stripped in part or in full", case_sensitive=False)] = Way.FULL,
    plan: Annotated[bool, typer.Option("--plan", help="only thought of, not done")] = False,
    onto_piles: Annotated[bool, typer.Option("--onto-piles", help="put each part onto your pile of its kind")] = False,
    worth: Annotated[str, typer.Option(help="what an hour of yours is worth, in the money of the prices")] = "",
    yard: Annotated[str, typer.Option(help="sell to this yard instead of the one in use")] = "",
    prices: Annotated[
        Path | None, typer.Option(help="a price list instead of the one in use", show_default=False)
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Take a find apart, by mass, and compare with selling it whole; without --gives, compare what is noted."""
    from idkit import flows
    from idkit.show import found, holding, selling, words

    if not gives and (loss or minutes or plan or onto_piles):
        raise CallError("--gives", "got none", "each part as WHAT=CATEGORY=WEIGHT, with --minutes")
    strip = flows.Strip(way.value, gives, loss, minutes, plan, onto_piles) if gives else None
    holds = selling.at(yard, prices)
    compared = flows.split_find(find, strip, worth, holds)
    if as_json:
        sys.stdout.write(found.document(compared, holds) + "\n")
        return
    terminal.show(words.dangers_said(compared.dangers))
    terminal.show(found.compared(compared))
    terminal.show(holding.by_whose(holds) if compared.outcomes else ())
