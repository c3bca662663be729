"""A verdict in words for a terminal 80 columns wide: what it is first, then why, then what to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from idkit import flows
from idkit.vocabulary import Danger, Record, Verdict

SHOWN = 5  # materials at the most in the list of chances
BAR = 20
GOOD_ENOUGH = 0.8  # chance of the best pile from which a part is put there unsettled; from memory
TELLING = frozenset(check.name for check in flows.known_checks() if check.asked)
SIMULATED = "What the photo says rests on simulated surfaces, not on photographs (docs/limits.md)."

UNTOLD = "The photo tells nothing of it. All that follows is how common each metal is."
UNTOLD_BY_ALL = "The photos tell nothing of it. All that follows is how common each metal is."


def headline(verdict: Verdict) -> str:
    """The answer in one line."""
    first, chance = next(iter(verdict.chances.items()))
    name = flows.name_of(first)
    if any(danger.leave_alone for danger in verdict.dangers):
        return "It goes on no pile, whatever it is made of."
    if verdict.pile is None and any(danger.leave_closed for danger in verdict.dangers):
        return f"It stays closed, whatever it is made of: perhaps {name}, {odds(chance)}."
    if verdict.sure and verdict.pile is not None:
        metal = f"The metal: {name}." if chance >= 0.95 else f"The metal is less sure: {name}, {odds(chance)}."
        return f"Pile settled: {verdict.pile.category.name}. {metal}"
    if verdict.pile is not None:
        return f"Pile not settled, but all that is likely goes on one: {verdict.pile.category.name}."
    if len(verdict.likely) == 1:
        return f"Pile not settled. Could be {name}, {odds(chance)}."
    return f"Pile not settled: {len(verdict.likely)} materials are likely."


def opening(record: Record) -> str:
    """What is said before any list where a photo of grey metal is all there is; else nothing."""
    if not record.photos or record.surface == "scratched" or set(record.answers) & TELLING or record.verdict.sure:
        return ""
    families = record.photos[0].families
    if not families or max(families, key=families.__getitem__) != "grey-white":
        return ""
    return "Grey metal; a photo can't tell which. What does the magnet do?"


def answer(record: Record) -> str:
    """The headline; where neither photo nor answer told anything, that instead: what is common is no answer."""
    if record.photos and not record.answers and not any(photo.families for photo in record.photos):
        return UNTOLD if len(record.photos) == 1 else UNTOLD_BY_ALL
    return headline(record.verdict)


def lines(record: Record) -> Iterator[tuple[str, str]]:
    """The verdict as (style, line) pairs; the style is '', 'title', 'good', 'doubt', 'warn' or 'dim'."""
    verdict = record.verdict
    yield "title", record.part
    yield from dangers(verdict)
    if first := opening(record):
        yield "doubt", first
    yield ("good" if verdict.sure else "doubt"), answer(record)
    yield from warnings(record)
    yield "", ""
    yield from _chances(verdict)
    yield from details(record)
    yield from kept(record)


def kept(record: Record) -> Iterator[tuple[str, str]]:
    """The number it was kept as, and what to do with it."""
    if record.kept is not None:
        yield "good", f"Kept as record {record.kept}. Once you know: idkit confirm {record.kept} MATERIAL --by yard"


def warnings(record: Record) -> Iterator[tuple[str, str]]:
    """Past mistakes that it looks like."""
    yield from (("warn", f"Careful: {warning}.") for warning in record.warnings)


def brief(record: Record) -> Iterator[tuple[str, str]]:
    """The verdict for somebody who answered for it at the bench: no reasons, nothing twice."""
    verdict = record.verdict
    yield "", ""
    yield ("good" if verdict.sure else "doubt"), answer(record)
    yield from warnings(record)
    if not verdict.sure:
        yield from _chances(verdict)
    yield from pile(verdict)
    yield from worth(record)
    yield from dangers(verdict)
    if verdict.next_check is None:
        yield from _next(verdict)
    yield from (("warn", f"Beware: {caution.message}") for caution in verdict.cautions if not caution.checks)
    yield "title", verdict.confirm
    yield from kept(record)


def details(record: Record) -> Iterator[tuple[str, str]]:
    """All that follows the chances: pile, faults of the photo, why, next, cautions, and the question for the yard."""
    verdict = record.verdict
    yield from pile(verdict)
    yield from worth(record)
    yield from by_the_card(record)
    for problem in dict.fromkeys(problem for photo in record.photos for problem in photo.problems):
        yield "warn", f"Photo: {problem}."
    yield from _listed("Why", verdict.reasons)
    yield from _next(verdict)
    yield from (("warn", f"Beware: {caution.message}") for caution in verdict.cautions)
    if verdict.simulated:
        yield "dim", SIMULATED
    yield "title", verdict.confirm


def dangers(verdict: Verdict) -> Iterator[tuple[str, str]]:
    """What is left closed or dry, who takes it, and that licensed people come first."""
    yield from dangers_said(verdict.dangers)


def dangers_said(found: Sequence[Danger]) -> Iterator[tuple[str, str]]:
    """The same of dangers that no verdict holds."""
    for danger in found:
        acts = set(danger.forbids)
        said = "Keep it dry" if acts == {"wet"} else "Leave it alone" if danger.leave_alone else "Leave it closed"
        yield "warn", f"{said}: {danger.message} {danger.who}"
    if any(set(danger.forbids) != {"wet"} for danger in found):
        yield "warn", "Follow local codes; leave it to licensed people."
    if any(danger.leave_alone for danger in found):
        yield "warn", "Don't bring it anywhere, the yard included: ask by telephone."


def counted(number: int, thing: str) -> str:
    """A number of things.

    >>> counted(1, "piece"), counted(3, "line")
    ('1 piece', '3 lines')
    """
    return f"{number} {thing}{'' if number == 1 else 's'}"


def percent(chance: float) -> str:
    """A chance in whole per cent, never 0 or 100.

    >>> percent(0.9999), percent(0.0001), percent(0.256)
    ('over 99 %', 'under 1 %', '26 %')
    """
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def odds(chance: float) -> str:
    """A chance as hand sorters say it, never certain.

    >>> odds(0.62), odds(0.999), odds(0.01)
    ('6 in 10', 'nearly certain', 'under 1 in 20')
    """
    return "under 1 in 20" if chance < 0.05 else flows.tenths(chance)


def _chances(verdict: Verdict) -> Iterator[tuple[str, str]]:
    shown = [name for name in verdict.chances if name in verdict.likely][:SHOWN]
    yield "", "Could be:"
    for name in shown:
        chance = verdict.chances[name]
        bar = "█" * max(1, round(BAR * chance))
        yield "", f"  {flows.name_of(name):30} {odds(chance):>14}  {bar}"
    rest = len(verdict.likely) - len(shown)
    left = 1 - sum(verdict.chances[name] for name in shown)
    more = f"{rest} more, and the rest" if rest else "all others together"
    yield "dim", f"  {more:30} {odds(left):>14}"
    yield "", ""


def pile(verdict: Verdict) -> Iterator[tuple[str, str]]:
    """Which pile it goes on, and why; where that is not settled, those it may be."""
    if verdict.pile is None:
        if any(danger.leave_closed for danger in verdict.dangers):
            yield "", "Pile: none, as it is."
            return
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


def worth(record: Record) -> Iterator[tuple[str, str]]:
    """What it fetches at the yard in use, and where it is put best while its pile is open."""
    sold, pile = record.sold, record.verdict.pile
    if sold is None:
        return
    own = sold.called.get(pile.category.id, "") if pile else ""
    named = f" as {own}" if pile and own != pile.category.name else ""
    at, none = sold.yard or "those prices", " and ".join(sold.called[each] for each in sold.without)
    if sold.value is not None:
        per = "" if sold.per == "part" else f" a {sold.per}"
        but = f"; {none} has no price{per} there" if none else ""
        yield "", f"Worth {flows.money_said(sold.value)}{per} at {at}{named}{but}."
    elif none:
        yield "dim", f"{at} has no price for {none}."
    elif named:
        yield "", f"{sold.yard} calls it {own}."
    yield from (("warn", f"{old[0].upper()}{old[1:]}.") for old in sold.old)
    if sold.advice:
        yield "", sold.advice


def by_the_card(record: Record) -> Iterator[tuple[str, str]]:
    """Size and colour, where the printed card was in view."""
    size = record.size
    if size is not None:
        sides = f"{size.length:.0f} x {size.width:.0f} mm ± {max(size.uncertainty, 0.5):.1f}"
        area = f"{size.area / 100:.3g} cm² ± {size.area_uncertainty / 100:.1g}"
        yield "", f"Size by the card: {sides}, {area}."
        yield "dim", f"  {size.how[0].upper()}{size.how[1:]}; what stands high reads larger."
    if record.colour is not None and any(photo.white.kind == "card" for photo in record.photos):
        lightness, a, b = (round(value) + 0 for value in record.colour)
        told = f"CIELAB L* {lightness} a* {a} b* {b}, ± {record.colour_uncertainty:.1f} in b*, the least sure"
        yield "", f"Colour by the card: {told}."


def _next(verdict: Verdict) -> Iterator[tuple[str, str]]:
    if verdict.next_check is None:
        if not verdict.sure:
            yield "good", stopped(verdict)
        return
    check = verdict.next_check
    yield "good", f"Next: {check.check.replace('-', ' ')}. {check.how} {settles(check.settles)}"
    if check.limits:
        yield "dim", f"  {check.limits}"


def stopped(verdict: Verdict) -> str:
    """Why nothing more is asked of a part whose pile is not settled, and where to put it."""
    pile, chance = next(iter(verdict.piles.items()))
    if any(danger.leave_alone for danger in verdict.dangers):
        return "Nothing more is asked of it: leave it where it lies."
    if any(danger.leave_closed for danger in verdict.dangers):
        return "No safe check would settle it: put it apart as it is, closed, and ask who takes it."
    if chance >= GOOD_ENOUGH:
        wrong = max(2, int(1.0 / max(1.0 - chance, 1e-6)))
        cost = f"the doubt costs at most 1 such part in {wrong} on the wrong pile"
        return f"Not worth another minute: {cost}; put it on {flows.category_name(pile)}."
    if verdict.dangers:
        return "No safe check would settle it: put it apart as it is, and show it to the yard."
    return "No check at hand settles it: put it apart, and show it to the yard."


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
