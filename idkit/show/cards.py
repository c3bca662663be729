"""What a page, a spreadsheet or a keyword says of one tagged part, from its JSON; and where the part is put."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from idkit import flows
from idkit.show import words

SHOWN = 4  # materials with a bar
LEAVE, CHECK, YARD, PILE = "leave-alone", "check-first", "show-the-yard", "pile"
PLACES = (LEAVE, CHECK, YARD)  # where a part goes that lies on no pile


@dataclass(frozen=True)
class Bar:
    """One material with its chance, 0 to 1, and that in words."""

    name: str
    chance: float
    odds: str


@dataclass(frozen=True)
class Card:
    """One part: what is said of it, and where it goes: left alone, checked first, shown, a pile."""

    part: str
    files: tuple[str, ...]
    answer: str
    place: str
    pile: str  # id of the pile it goes on, or most likely would
    also: str
    state: str
    sure: bool
    bars: tuple[Bar, ...]
    rest: str
    check: str  # id of the next check, or ''
    how: str
    settles: str
    stopped: str
    dangers: tuple[str, ...]
    cautions: Mapping[str, str]  # messages by id
    problems: tuple[str, ...]
    typed: Mapping[str, str]
    note: str
    twice: tuple[str, ...]  # photos that are there twice, a line each
    simulated: bool
    confirm: str
    worth: tuple[str, ...]  # what it fetches at the yard in use, in words
    value: tuple[str, str, str, str]  # from, to, currency, and what it is for; empty without a price

    @property
    def goes_to(self) -> str:
        """Its pile, or what is to be done first: an id."""
        return self.pile if self.place == PILE else self.place

    @property
    def doubtful(self) -> bool:
        """Whether something is left to do before it lies on its pile."""
        return self.place in (CHECK, YARD)


def card(tag: Mapping[str, Any]) -> Card:
    """The card of one part as it was described."""
    part, said = tag["part"], tag["said"]
    materials = [(row["material"], row["chance"]) for row in part["materials"]]
    shown = [(name, chance) for name, chance in materials if name in part["likely"]][:SHOWN]
    pile, check = part["category"], part["next_check"]
    return Card(
        part=part["part"],
        files=tuple([*(photo["file"] for photo in part["photos"]), *(file for file, _ in said["twice"])]),
        answer=said["answer"],
        place=place(tag),
        pile=pile["id"] if pile else part["categories"][0]["id"],
        also=(pile["also"] or "") if pile else "",
        state=pile["state"] if pile else "",
        sure=part["sure"],
        bars=tuple(Bar(flows.name_of(name), chance, words.odds(chance)) for name, chance in shown),
        rest=words.odds(max(0.0, 1 - sum(chance for _, chance in shown))),
        check=check["check"] if check else "",
        how=check["how"] if check else "",
        settles=said["settles"],
        stopped=said["stopped"],
        dangers=tuple(said["dangers"]),
        cautions={each["id"]: each["message"] for each in part["cautions"]},
        problems=tuple(dict.fromkeys(problem for photo in part["photos"] for problem in photo["problems"])),
        typed={name: answer["typed"] for name, answer in part["answers"].items() if answer["typed"]},
        note=part["note"],
        twice=tuple(line for _, line in said["twice"]),
        simulated=part["simulated"],
        confirm=part["confirm"],
        worth=tuple(said["worth"]),
        value=_value(part["value"]),
    )


def _value(value: Mapping[str, str] | None) -> tuple[str, str, str, str]:
    return (value["low"], value["high"], value["currency"], value["per"]) if value else ("", "", "", "")


def place(tag: Mapping[str, Any]) -> str:
    """Where a part goes. What may be neither opened nor handled comes first, whatever its metal."""
    part = tag["part"]
    if any(set(danger["forbids"]) != {"wet"} for danger in part["leave_closed"]):
        return LEAVE
    if part["next_check"]:
        return CHECK
    return YARD if tag["said"]["apart"] or not part["sure"] and not part["category"] else PILE


def pile_of(tag: Mapping[str, Any]) -> str:
    """The folder or heap it goes on: the pile's id, or what is to be done first."""
    where = place(tag)
    if where != PILE:
        return where
    part = tag["part"]
    return str((part["category"] or part["categories"][0])["id"])


def in_words(identity: str) -> str:
    """An id as words.

    >>> in_words("weight-in-water")
    'weight in water'
    """
    return identity.replace("-", " ")
