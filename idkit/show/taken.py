"""Files that a person names to be written: what idkit wrote before is written anew, what anybody else did never."""

from __future__ import annotations

from pathlib import Path

from idkit.errors import CallError

PICTURE = b"Software\0idkit"  # a text chunk of PNG (ISO/IEC 15948, 11.3.4.3)
PAGE = b'<meta name="generator" content="idkit">'
WITHIN = 4096  # bytes from the start of a file in which its mark lies


def refuse_ending(path: Path, option: str, *endings: str, attempt: str = "") -> None:
    """CallError for a name that ends otherwise than what is written into it."""
    if path.suffix.lower() not in endings:
        raise CallError(option, f"got {path.name!r}", f"a name that ends in {endings[0]}", attempt)


def refuse(path: Path, option: str, *, mark: bytes = b"", same: bytes = b"") -> None:
    """CallError where a file of that name is there, unless it has that mark near its start or is just the `same`."""
    try:
        there = path.read_bytes()
    except OSError:
        if not path.is_file():  # not there, or a folder, which is said when it is written
            return
        there = b""
    if (mark and mark in there[:WITHIN]) or (same and there == same):
        return
    right, what_next = "a name that is not taken", "what lies there is never written over"
    raise CallError(option, f"{path} is there already", right, what_next)
