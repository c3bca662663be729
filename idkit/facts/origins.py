"""Origins: what a part came out of, and what such parts are mostly made of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

from idkit.facts.cautions import cautions
from idkit.facts.forms import HEAVIEST, LIGHTEST
from idkit.facts.materials import materials
from idkit.facts.tables import Row, members, names, refuse, rows_of, text, trust, weights
from idkit.facts.wording import joined, phrases_in
from idkit.vocabulary import Origin

COLUMNS = ("id", "objects", "parts", "likely", "cautions", "source", "trust")
_Places = Mapping[str, tuple[tuple[int, int], ...]]  # where each known phrase stands, by number of word


@cache
def origins() -> Mapping[str, Origin]:
    """Every row of objects.csv by id, in the order of the file."""
    return read_origins()


def read_origins(path: Path | None = None) -> Mapping[str, Origin]:
    """The same from another file."""
    return members(rows_of("objects.csv", COLUMNS, path), _origin)


@lru_cache(maxsize=4096)
def origin_of(text: str) -> Origin | None:
    """The most specific row whose words stand in the text, None where there is none.

    Whole words and phrases; capitals, hyphens, plurals, UK and US spelling aside. Object and part both named go before
    an object alone, then the longer phrase, then the earlier row.

    >>> origin_of("handles of an old kitchen faucet").id
    'kitchen-tap-handle'
    """
    found: dict[str, list[tuple[int, int]]] = {}
    for phrase, first, end in phrases_in(text, _phrases()):
        found.setdefault(phrase, []).append((first, end))
    places = {phrase: tuple(spans) for phrase, spans in found.items()}
    met = [(_fit(origin, places), origin) for origin in _met_by(places)]
    fit, best = max(met, key=lambda pair: pair[0], default=((0, 0), None))
    return best if fit > (0, 0) else None


# Inside ---------------------------------------------------------------------------------------------------------------


def _fit(origin: Origin, places: _Places) -> tuple[int, int]:
    """How closely a row is met: how many of object and part are named, letters in them; (0, 0) where it is not."""
    of_object = _spans(origin.objects, places)
    if not origin.parts:
        return max(((1, letters) for letters, _, _ in of_object), default=(0, 0))
    of_part = _spans(origin.parts, places)
    both = [
        (2, letters + more)
        for letters, first, end in of_object
        for more, start, stop in of_part
        if stop <= first or end <= start
    ]
    return max(both, default=(0, 0))


def _spans(phrases: Iterable[str], places: _Places) -> list[tuple[int, int, int]]:
    keys = (joined(phrase) for phrase in phrases)
    return [(len(key), first, end) for key in keys for first, end in places.get(key, ())]


def _met_by(places: _Places) -> list[Origin]:
    """The rows of which an object is named, in the order of the file."""
    numbers = sorted({number for phrase in places for number in _rows_by_object().get(phrase, ())})
    rows = tuple(origins().values())
    return [rows[number] for number in numbers]


@cache
def _rows_by_object() -> Mapping[str, tuple[int, ...]]:
    found: dict[str, list[int]] = {}
    for number, origin in enumerate(origins().values()):
        for phrase in origin.objects:
            found.setdefault(joined(phrase), []).append(number)
    return MappingProxyType({phrase: tuple(numbers) for phrase, numbers in found.items()})


@cache
def _phrases() -> frozenset[str]:
    parts = {joined(phrase) for origin in origins().values() for phrase in origin.parts}
    return frozenset(parts | set(_rows_by_object()))


def _origin(row: Row) -> Origin:
    if not row.values["objects"]:
        refuse(row, "objects", "words for an object, ';' between")
    return Origin(
        id=text(row, "id"),
        objects=names(row, "objects"),
        parts=names(row, "parts"),
        likely=weights(row, "likely", materials(), LIGHTEST, HEAVIEST),
        cautions=names(row, "cautions", cautions()),
        source=text(row, "source"),
        trust=trust(row),
    )
