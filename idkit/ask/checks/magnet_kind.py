"""Magnet kind: which magnet was held to the part.

Context: a rare-earth magnet feels weak pulls that an old ferrite one misses, and is tickled by nickel plating.
"""

from __future__ import annotations

from idkit.ask.choices import UNINFORMATIVE, choose, no_outcomes
from idkit.vocabulary import Answer, Answers, Check, Material

OPTIONS = ("neodymium", "ferrite")
WORDS = {
    "neodymium": ("neodymium", "neo", "rare earth", "rare-earth", "hard disk", "strong magnet"),
    "ferrite": ("ferrite", "ceramic", "fridge", "speaker", "horseshoe", "bar magnet"),
}


def parse(typed: str) -> Answer:
    """neodymium or ferrite; everyday words for them are known.

    >>> parse("fridge magnet").value
    'ferrite'
    """
    kind, _ = kind_in(typed)
    return Answer("magnet-kind", kind, typed=typed) if kind else choose("magnet-kind", typed, OPTIONS)


def kind_in(typed: str) -> tuple[str, str]:
    """The kind of magnet named in an answer, '' where none is, and the answer without it.

    >>> kind_in("weak, neodymium")
    ('neodymium', 'weak')
    """
    text = " ".join(typed.lower().replace(",", " ").replace("(", " ").replace(")", " ").split())
    for kind, words in WORDS.items():
        for word in words:
            if f" {word} " in f" {text} ":
                left = f" {text} ".replace(f" {word} ", " ")
                rest = " ".join(each for each in left.split() if each not in ("magnet", "with", "a", "by"))
                return kind, rest
    return "", typed


def likelihood(material: Material, answer: Answer, others: Answers) -> float:  # noqa: ARG001
    """The same for every material: it matters only to the magnet."""
    return UNINFORMATIVE


CHECK = Check(
    name="magnet-kind",
    question="Which magnet is it?",
    parse=parse,
    outcomes=no_outcomes,
    likelihood=likelihood,
    minutes=0.1,
    how="Small, shiny and hard to pull off steel: neodymium. Black, from a loudspeaker or fridge door: ferrite.",
    limits="Tells no metal by itself.",
    source="common practice, no source",
    trust="C",
    asked=False,
)
