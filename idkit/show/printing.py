"""The reference card, written for the printer."""

from __future__ import annotations

from pathlib import Path

from idkit import flows
from idkit.errors import CallError
from idkit.show import taken


def save(paper: str, path: Path) -> None:
    """Write the card as PDF."""
    taken.refuse_ending(path, "card", ".pdf", attempt="try idkit card card.pdf")
    page = flows.card_pdf(paper)
    taken.refuse(path, "card", same=page)
    try:
        path.write_bytes(page)
    except OSError as error:
        raise CallError("card", f"{path} can't be written ({error.strerror})", "a folder that is there") from None
