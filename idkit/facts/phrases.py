"""Whole words and phrases in what a person wrote."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache


def plain(words: str) -> str:
    """One spelling: small letters, hyphens, underscores and slashes as spaces, no doubled spaces.

    >>> plain("Gas-Bottle  from/camping")
    'gas bottle from camping'
    """
    return " ".join(re.sub(r"[-_/]", " ", words.lower()).split())


def has(said: str, word: str) -> bool:
    """Whether the word or phrase stands in a plain text by itself, a plural aside.

    >>> has("two gas bottles", "gas bottle"), has("drainpipe", "pipe")
    (True, False)
    """
    bare = _bare(word)
    return bare in said and _whole(bare).search(said) is not None


def says(text: str, words: Iterable[str]) -> bool:
    """Whether one of the words or phrases stands in a text as typed."""
    said = plain(text)
    return any(has(said, word) for word in words)


def ends_with(said: str, word: str) -> bool:
    """Whether the word or phrase stands at the end of a clause of a plain text.

    >>> ends_with("drill, battery out", "battery out"), ends_with("battery out of the charger", "battery out")
    (True, False)
    """
    bare = _bare(word)
    return bare in said and _ending(bare).search(said) is not None


def without(said: str, words: Iterable[str]) -> str:
    """A plain text without those words and phrases, the longest first.

    >>> without("an engine cylinder and a cylinder", ["engine cylinder"])
    'an   and a cylinder'
    """
    for bare in sorted(map(_bare, words), key=len, reverse=True):
        said = _whole(bare).sub(" ", said) if bare in said else said
    return said


_bare = lru_cache(maxsize=4096)(plain)


@lru_cache(maxsize=4096)
def _ending(bare: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(bare)}(?:s|es)?(?!\w)['\"’)]*\s*(?:$|[,;.:!(]|and\b|but\b)")


@lru_cache(maxsize=4096)
def _whole(bare: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(bare)}(?:s|es)?(?!\w)")
