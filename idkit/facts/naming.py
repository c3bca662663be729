"""Materials and categories by what people write: by id or name, capitals, points, hyphens and spelling aside."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Protocol

from idkit.facts.wording import SPELLED

LIKE = 0.65  # of a name's letters, from which another may have been meant


class Named(Protocol):
    """A row of a table with a name."""

    @property
    def id(self) -> str:
        """The row's own id."""

    @property
    def name(self) -> str:
        """Its name in words."""


def named(said: str, rows: Iterable[Named], others: Mapping[str, str] | None = None) -> str:
    """The id of the row so called; '' where none is, or several. `others` turn further names to ids, and come first.

    A name with a comma is told by what stands before it, where that tells it from all others.

    >>> from idkit.facts import categories, materials
    >>> [named(said, categories().values()) for said in ("Cast-Aluminium", "copper no 2", "zinc die cast", "boards")]
    ['aluminium-cast', 'copper-no-2', 'zinc', '']
    >>> named("aluminium", materials().values())  # rolled or cast?
    ''
    """
    wanted, table = _key(said), list(rows)
    exact = {_key(each.name): each.id for each in table} | {_key(each.id): each.id for each in table}
    exact |= {_key(name): id_ for name, id_ in (others or {}).items()}
    if wanted in exact:
        return exact[wanted]
    alike = [each for each in table if _key(each.name).startswith(f"{wanted} ")]
    told = len(alike) == 1 and _key(alike[0].name.partition(",")[0]) == wanted
    return alike[0].id if told else ""


def near(said: str, rows: Iterable[Named], others: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """Up to four ids or names that may have been meant: those with that word in their name, then those spelt nearly so.

    >>> from idkit.facts import categories
    >>> near("brass", categories().values())[:2], near("coper", categories().values())[0]
    (('red-brass', 'yellow-brass'), 'copper')
    """
    known = {each.id: each.name for each in rows} | {name: name for name in others or {}}
    with_it = [id_ for id_, name in known.items() if f" {_key(said)} " in f" {_key(name)} "]
    by_key = {_key(text): id_ for id_, name in known.items() for text in (id_, name)}
    spelt = [by_key[key] for key in get_close_matches(_key(said), by_key, 4, LIKE)]
    return tuple(dict.fromkeys([*sorted(with_it, key=lambda id_: (len(known[id_]), id_)), *spelt]))[:4]


def _key(words: str) -> str:
    plain = re.sub(r"[^\w]+|_", " ", words.casefold()).split()
    return " ".join(SPELLED.get(word, word) for word in plain)
