"""Every error idkit raises on purpose.

    IdkitError
    ├── CallError            the call is wrong: an option, a name, a combination
    │   ├── AmountError      an amount that can't be read or can't be true
    │   ├── AnswerError      an answer that is not one of the known ones
    │   └── FaultyTable      several cells or rows of a table, each told on a line
    ├── PhotoError           one photo can't be read
    ├── TableError           a row of a table is wrong, by file, row and column
    ├── StoreError           what the user keeps can't be read or written
    ├── ModelError           a model file is missing, broken or does not match
    └── MissingExtra         a part of idkit that needs a package not installed

An error is one line: which thing, what it got, what is right, what next.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence


class IdkitError(Exception):
    """One line for a person at a bench.

    >>> print(IdkitError("--magnet", "got 'sticky'", "none, weak, strong or in-places", "try --magnet weak"))
    --magnet: got 'sticky'; right is none, weak, strong or in-places; try --magnet weak
    """

    def __init__(self, thing: str, got: str, right: str = "", next_step: str = "") -> None:
        parts = [got, f"right is {right}" if right else "", next_step]
        line = f"{thing}: " + "; ".join(part for part in parts if part)
        super().__init__(" ".join(line.split()))


class CallError(IdkitError):
    """The call is wrong: an option, a name, a combination."""


class AmountError(CallError):
    """An amount that can't be read or can't be true."""


class AnswerError(CallError):
    """An answer that is not one of the known ones."""


class FaultyTable(CallError):
    """Cells or rows of a table can't be read: `lines` tells each, and comes before the line of the error itself."""

    def __init__(self, table: str, lines: Sequence[str], of: str, so: str, right: str = "") -> None:
        """`of` is what can't be read, cell or row; `so` what is not done for it."""
        count = f"{len(lines)} {of}{'' if len(lines) == 1 else 's'} can't be read"
        super().__init__(table, f"{count}, so {so}", right, "mend them and run the same command again")
        self.lines = tuple(lines)


class PhotoError(IdkitError):
    """One photo can't be read."""


class TableError(IdkitError):
    """A row of a table is wrong."""


class StoreError(IdkitError):
    """What the user keeps can't be read or written."""


class ModelError(IdkitError):
    """A model file is missing, broken or does not match."""


class MissingExtra(IdkitError):
    """A part of idkit that needs a package not installed."""


def installing(extra: str) -> str:
    """How an extra is installed beside this very idkit, as a next step.

    >>> installing("web").endswith(" -m pip install '.[web]'")
    True
    """
    return f"in the folder that idkit came in: {sys.executable} -m pip install '.[{extra}]'"
