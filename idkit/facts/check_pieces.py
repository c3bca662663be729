"""Check pieces: coins and water of published mass, to check a scale with."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from idkit.facts.phrases import has, plain
from idkit.facts.tables import Row, members, names, number, rows_of, text, trust
from idkit.vocabulary import CheckPiece

COLUMNS = ("id", "words", "name", "mass_g", "tolerance_g", "source", "trust")


@cache
def check_pieces() -> Mapping[str, CheckPiece]:
    """Every row of check-pieces.csv by id."""
    return read_check_pieces()


def read_check_pieces(path: Path | None = None) -> Mapping[str, CheckPiece]:
    """The same from another file."""
    return members(rows_of("check-pieces.csv", COLUMNS, path), _piece)


def check_piece_of(said: str) -> CheckPiece | None:
    """The piece that a text names, the longest name first; None where it names none.

    >>> check_piece_of("US nickels").id
    'us-5-cent'
    """
    words = plain(said)
    named = [(word, piece) for piece in check_pieces().values() for word in (*piece.words, piece.id)]
    found = [(word, piece) for word, piece in named if has(words, word)]
    return max(found, key=lambda pair: len(pair[0]))[1] if found else None


def _piece(row: Row) -> CheckPiece:
    return CheckPiece(
        id=text(row, "id"),
        words=names(row, "words"),
        name=text(row, "name"),
        mass=number(row, "mass_g", 0.1, 100000.0) / 1000,
        tolerance=number(row, "tolerance_g", 0.0001, 1000.0) / 1000,
        source=text(row, "source"),
        trust=trust(row),
    )
