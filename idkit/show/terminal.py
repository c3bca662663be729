"""Lines to a terminal: wrapped at 80 columns, coloured only where a person looks."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap
import unicodedata
from collections.abc import Iterable
from typing import TextIO

STYLES = {"title": "1", "good": "1;32", "doubt": "1;33", "warn": "31", "dim": "2", "": ""}
WIDEST = 80
PLAIN = "\n\t"
UNSEEN = ("Cc", "Cs")  # Unicode's categories of control and surrogate characters
TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")  # the direction of text (UAX 9)


def show(lines: Iterable[tuple[str, str]], stream: TextIO | None = None) -> None:
    """Print styled lines. Colour needs a terminal and no NO_COLOR (no-color.org) in the environment."""
    out = stream or sys.stdout
    coloured = out.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    width = min(WIDEST, shutil.get_terminal_size((WIDEST, 24)).columns) - 1
    for style, line in lines:
        for piece in _wrapped(line, width):
            code = STYLES[style] if coloured else ""
            _write(out, f"\x1b[{code}m{piece}\x1b[0m\n" if code else f"{piece}\n")


def is_seen() -> bool:
    """Whether a person sits at both ends."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def say(line: str) -> None:
    """One line of message, on standard error."""
    _write(sys.stderr, visible(line) + "\n")


def prompt(text: str) -> None:
    """Text without a line's end, at once, on standard error: what a person types after."""
    _write(sys.stderr, text)
    sys.stderr.flush()


def visible(text: str) -> str:
    """Text whose control characters are spelt out: names of files may hold what would steer a terminal.

    >>> visible("tap\\x1b[2J.jpg"), visible("two\\tlines\\n")
    ('tap\\\\x1b[2J.jpg', 'two\\tlines\\n')
    """
    if text.isprintable():
        return text
    return "".join(sign.encode("unicode_escape").decode() if _steers(sign) else sign for sign in text)


def _steers(sign: str) -> bool:
    return sign in TURNING or (sign not in PLAIN and unicodedata.category(sign) in UNSEEN)


def _wrapped(line: str, width: int) -> list[str]:
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    plain = visible(line)
    pieces = textwrap.wrap(plain, width, subsequent_indent=indent, break_on_hyphens=False, break_long_words=False)
    return pieces or [""]  # a path in two can't be opened, so long words stay whole


def _write(stream: TextIO, text: str) -> None:
    try:
        stream.write(text)
    except UnicodeEncodeError:  # a terminal that can't show every sign
        encoding = stream.encoding or "ascii"
        stream.write(text.encode(encoding, "replace").decode(encoding))
