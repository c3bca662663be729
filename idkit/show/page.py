"""pictures.html: one page that needs nothing else, for a phone and for paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from idkit import flows
from idkit.batch import Plan, Problem
from idkit.show import cards, words
from idkit.show.cards import CHECK, LEAVE, PILE, YARD, Card
from idkit.show.spelling import spoken

PICTURES = 3  # of one part, at most
NAMED = 12  # parts named in a line of the bench plan
PicturesOf = Callable[[Card], list[str]]


@dataclass(frozen=True)
class Section:
    """Parts that are dealt with together: what they have in common, and what to beware of with them."""

    id: str
    title: str
    intro: str
    cards: tuple[Card, ...]
    also: str = ""  # what the trade specification calls the pile

    @property
    def cautions(self) -> dict[str, str]:
        """What to beware of, by id, each once."""
        return {name: message for card in self.cards for name, message in card.cautions.items()}


@dataclass(frozen=True)
class Step:
    """One line of the bench plan: a check, the parts it is made on, and the minutes it takes in all."""

    check: str
    question: str
    how: str
    cards: tuple[Card, ...]
    minutes: float
    anchor: str

    @property
    def named(self) -> str:
        """The parts, or the first of them."""
        first = ", ".join(card.part for card in self.cards[:NAMED])
        more = len(self.cards) - NAMED
        return f"{first} and {more} more" if more > 0 else first

    @property
    def lasting(self) -> str:
        """The minutes in words."""
        return lasting(self.minutes)


@dataclass(frozen=True)
class Told:
    """What a page says beside the parts: what was planned, what could not be read, rows of the answers file of no part,
    and how many jobs of the plan are not done yet.
    """

    plan: Plan
    problems: tuple[Problem, ...]
    unknown: tuple[str, ...]
    unfinished: int


def pieces(found: Sequence[Card], told: Told, pictures: PicturesOf, spelt: str) -> Iterator[str]:
    """The page, piece by piece: dangers, the bench plan, what is doubtful, then pile by pile.

    `spelt` is whose words: uk or us.
    """
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("idkit.show", "pages"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    environment.filters |= {"said": partial(_said, spelt=spelt), "words": cards.in_words, "file": flows.spelt_out}
    steps = bench_plan(found)
    every = tuple(sections(found, steps))
    return environment.get_template("pictures.html").generate(
        done=len(found),
        settled=sum(card.sure for card in found),
        plan=told.plan,
        unknown=told.unknown,
        unfinished=told.unfinished,
        problems=told.problems,
        steps=steps,
        total=lasting(sum(step.minutes for step in steps)),
        sections=every,
        first=[section for section in every if section.id == LEAVE],
        rest=[section for section in every if section.id != LEAVE],
        pictures=lambda card: pictures(card)[:PICTURES],
        simulated=words.SIMULATED if any(card.simulated for card in found) else "",
    )


def bench_plan(found: Sequence[Card]) -> tuple[Step, ...]:
    """The doubtful parts by the check that is next for each, the quickest check first."""
    by_check: dict[str, list[Card]] = {}
    for card in found:
        if card.place == CHECK:
            by_check.setdefault(card.check, []).append(card)
    checks = [check for check in flows.known_checks() if check.name in by_check]
    return tuple(
        Step(
            check.name,
            check.question,
            check.how,
            tuple(by_check[check.name]),
            check.minutes * len(by_check[check.name]),
            f"check-{check.name}",
        )
        for check in checks
    )


def sections(found: Sequence[Card], steps: Sequence[Step]) -> Iterator[Section]:
    """What is left alone, what is checked first, what the yard is asked about, then every pile in the yard's order."""
    yield from _if_any(LEAVE, "Leave these alone or closed", "Whatever they are made of.", found, LEAVE)
    for step in steps:
        yield Section(
            step.anchor, f"Check first: {cards.in_words(step.check)}", f"{step.question} {step.how}", step.cards
        )
    yard = "No check at hand settles these: put them apart, and ask."
    yield from _if_any(YARD, "Show these to the yard", yard, found, YARD)
    for category in flows.known_categories():
        on_it = tuple(card for card in found if card.place == PILE and card.pile == category.id)
        if on_it:
            intro = f"{category.belongs} Made cheaper by: {category.downgrades}."
            yield Section(f"pile-{category.id}", f"Pile: {category.name}", intro, _unsure_first(on_it), category.also)


def lasting(minutes: float) -> str:
    """Minutes in words, as a plan has them.

    >>> lasting(0.4), lasting(6.2), lasting(150)
    ('about a minute', 'about 6 minutes', 'about 2 h 30 min')
    """
    whole = max(1, round(minutes))
    if whole >= 90:
        return f"about {whole // 60} h {whole % 60:02} min"
    return "about a minute" if whole == 1 else f"about {whole} minutes"


def _if_any(name: str, title: str, intro: str, found: Sequence[Card], place: str) -> Iterator[Section]:
    there = tuple(card for card in found if card.place == place)
    if there:
        yield Section(name, title, intro, there)


def _unsure_first(found: Sequence[Card]) -> tuple[Card, ...]:
    return tuple(sorted(found, key=lambda card: card.sure))


def _said(text: str, spelt: str) -> str:
    return next(spoken([("", text)], spelt))[1]
