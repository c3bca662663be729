"""Materials and piles as people name them: by id or in words."""

from __future__ import annotations

from idkit import facts
from idkit.errors import CallError
from idkit.flows.describing import described_named


def material_named(said: str) -> str:
    """The id of a material by its id or its name in words, one of the user's own too; CallError, with the nearest, for
    an unknown one."""
    found = facts.named(said, facts.materials().values()) or described_named(said)
    if found:
        return found
    near = facts.near(said, facts.materials().values())
    raise CallError(
        "material", f"got {said!r}", " or ".join(near) or "an id or a name", "idkit facts materials lists them"
    )


def pile_named(said: str) -> str:
    """The id of a pile by its id or its name in words; CallError for an unknown one."""
    found = facts.named(said, facts.categories().values())
    if found:
        return found
    near = facts.near(said, facts.categories().values())
    right = " or ".join(near) or "an id or a name"
    raise CallError("pile", f"got {said!r}", right, "idkit facts categories tells them apart")
