"""Names of parts and photos as a person types them, and what they mean among those that are there."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from difflib import get_close_matches
from itertools import islice

from idkit.flows import spelt_out

LIKELY = 5000  # names among which a near one is looked for: it takes a while for each


def written(name: str) -> str:
    """A name as a person writes it: composed letters, no blanks around it, and what is no text spelt out.

    >>> written(" tap ")
    'tap'
    """
    return unicodedata.normalize("NFC", spelt_out(name)).strip()


def loosely(name: str) -> str:
    """The same whatever the capitals, and with the slashes of any system.

    >>> loosely("Door\\\\Hinge")
    'door/hinge'
    """
    return written(name).replace("\\", "/").casefold()


def as_written(names: Sequence[str]) -> list[str]:
    """Each name as a person writes it, but as it is where two would be written alike."""
    count = Counter(map(written, names))
    return [written(name) if count[written(name)] == 1 else spelt_out(name) for name in names]


class Names:
    """Names that are there, each found as it is typed: to the letter, else as written, else whatever its capitals.

    None is found where two would do.
    """

    def __init__(self, known: Iterable[str]) -> None:
        """Take the names in."""
        self._known = tuple(known)
        self._by = [(spell, _alone(self._known, spell)) for spell in (spelt_out, written, loosely)]

    def meant(self, typed: str) -> str | None:
        """The name that is there, or None."""
        for spell, names in self._by:
            found = names.get(spell(typed))
            if found is not None:
                return found
        return None

    def near(self, typed: str) -> str:
        """A name that is nearly it, as it is written; '' where there is none."""
        by_loose = {loosely(name): written(name) for name in islice(self._known, LIKELY)}
        return next((by_loose[name] for name in get_close_matches(loosely(typed), by_loose, 1)), "")


def _alone(known: Sequence[str], spell: Callable[[str], str]) -> dict[str, str]:
    """Names by their spelling, without those that are spelt alike."""
    count = Counter(spell(name) for name in known)
    return {spell(name): name for name in known if count[spell(name)] == 1}
