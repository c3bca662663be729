"""What was done, a line each, added at the end as it is done: what stands there is whole or it does not count."""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from idkit.batch.jobs import Outcome, Problem, Read
from idkit.errors import StoreError

PIECES = 2  # of JSON in a line
LONGEST_WASTE = 1 << 20  # bytes of lines that no longer count, from which the journal may be written anew


@dataclass(frozen=True)
class Entry:
    """Where the last line on one part stands, how it was done, and of which files."""

    at: int
    length: int
    how: str
    files: dict[str, Read]


class Journal:
    """One file of lines: CRC-32 of the rest in hexadecimal, a space, and two pieces of JSON with a tab between them: of
    what it was made, and what it gave, which is long and read only where it is wanted. The last line on a part counts.

    A torn or damaged line is left out, and its part is done again.
    """

    def __init__(self, path: Path) -> None:
        """Open it, or begin it; StoreError where the disk says no."""
        self.path = path
        self._open()

    def _open(self) -> None:
        try:
            self._file: IO[bytes] = self.path.open("a+b")
            self.entries = dict(self._read())
            self._drop_torn_end()
        except OSError as error:
            raise _refused(self.path, error) from None

    def add(self, how: str, outcome: Outcome) -> None:
        """Write down what a job gave."""
        made_of = {"part": outcome.part, "how": how, "files": outcome.files}
        problems = [[problem.file, problem.line] for problem in outcome.problems]
        pieces = (made_of, {"tags": outcome.tags, "problems": problems})
        body = b"\t".join(json.dumps(piece, separators=(",", ":")).encode() for piece in pieces)
        line = b"%08x %s\n" % (zlib.crc32(body), body)
        try:
            at = self._file.seek(0, os.SEEK_END)
            self._file.write(line)
            self._file.flush()
        except OSError as error:
            raise _refused(self.path, error) from None
        self.entries[outcome.part] = Entry(at, len(line), how, dict(outcome.files))

    def outcome(self, part: str) -> Outcome:
        """What was written down of a part last."""
        entry = self.entries[part]
        self._file.seek(entry.at)
        told = _told(self._file.read(entry.length), 1)
        if told is None:
            raise StoreError(str(self.path), "was changed while it was read", "", "run the same command again")
        problems = tuple(Problem(*each) for each in told["problems"])
        return Outcome(part, entry.files, tuple(told["tags"]), problems)

    def without_waste(self) -> None:
        """Write the journal anew where most of it no longer counts; the old one stays until the new one is whole."""
        live = sum(entry.length for entry in self.entries.values())
        if self._file.seek(0, os.SEEK_END) - live <= max(live, LONGEST_WASTE):
            return
        new = self.path.with_suffix(".new")
        try:
            new.unlink(missing_ok=True)
            with new.open("xb") as file:
                for entry in self.entries.values():
                    self._file.seek(entry.at)
                    file.write(self._file.read(entry.length))
            self._file.close()
            new.replace(self.path)
        except OSError as error:
            raise _refused(self.path, error) from None
        self._open()

    def close(self) -> None:
        """Let the file go."""
        self._file.close()

    def _read(self) -> Iterator[tuple[str, Entry]]:
        at = self._file.seek(0)
        for line in self._file:
            told = _told(line, 0)
            files = _files(told) if told is not None else None
            if told is not None and files is not None:
                yield told["part"], Entry(at, len(line), told["how"], files)
            at += len(line)

    def _drop_torn_end(self) -> None:
        size = self._file.seek(0, os.SEEK_END)
        self._file.seek(max(0, size - 1))
        if size and self._file.read(1) != b"\n":
            self._file.seek(0)
            whole = sum(len(line) for line in self._file if line.endswith(b"\n"))
            self._file.truncate(whole)


def _files(told: dict[str, Any]) -> dict[str, Read] | None:
    """The files of a line; None where it is of an earlier idkit, which wrote down less of them."""
    try:
        return {
            name: ((size, changed, named, number), sha)
            for name, ((size, changed, named, number), sha) in told["files"].items()
        }
    except (TypeError, ValueError):
        return None


def _told(line: bytes, piece: int) -> dict[str, Any] | None:
    """What one piece of a line says, or None where the line is not whole."""
    if len(line) < 10 or not line.endswith(b"\n"):
        return None
    try:
        if int(line[:8], 16) != zlib.crc32(line[9:-1]):
            return None
        pieces = line[9:].split(b"\t")
        told = json.loads(pieces[piece]) if len(pieces) == PIECES else None
    except ValueError:
        return None
    return told if isinstance(told, dict) else None


def _refused(path: Path, error: OSError) -> StoreError:
    return StoreError(
        str(path), f"can't be written ({error.strerror})", "", "make room or name another place with --out"
    )
