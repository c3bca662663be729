"""A box in a photo, as it is typed."""

from __future__ import annotations

from idkit.errors import CallError


def parse(text: str) -> tuple[int, int, int, int] | None:
    """X,Y,W,H in pixels; None where nothing was typed.

    >>> parse("320,150,70,50")
    (320, 150, 70, 50)
    """
    if not text:
        return None
    try:
        x, y, width, height = (int(number) for number in text.split(","))
    except ValueError:
        raise CallError("--scratch", f"got {text!r}", "X,Y,W,H in pixels", "try --scratch 320,150,70,50") from None
    return x, y, width, height
