"""Materials and piles as people name them: by id or in words."""

from __future__ import annotations

from idkit import facts
from idkit.errors import CallError
from idkit.flows.describing import described_named


def material_named(said: str) -> str:
    """The id of a material by its id or its name in words, one of the user's own too; CallError, with the nearest, for
    an unknown one."""
    wanted = " ".join(said.lower().split())
    for each in facts.materials().values():
        if wanted in (each.id, each.id.replace("-", " "), each.name.lower()):
            return each.id
    return described_named(said) or facts.material(wanted.replace(" ", "-")).id


def pile_named(said: str) -> str:
    """The id of a pile by its id or its name in words; CallError for an unknown one."""
    wanted = " ".join(said.lower().split())
    for each in facts.categories().values():
        if wanted in (each.id, each.id.replace("-", " "), each.name.lower()):
            return each.id
    raise CallError("pile", f"got {said!r}", ", ".join(facts.categories()), "idkit facts categories tells them apart")
