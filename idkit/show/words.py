"""A verdict in words for a terminal 80 columns wide: what it is first, then why, then what to do."""

from __future__ import annotations

from collections.abc import Iterator

from idkit import flows
from idkit.vocabulary import Record, Verdict

SHOWN = 5  # materials at the most in the list of chances
BAR = 20
SIMULATED = "What the photo says rests on simulated surfaces, not on photographs (docs/limits.md)."

UNTOLD = "The photo tells nothing of it. All that follows is how common each metal is."
UNTOLD_BY_ALL = "The photos tell nothing of it. All that follows is how common each metal is."


def headline(verdict: Verdict) -> str:
    """The answer in one line."""
    first = flows.name_of(next(iter(verdict.chances)))
    if verdict.sure and verdict.pile is not None:
        return f"Sure of the pile: {verdict.pile.category.name}. Most likely {first}."
    if verdict.pile is not None:
        return f"Not sure, but all that is likely goes on one pile: {verdict.pile.category.name}."
    if len(verdict.likely) == 1:
        return f"Not sure. Most likely {first}."
    return f"Not sure yet: {len(verdict.likely)} materials are likely, on {_piles(verdict)} piles."


def opening(record: Record) -> str:
    """The headline; where neither photo nor answer told anything, that instead: what is common is no answer."""
    if record.photos and not record.answers and not any(photo.families for photo in record.photos):
        return UNTOLD if len(record.photos) == 1 else UNTOLD_BY_ALL
    return headline(record.verdict)


def lines(record: Record) -> Iterator[tuple[str, str]]:
    """The verdict as (style, line) pairs; the style is '', 'title', 'good', 'doubt', 'warn' or 'dim'."""
    verdict = record.verdict
    yield "title", record.part
    yield ("good" if verdict.sure else "doubt"), opening(record)
    yield "", ""
    yield from _chances(verdict)
    yield from details(record)


def details(record: Record) -> Iterator[tuple[str, str]]:
    """All that follows the chances: pile, faults of the photo, why, next, cautions, and the question for the yard."""
    verdict = record.verdict
    yield from _pile(verdict)
    yield from _by_the_card(record)
    for problem in dict.fromkeys(problem for photo in record.photos for problem in photo.problems):
        yield "warn", f"Photo: {problem}."
    yield from _listed("Why", verdict.reasons)
    yield from _next(verdict)
    yield from (("warn", f"Beware: {caution.message}") for caution in verdict.cautions)
    if verdict.simulated:
        yield "dim", SIMULATED
    yield "title", verdict.confirm


def percent(chance: float) -> str:
    """A chance in whole per cent, never 0 or 100.

    >>> percent(0.9999), percent(0.0001), percent(0.256)
    ('over 99 %', 'under 1 %', '26 %')
    """
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def _chances(verdict: Verdict) -> Iterator[tuple[str, str]]:
    shown = [name for name in verdict.chances if name in verdict.likely][:SHOWN]
    for name in shown:
        chance = verdict.chances[name]
        bar = "█" * max(1, round(BAR * chance))
        yield "", f"  {flows.name_of(name):32} {percent(chance):>9}  {bar}"
    rest = len(verdict.likely) - len(shown)
    left = 1 - sum(verdict.chances[name] for name in shown)
    more = f"{rest} more likely ones, and the rest" if rest else "all others together"
    yield "dim", f"  {more:32} {percent(left):>9}"
    yield "", ""


def _pile(verdict: Verdict) -> Iterator[tuple[str, str]]:
    if verdict.pile is None:
        best = list(verdict.piles.items())[:3]
        names = ", ".join(f"{flows.category_name(name)} {flows.tenths(chance)}" for name, chance in best)
        yield "", f"Pile: not settled ({names})."
        return
    category = verdict.pile.category
    also = f" (also {category.also})" if category.also else ""
    state = {
        "clean": "clean",
        "dirty": "dirty: other metal, plastic or rubber still on",
        "unknown": "clean or dirty: nobody said what is still on it",
    }[verdict.pile.state]
    yield "", f"Pile: {category.name}{also}, {state}."
    yield "dim", f"  {verdict.pile.reason}"


def _by_the_card(record: Record) -> Iterator[tuple[str, str]]:
    """Size and colour, where the printed card was in view."""
    size = record.size
    if size is not None:
        sides = f"{size.length:.0f} x {size.width:.0f} mm ± {max(size.uncertainty, 0.5):.1f}"
        area = f"{size.area / 100:.3g} cm² ± {size.area_uncertainty / 100:.1g}"
        yield "", f"Size by the card: {sides}, {area}."
        yield "dim", f"  {size.how[0].upper()}{size.how[1:]}; what stands high reads larger."
    if record.colour is not None and any(photo.white.kind == "card" for photo in record.photos):
        lightness, a, b = (round(value) + 0 for value in record.colour)
        yield "", f"Colour by the card: CIELAB L* {lightness} a* {a} b* {b} ± {record.colour_uncertainty:.1f}."


def _next(verdict: Verdict) -> Iterator[tuple[str, str]]:
    if verdict.next_check is None:
        return
    check = verdict.next_check
    yield "good", f"Next: {check.check.replace('-', ' ')}. {check.how} {settles(check.settles)}"
    if check.limits:
        yield "dim", f"  {check.limits}"


def settles(chance: float) -> str:
    """How often a check settles the pile.

    >>> settles(0.81), settles(0.02)
    ('Settles the pile 8 times in 10.', 'Narrows it, seldom settles it alone.')
    """
    times = round(10 * chance)
    if times == 0:
        return "Narrows it, seldom settles it alone."
    return f"Settles the pile {'nearly always' if times == 10 else f'{times} times in 10'}."


def _listed(title: str, sentences: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    if sentences:
        yield "", f"{title}:"
        yield from (("", f"  - {sentence}") for sentence in sentences)


def _piles(verdict: Verdict) -> int:
    return sum(chance >= 0.02 for chance in verdict.piles.values())
