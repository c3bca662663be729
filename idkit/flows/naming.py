"""Materials and piles as people name them: by id or in words."""

from __future__ import annotations

from collections.abc import Iterable

from idkit import facts
from idkit.errors import CallError
from idkit.flows.describing import described_named


def material_named(said: str) -> str:
    """The id of a material by its id or its name in words, one of the user's own too; CallError, with the nearest, for
    an unknown one."""
    found = facts.named(said, facts.materials().values()) or described_named(said)
    if found:
        return found
    raise _unknown("material", said, facts.materials().values(), "idkit facts materials lists them")


def pile_named(said: str) -> str:
    """The id of a pile by its id or its name in words; CallError for an unknown one."""
    found = facts.named(said, facts.categories().values())
    if found:
        return found
    raise _unknown("pile", said, facts.categories().values(), "idkit facts categories tells them apart")


def _unknown(thing: str, said: str, rows: Iterable[facts.Named], what_next: str) -> CallError:
    return CallError(thing, f"got {said!r}", " or ".join(facts.near(said, rows)) or "an id or a name", what_next)
