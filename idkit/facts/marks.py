"""Marks: what letters and numbers on a part say it is made of, and which piece of it they stand on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

from idkit.facts.materials import materials
from idkit.facts.tables import Row, members, names, refuse, rows_of, text, trust
from idkit.facts.wording import words_of
from idkit.vocabulary import Mark

COLUMNS = ("id", "pattern", "means", "materials", "standard", "source", "trust")
PLACES = ("body", "fastener", "attached")


def _named(place: str, words: str) -> dict[str, str]:
    return dict.fromkeys(words_of(words), place)


PIECES: Mapping[str, str] = MappingProxyType(
    _named("body", "body housing casting part frame base piece metal")
    | _named("fastener", "bolt screw nut washer stud rivet nail pin fastener clip circlip setscrew")
    | _named("attached", "spring cap lid cover label sticker tag handle knob lever insert bearing bush bushing")
    | _named("attached", "seal ring gasket plug hose box bag packet packaging badge nameplate strap grip button foot")
)
"""Which place a named piece is. Where none is named, the mark is taken to stand on the body."""

NEGATED = re.compile(r"\b(?:NO|NOT|NON|WITHOUT)[ -](?:ANY )?$")
NOT_MADE_OF = re.compile(r"[ -]?(?:FREE|LIKE|EFFECT|FINISH|COLOU?R(?:ED)?|LOOK|TONE|POLISH|CLEANER|PLATED|COATED)\b")
"""What before or after a mark turns it into something else: lead free, brass effect, not zinc."""


@dataclass(frozen=True)
class Found:
    """A known mark in a text: its row, the letters as read, the piece it stands on ('' where none is named)."""

    mark: Mark
    letters: str
    piece: str
    place: str  # of PLACES


@cache
def marks() -> Mapping[str, Mark]:
    """Every row of marks.csv by id, in the order of the file."""
    return read_marks()


def read_marks(path: Path | None = None) -> Mapping[str, Mark]:
    """The same from another file."""
    return members(rows_of("marks.csv", COLUMNS, path), _mark)


@lru_cache(maxsize=4096)
def marks_in(text: str) -> tuple[Found, ...]:
    """Every known mark in the text, in its order; where two overlap, the one that begins first, then the longer.

    A mark stands alone, not inside a word or number. Marks with ';' or ',' between may each name their piece.

    >>> [(found.mark.id, found.letters, found.piece) for found in marks_in("ZP5 (body), A2-70 on the screws")]
    [('en-zinc', 'ZP5', 'body'), ('iso-stainless-fastener', 'A2-70', 'screw')]
    """
    return tuple(found for clause in _clauses(text) for found in _in_clause(clause))


# Inside ---------------------------------------------------------------------------------------------------------------


def _clauses(text: str) -> list[str]:
    """The text in capitals, runs of spaces to one, parted where another mark begins; a comma in a number is a point."""
    dashed = re.sub("[‐‑‒–—−]", "-", text.upper())
    clauses = re.split(r"[;\n]|(?<!\d),|,(?!\d)|,(?=\d+\.\d)|\bAND\b", dashed)
    return [" ".join(re.sub(r"(?<=\d),(?=\d)", ".", clause).split()) for clause in clauses]


def _in_clause(clause: str) -> Iterator[Found]:
    hits = sorted(_hits(clause), key=lambda hit: (hit[0], -hit[1]))
    piece = _piece(clause) if hits else ""
    end = 0
    for first, last, mark in hits:
        if first >= end:
            end = last
            yield Found(mark, clause[first:last], piece, PIECES.get(piece, "body"))


def _hits(clause: str) -> Iterator[tuple[int, int, Mark]]:
    """First and last of the letters of each row that is met, the rows in the order of the file."""
    for mark, pattern in _patterns():
        for hit in pattern.finditer(clause):
            if not NEGATED.search(clause, 0, hit.start()) and not NOT_MADE_OF.match(clause, hit.end()):
                yield hit.start(), hit.end(), mark


def _piece(clause: str) -> str:
    """The piece that the clause names: the last word of the first run of such words ('cap screw' is a screw)."""
    run = ""
    for word in words_of(clause):
        if word in PIECES:
            run = word
        elif run:
            break
    return run


@cache
def _patterns() -> tuple[tuple[Mark, re.Pattern[str]], ...]:
    return tuple((mark, _alone(mark.pattern)) for mark in marks().values())


def _alone(pattern: str) -> re.Pattern[str]:
    """The pattern where it is no part of a longer word, number or part number."""
    return re.compile(rf"(?<!\w)(?<!\w[.-])(?:{pattern})(?!\w|[.-]\w)")


def _mark(row: Row) -> Mark:
    pattern = text(row, "pattern")
    try:
        empty = _alone(pattern).search("") is not None
    except re.error as error:
        refuse(row, "pattern", f"a regular expression ({error})")
    if empty or pattern != pattern.upper().replace(r"\D", r"\d").replace(r"\W", r"\w"):
        refuse(row, "pattern", "a regular expression over capitals, which some letters meet and none does not")
    if not row.values["materials"]:
        refuse(row, "materials", "the materials that the mark names")
    return Mark(
        id=text(row, "id"),
        pattern=pattern,
        means=text(row, "means"),
        materials=names(row, "materials", materials()),
        standard=text(row, "standard"),
        source=text(row, "source"),
        trust=trust(row),
    )
