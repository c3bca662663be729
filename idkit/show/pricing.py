"""The commands of price lists: checked, used, shown over time."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from idkit.show import terminal

app = typer.Typer(help="What your yards pay: price lists of your own, as CSV tables. No price is built in.")
File = Annotated[Path, typer.Argument(help="a CSV table: category, price, unit, currency, and more")]
Name = Annotated[str, typer.Option("--yard", help="whose prices; those of the yard in use without")]


@app.command()
def check(file: File, yard: Name = "") -> None:
    """Read a price list and say what is wrong, doubtful or missing; nothing is kept."""
    from idkit import flows
    from idkit.show import yarded

    found = flows.read_prices(file.name, *flows.table_cells(file, "prices"), yard)
    for fault in found.faults:
        terminal.say(str(fault))
    terminal.show(yarded.listed(found, flows.unpriced(found.prices, yard)))
    raise typer.Exit(2 if found.faults else 0)


@app.command()
def use(file: File, yard: Name = "") -> None:
    """Let a price list hold from now on; the ones before are kept as history."""
    from idkit import flows
    from idkit.show import yarded

    found = flows.use_prices(file.name, *flows.table_cells(file, "prices"), yard)
    terminal.show(yarded.used(found, flows.yard_called(yard)))


@app.command()
def show(
    category: Annotated[str, typer.Argument(help="what was paid for it over time; all prices of today without")] = "",
    yard: Name = "",
) -> None:
    """Print the prices in use, or what was paid for one category over time. What was, never what will be."""
    from idkit import flows
    from idkit.show import yarded

    if category:
        terminal.show(yarded.history(*flows.history(category, yard)))
    else:
        terminal.show(yarded.prices(flows.in_use(yard)))
