"""Whose prices hold, and what is doubtful of them."""

from __future__ import annotations

from collections.abc import Iterator

from idkit.flows import InUse

FEW = 2  # doubts that are told by themselves


def by_whose(holds: InUse) -> Iterator[tuple[str, str]]:
    """One line for the list that was reckoned by, and its doubts; nothing where there is none."""
    if holds.prices is None:
        return
    whose = f" of {holds.yard.name}" if holds.yard.name else ""
    yield "dim", f"By {holds.prices.name}{whose}. Confirm at the yard."
    yield from (("warn", f"  {doubt}") for doubt in holds.doubts[:FEW])
    if len(holds.doubts) > FEW:
        yield "warn", f"  and {len(holds.doubts) - FEW} more such: idkit prices show"
