"""Colours of bare polished metals, computed from their optical constants."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from idkit.facts.optics import optics
from idkit.facts.tables import number, refuse, rows_of, text, trust
from idkit.vocabulary import BareColour

COLUMNS = ("id", "lightness", "a", "b", "source", "trust")


@cache
def colours() -> Mapping[str, BareColour]:
    """CIELAB (D65, 2 degrees) of every set of optics.csv, by id."""
    return read_colours()


def read_colours(path: Path | None = None) -> Mapping[str, BareColour]:
    """The same from another file; each row names a set of optics.csv."""
    found: dict[str, BareColour] = {}
    for row in rows_of("colours.csv", COLUMNS, path):
        name = text(row, "id")
        if name in found or name not in optics():
            refuse(row, "id", "a set of optics.csv, once each")
        lightness = number(row, "lightness", 0.0, 100.0)
        a, b = number(row, "a", -130.0, 130.0), number(row, "b", -130.0, 130.0)
        found[name] = BareColour(name, lightness, a, b, text(row, "source"), trust(row))
    return MappingProxyType(found)
