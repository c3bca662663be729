"""Piles and finds by the name a person types: capitals and spaces aside."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import TypeVar

from idkit.errors import CallError

T = TypeVar("T")


def known_name(typed: str, known: Iterable[str]) -> str | None:
    """The name as it was first written; None where there is no such one.

    >>> known_name("brass  Bucket", ["Brass bucket", "zinc"])
    'Brass bucket'
    """
    return {_plain(name): name for name in known}.get(_plain(typed))


def called(typed: str, known: Mapping[str, T], kind: str, thing: str = "") -> T:
    """What has that name; CallError, with the nearest, where nothing has. `kind` is pile or find."""
    name = known_name(typed, known)
    if name is not None:
        return known[name]
    near = " or ".join(get_close_matches(typed.strip(), known, 3))
    right = near or (", ".join(list(known)[:8]) if known else "")
    raise CallError(thing or kind, f"got {typed!r}, which is no {kind}", right, f"idkit {kind} new begins one")


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())
