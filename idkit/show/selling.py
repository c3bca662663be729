"""The yard and prices that hold for a command: those in use, or those it names."""

from __future__ import annotations

from pathlib import Path

from idkit import flows
from idkit.errors import StoreError
from idkit.show import terminal

OPTION = "--prices"


def holds(yard: str, prices: Path | None) -> flows.Holds | None:
    """What holds for a part, None where nothing is in use."""
    if prices is None and not yard:
        return _in_use()
    return flows.holds(at(yard, prices))


def at(yard: str, prices: Path | None) -> flows.InUse:
    """The yard and prices in use, or those that are named; wrong cells of a named list are told, each on a line."""
    if prices is None:
        return flows.in_use(yard)
    return flows.with_prices(prices.name, *flows.table_cells(prices, OPTION), yard)


def _in_use() -> flows.Holds | None:
    """What is in use; a store that can't be read is said, and is no reason to stop."""
    try:
        return flows.holds(flows.in_use())
    except StoreError as error:
        terminal.say(str(error))
        return None
