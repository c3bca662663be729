"""Attached: what else is on the part.

Context: steel can pull the magnet and makes light metals read heavy in water, plastic makes heavy ones read light; both
make clean metal dirty. It tells no metal by itself.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from idkit.ask.choices import UNINFORMATIVE, no_outcomes
from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Answers, Check, Material

NOTHING = frozenset({"", "none", "no", "nothing", "clean", "nil", "-", "bare", "just the part"})
UNSAID = frozenset({"?", "unknown", "no idea", "not sure", "unsure", "don't know", "dont know", "i don't know"})
LEFT_OUT = re.compile(r"(no|not|none|without)\b(?! much| clean)|(?!.*\bin\b).*\bholes?\b")
"""What is not on it: a clause that denies, and holes, whatever they are for, but not what is in them."""


def _words(kind: str, words: str) -> dict[str, str]:
    return dict.fromkeys(words.split(), kind)


MADE_OF: Mapping[str, str] = MappingProxyType(
    _words("steel", "steel iron ferrous stainless magnetic")
    | _words("plastic", "paint painted lacquer lacquered varnish oil oily grease greasy dirt dirty mud glue limescale")
    | _words("plastic", "plastic rubber wood wooden nylon foam tape leather cork silicone paper fabric vinyl pvc")
    | _words("other", "brass copper bronze aluminium aluminum zinc lead chrome glass ceramic concrete")
)
OBJECTS: Mapping[str, str] = MappingProxyType(
    _words("steel", "screw bolt nut stud bearing spring pin insert nail washer rivet clip shaft axle bracket staple")
    | _words("steel", "hinge bushing magnet rod circlip fastener")
    | _words("plastic", "gasket knob handle grommet hose seal cap foot label sticker insulation o-ring")
)
"""What a thing is made of where nobody says: a screw of steel, a knob of plastic; dirt is as light as plastic. Common
practice, no source."""


def parse(typed: str) -> Answer:
    """none, steel, plastic or other, from what a person wrote; the words themselves are kept.

    Both steel and plastic, or words that are not known, are other. AnswerError where it says what is off, or nothing.

    >>> [parse(text).value for text in ("steel screws", "brass screws", "rubber gasket", "no screws", "stud and knob")]
    ['steel', 'other', 'plastic', 'none', 'other']
    """
    text = " ".join(typed.lower().split())
    if text in UNSAID or not text or re.search(r"\b(removed|taken off|took off)\b|\b(gone|out|off)$", text):
        option, example = "--attached", "such as 'steel screws' or none"
        raise AnswerError(option, f"got {typed!r}", "what is still on the part", example)
    clauses = [_clause(part) for part in re.split(r"[,;/]| and | but | except | with ", text)]
    on_it = [clause for clause in clauses if clause not in NOTHING and not LEFT_OUT.match(clause)]
    kinds = _kinds(re.findall(r"[\w-]+|;", " ; ".join(on_it)))
    if len(kinds) == 1:
        return Answer("attached", kinds.pop(), typed=typed)
    return Answer("attached", "other" if on_it else "none", typed=typed)


def _clause(text: str) -> str:
    """A clause without the words that only say it is there.

    >>> _clause("nothing left on it")
    'nothing'
    """
    return re.sub(r"( (left|on it|on|still|there|at all|any more|anymore))+$", "", text.strip(" ."))


def _kinds(words: list[str]) -> set[str]:
    """What is on it, a named stuff going before what the thing after it is usually made of."""
    kinds, stuff = set(), False
    for word in words:
        singular = word if word in MADE_OF or word in OBJECTS else word.removesuffix("s")
        if singular in MADE_OF:
            kinds.add(MADE_OF[singular])
        elif singular in OBJECTS and not stuff:
            kinds.add(OBJECTS[singular])
        stuff = singular in MADE_OF
    return kinds


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material: it matters to the magnet, the weight in water and the pile."""
    return UNINFORMATIVE


CHECK = Check(
    name="attached",
    question="What is still on it?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=0.3,
    how="Look for screws, studs, bearings, inserts, rubber, plastic and wood, in holes too. Say none if it is clean.",
    limits="Steel cast into zinc or aluminium can't be seen: a magnet that pulls in places finds it.",
    source="common practice, no source",
    trust="C",
    asked=False,
)
