"""Words of the bench as they are said in the US or the UK. The JSON keeps its names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

US: Mapping[str, str] = {
    "aluminium": "aluminum",
    "galvanised": "galvanized",
    "colour": "color",
    "colours": "colors",
    "coloured": "colored",
    "discoloured": "discolored",
    "grey": "gray",
    "mould": "mold",
    "moulding": "molding",
    "moulded": "molded",
    "centre": "center",
    "litre": "liter",
    "metre": "meter",
    "calliper": "caliper",
    "tyre": "tire",
    "tyres": "tires",
    "vapour": "vapor",
    "carburettor": "carburetor",
    "anodising": "anodizing",
    "anodised": "anodized",
    "petrol": "gasoline",
    "spanner": "wrench",
    "fibre": "fiber",
    "analyser": "analyzer",
    "licence": "license",
    "paraffin": "kerosene",
}
_WORD = re.compile(rf"(?<![\w-])({'|'.join(US)})(?![\w-])", re.IGNORECASE)


def spoken(lines: Iterable[tuple[str, str]], words: str) -> Iterator[tuple[str, str]]:
    """Styled lines in those words: uk as written, us turned. Ids with hyphens and options stay.

    >>> list(spoken([("", "Aluminium casting, plain grey")], "us"))
    [('', 'Aluminum casting, plain gray')]
    >>> list(spoken([("", "aluminium-cast")], "us"))
    [('', 'aluminium-cast')]
    """
    for style, line in lines:
        yield style, _aligned(line, _WORD.sub(_turned, line)) if words == "us" else line


def _aligned(line: str, turned: str) -> str:
    """The turned line with its columns where they were: what it lost is given to its first wide gap."""
    return re.sub(r"(?<=\S) {3,}", lambda gap: gap[0] + " " * (len(line) - len(turned)), turned, count=1)


def _turned(found: re.Match[str]) -> str:
    word = US[found[1].lower()]
    return word.capitalize() if found[1][0].isupper() else word
