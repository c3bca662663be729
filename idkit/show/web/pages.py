"""The page's pages: what a part, a record or a refusal looks like."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

import jinja2
from starlette.requests import Request
from starlette.responses import HTMLResponse

from idkit import flows
from idkit.show import asking, kept, spelling, words
from idkit.show.web.answering import checks
from idkit.show.web.visitors import OpenPart
from idkit.vocabulary import Check, Kept, Record, Verdict, Whole

ASIDE = ("marked", "came-out-of", "form", "attached", "thickness", "weight")  # asked for first under "say more"
WIDE = 288  # pixels of a photo's width where no script makes it fit: 320 without the margins
TAPS: Mapping[str, str] = {  # what the command line says of its options, as a thumb does it
    "name the box with --scratch if it is one": "say below the photo if it is one",
    "say --each for all": "photograph each by itself",
    "name a box on it, as X,Y,W,H from the top left of the picture": "tap on the part",
    "name a larger box": "take a larger box",
}
OPTION = re.compile(r"--(?:answer )?([a-z][a-z-]*)")


class Pages:
    """Templates, filled in; all that comes from outside is escaped by them."""

    def __init__(self, spelt: str, lan: bool) -> None:
        self.environment = jinja2.Environment(
            loader=jinja2.PackageLoader("idkit.show.web"),
            autoescape=True,
            trim_blocks=True,
            lstrip_blocks=True,
            undefined=jinja2.StrictUndefined,
        )
        self.environment.globals |= {"lan": lan, "wide": WIDE}
        self.environment.filters |= {
            "said": partial(_said, spelt=spelt),
            "words": lambda name: name.replace("-", " "),
            "material": flows.name_of,
            "category": flows.category_name,
            "odds": words.odds,
            "label": kept.said,
        }

    def show(self, request: Request, name: str, status: int = 200, **more: Any) -> HTMLResponse:
        """A page. A visitor's token goes into its forms; those who are turned away have none."""
        visitor = getattr(request.state, "visitor", None)
        text = self.environment.get_template(name).render(token=visitor.token if visitor else "", **more)
        return HTMLResponse(text, status)

    def problem(self, request: Request, status: int, title: str, told: str) -> HTMLResponse:
        """The page that says why not."""
        known = getattr(request.state, "visitor", None) is not None
        return self.show(request, "problem.html", status, title=title, told=told, known=known)


@dataclass(frozen=True)
class Question:
    """What is asked now: a button for each of `choices`, a line to type for each of `lines`."""

    check: Check
    lines: tuple[Check, ...]
    cautions: tuple[str, ...]
    leave: str  # when not to do it

    @property
    def typed(self) -> bool:
        """Whether an answer may be typed: there are no buttons, or a number says more than they do."""
        numbers = (not isinstance(each.answer.value, str) for each in self.check.outcomes({}))
        return not self.check.choices or any(numbers)


def question_of(part: OpenPart, wanted: str) -> Question | None:
    """What the page asks of a part: the check that was asked for by its name, else the one that helps most."""
    if part.shown is None or part.kept is not None:
        return None
    known, verdict = checks(), part.shown.record.verdict if part.shown.record else None
    name = wanted if wanted in known else part.shown.question
    if not name:
        return None
    check = known[name]
    lines = part.shown.lines if name == part.shown.question else check.by or (name,)
    forbidden = flows.forbidden_by(verdict.dangers) if verdict else frozenset()
    if name in forbidden:
        return None
    cautions = tuple(each.message for each in verdict.cautions if name in each.checks) if verdict else ()
    leave = asking.LEAVE if asking.HURTS.intersection(check.acts) else ""
    return Question(check, tuple(known[each] for each in lines), cautions, leave)


def others(part: OpenPart) -> Iterator[Check]:
    """The checks that may still be answered: what is quick to say first, nothing that a danger forbids."""
    record = part.shown.record if part.shown else None
    forbidden = flows.forbidden_by(record.verdict.dangers) if record else frozenset()
    known = checks()
    first = [known[name] for name in ASIDE]
    for check in (*first, *(each for each in known.values() if each.name not in ASIDE)):
        if check.name not in forbidden and check.name not in part.asked.typed:
            yield check


def told(record: Record) -> dict[str, Any]:
    """A verdict as the template takes it, in the words of the terminal."""
    verdict = record.verdict
    likely = [name for name in verdict.chances if name in verdict.likely][: words.SHOWN]
    return {
        "record": record,
        "verdict": verdict,
        "opening": words.opening(record),
        "answer": words.answer(record),
        "first": _first(verdict),
        "dangers": [line for _, line in words.dangers(verdict)],
        "chances": [(name, verdict.chances[name]) for name in likely],
        "more": len(verdict.likely) - len(likely),
        "rest": max(0.0, 1 - sum(verdict.chances[name] for name in likely)),
        "pile": [line.strip() for _, line in (*words.pile(verdict), *words.worth(record))],
        "card": [line.strip() for _, line in words.by_the_card(record)],
        "problems": list(dict.fromkeys(problem for photo in record.photos for problem in photo.problems)),
        "settles": words.settles(verdict.next_check.settles) if verdict.next_check else "",
        "stopped": "" if verdict.sure or verdict.next_check else words.stopped(verdict),
        "simulated": words.SIMULATED if verdict.simulated else "",
    }


def _first(verdict: Verdict) -> str:
    """The likeliest, where the headline names none."""
    name, chance = next(iter(verdict.chances.items()))
    return "" if verdict.sure or len(verdict.likely) == 1 else f"First: {flows.name_of(name)}, {words.odds(chance)}."


def listed(rows: tuple[Kept, ...]) -> list[dict[str, Any]]:
    """Records as the list shows them: what the machine said, and what a person said."""
    return [{"kept": row, "differs": kept.differ(row)} for row in rows]


def remembered(whole: Whole) -> dict[str, Any]:
    """One record as its page shows it."""
    likely = list(whole.document.get("likely", ())) or [whole.kept.material]
    return {
        "whole": whole,
        "kept": whole.kept,
        "chances": list(whole.chances.items())[: words.SHOWN],
        "likely": likely[: words.SHOWN],
        "materials": flows.nameable_materials(),
        "categories": flows.known_categories(),
        "reasons": list(whole.document.get("reasons", ())),
        "confirm": whole.document.get("confirm", ""),
        "standing": flows.standing_of(whole.labels),
    }


def _said(text: str, spelt: str) -> str:
    """A sentence for the page: in the words of the bench, and in taps instead of options.

    >>> _said("shake off bubbles, and read: --weight and --jar", "uk")
    'shake off bubbles, and read: weight and jar'
    """
    for option, tap in TAPS.items():
        text = text.replace(option, tap)
    text = OPTION.sub(lambda found: found[1].replace("-", " "), text)
    return next(iter(spelling.spoken([("", text)], spelt)))[1]
