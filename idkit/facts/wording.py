"""Words as people write them, made comparable: spelling, plurals, hyphens and spaces aside."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from types import MappingProxyType

LONGEST = 5  # words in a phrase

SPELLED: Mapping[str, str] = MappingProxyType(
    {
        "aluminum": "aluminium",
        "axes": "axe",
        "center": "centre",
        "color": "colour",
        "disk": "disc",
        "faucet": "tap",
        "fiber": "fibre",
        "flashlight": "torch",
        "galvanized": "galvanised",
        "gray": "grey",
        "jewelry": "jewellery",
        "knives": "knife",
        "mold": "mould",
        "mortise": "mortice",
        "plow": "plough",
        "shelves": "shelf",
        "spigot": "tap",
        "tire": "tyre",
        "wrench": "spanner",
    }
)
"""One word for each pair of spellings, and for what one country calls a tap and another a faucet."""


def words_of(text: str) -> tuple[str, ...]:
    """The words of a text in lower case, each in the singular and in one spelling.

    >>> words_of("Kitchen-Faucets, aluminum knives")
    ('kitchen', 'tap', 'aluminium', 'knife')
    """
    found = re.findall(r"\w+", text.lower().replace("_", " "))
    return tuple(SPELLED.get(word, SPELLED.get(_singular(word), _singular(word))) for word in found)


def joined(phrase: str) -> str:
    """A phrase as one word, so that dish washers, dish-washer and dishwasher are the same.

    >>> joined("Dish washers"), joined("batteries")
    ('dishwasher', 'battery')
    """
    return "".join(words_of(phrase))


def phrases_in(text: str, known: Collection[str]) -> Iterator[tuple[str, int, int]]:
    """Each known joined phrase in the text, with the numbers of its first word and of the one after its last.

    >>> list(phrases_in("an old ceiling fan", {"ceilingfan", "fan", "old"}))
    [('old', 1, 2), ('ceilingfan', 2, 4), ('fan', 3, 4)]
    """
    words = words_of(text)
    for first in range(len(words)):
        for end in range(first + 1, min(first + LONGEST, len(words)) + 1):
            phrase = "".join(words[first:end])
            if phrase in known:
                yield phrase, first, end


def _singular(word: str) -> str:
    if len(word) < 4 or word.endswith("ss"):
        return word
    if word.endswith("ies"):
        return f"{word[:-3]}y"
    return word[:-2] if re.search(r"(ch|sh|x|ss)es$", word) else word.removesuffix("s")
