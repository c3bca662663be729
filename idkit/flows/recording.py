"""The verdict on one part and all it rests on, put together from what was seen and answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import combinations
from pathlib import Path

import numpy as np

from idkit import ask, facts, see
from idkit.decide import classifier, verdict
from idkit.decide.asking import Allowed
from idkit.decide.known import Known
from idkit.decide.reasons import confirm_afar, confirm_closed, confirm_line, tenths
from idkit.decide.tables import Tables
from idkit.flows.limits import limits_of
from idkit.flows.listings import known_materials
from idkit.flows.piling import USUAL, Ways, pile_at, pile_of, ways_of
from idkit.flows.pricing import Holds, gains_of, priced
from idkit.flows.results import Seen
from idkit.vocabulary import Answers, Caution, Danger, Evidence, Floats, Material, Reading, Record, Size, Verdict

WINDINGS = ("winding", "magnet wire", "coil wire")  # words for what owes the checks of wire, whatever its form
WATER = ("jar", "hung", "weight-in-water")
INNER = ("board", "cable", "motor")
"""Forms that decide their pile and come out of other things: a word about those tells nothing of the part."""
UNLIKE = 0.2  # agreement of two photos under which they are hardly of one metal: docs/limits.md
WORTH_SAYING = 0.3  # certainty of bare metal from which it is said and drawn


@dataclass(frozen=True)
class Context:
    """What holds for a part beside its photos and answers.

    `surface` is as-found or scratched, None where nobody said: it is then what is read in the photos.
    `even` takes all materials to be equally common. `skipped` are checks the person passed over, `tools` those at hand;
    `unsafe` says that a person called a check unsafe: nothing that hurts the part is proposed any more.
    """

    surface: str | None = None
    note: str = ""
    even: bool = False
    skipped: frozenset[str] = frozenset()
    tools: tuple[str, ...] = ()
    unsafe: bool = False
    sold: Holds | None = None  # the yard and prices in use


def record(part: str, seen: Sequence[Seen], answers: Answers, context: Context, model: classifier.Model) -> Record:
    """The verdict on one part and all it rests on."""
    form, said, surface = _value(answers, "form"), said_of(answers, context), context.surface or "as-found"
    dangers = facts.dangers_of(form, said)
    wired = "wire" if facts.says(said, WINDINGS) else form or "unknown"
    evidence = _evidence(seen, answers, surface)
    known = known_at(evidence, context, model)
    rows = {row.id: row for row in known.materials}
    decided = verdict.decide(
        evidence,
        known,
        partial(_cautions, answers=answers, text=said),
        allowed=Allowed(forbidden_by(dangers), context.skipped, context.tools),
        owes=facts.form(wired).always,
    )
    found = Record(
        part=part,
        box=seen[0].part.box if len(seen) == 1 and seen[0].part else None,
        photos=tuple(each.report for each in seen),
        colour=_colour(seen),
        colour_uncertainty=_colour_uncertainty(seen),
        surface=surface,
        answers=answers,
        density=_density(answers),
        came_out_of=_typed(answers, "came-out-of"),
        marked=_typed(answers, "marked"),
        verdict=_guarded(_told(decided, seen, answers, rows), dangers, form),
        model=(model.name, model.digest),
        size=_size(seen),
        note=context.note,
    )
    return priced(found, context.sold) if context.sold else found


def _guarded(decided: Verdict, dangers: tuple[Danger, ...], form: str | None) -> Verdict:
    """The verdict with its dangers: what is left closed has no pile but that of its form, where every such thing has
    that danger or it came out of the thing that has it; and nobody brings what should not be carried.
    """
    told = replace(decided, dangers=dangers)
    by_form = form is not None and decided.pile is not None and decided.pile.category.id == facts.form(form).category
    taken = dangers if by_form and form in INNER else facts.dangers_of(form) if by_form else ()
    if any(each.leave_alone or (each.leave_closed and each not in taken) for each in dangers):
        told = replace(told, pile=None, sure=False, confirm=confirm_closed())
    if any(each.leave_alone for each in dangers):
        return replace(told, confirm=confirm_afar(), next_check=None)
    return told


def known_at(evidence: Evidence, context: Context, model: classifier.Model) -> Known:
    """What is known before anything is asked: piles by the ways of the yard in use, gains by its prices."""
    ways = ways_of(context.sold.in_use.yard) if context.sold else ways_of(USUAL)
    known = Known(tables_of(model, ways), model.thresholds, context.even)
    if context.sold is None or context.sold.in_use.prices is None:
        return known
    piles = known.piles(evidence.answers)
    by_pile = dict(zip(piles.ids, piles.chances(known.chances(evidence)).tolist(), strict=True))
    return replace(known, gains=gains_of(by_pile, evidence.answers, context.sold))


@lru_cache(maxsize=8)
def tables_of(model: classifier.Model, ways: Ways = (None, ())) -> Tables:
    """What is known of materials, checks and the piles of a yard of those ways, with what that model learnt."""
    return Tables((*known_materials(), *model.described), ask.checks(), pile_at(ways), model.own)


def said_of(answers: Answers, context: Context) -> str:
    """All that dangers may hide in: what it came out of, its marks, what is on it, notes, and that it is closed."""
    closed = "hollow and closed" if _value(answers, "hollow") == "yes" else ""
    called = "called unsafe" if context.unsafe else ""
    typed = (_typed(answers, name) for name in ("came-out-of", "marked", "attached"))
    return "; ".join(text for text in (*typed, context.note, closed, called) if text)


def forbidden_by(dangers: Sequence[Danger]) -> frozenset[str]:
    """Names of the checks of which a danger forbids an act."""
    acts = {act for danger in dangers for act in danger.forbids}
    return frozenset(check.name for check in ask.checks().values() if acts.intersection(check.acts))


def _evidence(seen: Sequence[Seen], answers: Answers, surface: str) -> Evidence:
    of_photos = [each.evidence for each in seen if each.evidence is not None]
    of_each = (*(problem for each in seen for problem in each.report.problems), *_unlike(seen))
    problems = tuple(dict.fromkeys(of_each))
    readings: tuple[Reading, ...] = seen[0].spoken or seen[0].report.readings if seen else ()
    return Evidence(classifier.together(of_photos) if of_photos else None, answers, surface, problems, readings)


def _told(decided: Verdict, seen: Sequence[Seen], answers: Answers, rows: Mapping[str, Material]) -> Verdict:
    """The verdict with what is said of photos beside their colour; where nothing tells of the part, no guess is said.

    What is common is no guess: a name at the yard must come from something seen, felt or weighed.
    """
    told = replace(
        decided,
        reasons=(
            *_unlike(seen),
            *_silent_said(seen, answers),
            *decided.reasons,
            *_bare_said(seen),
            *limits_of(answers, decided, rows),
        ),
    )
    if answers or any(each.evidence is not None and not each.evidence.unlike for each in seen):
        return told
    unknown = facts.material("something-else")
    pile = pile_of(unknown.id, answers)
    return replace(told, confirm=confirm_line([unknown, unknown], pile, one_pile=False, sure=False))


def _unlike(seen: Sequence[Seen]) -> tuple[str, ...]:
    """A sentence where two photos are hardly of one metal: the two that agree least."""
    told = [each for each in seen if each.evidence is not None and not each.evidence.unlike]
    least = min(combinations(told, 2), key=lambda two: _agreement(*two), default=None)
    if least is None or _agreement(*least) >= UNLIKE:
        return ()
    one, other = (Path(each.photo.file).name for each in least)
    return (f"{one} and {other} look like different metals: give each part its own call, or take both in one light",)


def _agreement(one: Seen, other: Seen) -> float:
    assert one.evidence is not None
    assert other.evidence is not None
    return classifier.agreement(one.evidence, other.evidence)


def _silent_said(seen: Sequence[Seen], answers: Answers) -> tuple[str, ...]:
    """One sentence for each photo that says nothing, with why and, where none says anything, what is left to go by."""
    silent = [each for each in seen if each.evidence is None]
    left = "what is left is your answers and how common each metal is" if answers else "what is left is what is common"
    rest = f"; {left}" if len(silent) == len(seen) else ""
    return tuple(f"{_the_photo(each, seen)} says nothing of {_why_silent(each)}{rest}" for each in silent)


def _why_silent(seen: Seen) -> str:
    if seen.part is None:
        return "the part: none was found in it"
    return "the colour: its faults leave none to read" if seen.photo.coloured else "the colour: it is in greyscale"


def _the_photo(one: Seen, seen: Sequence[Seen]) -> str:
    return "the photo" if len(seen) == 1 else Path(one.photo.file).name


def _bare_said(seen: Sequence[Seen]) -> tuple[str, ...]:
    """One sentence for each photo in which bare metal seems to show."""
    said = []
    for each in seen:
        if each.bare is not None and each.bare.certainty >= WORTH_SAYING:
            where = f"in {Path(each.photo.file).name} " if len(seen) > 1 else ""
            box = ",".join(map(str, each.bare.box))
            said.append(
                f"{where}bare metal seems to show at {box}: read as a scratch with {tenths(each.bare.certainty)}; "
                "name the box with --scratch if it is one"
            )
    return tuple(said)


def _cautions(materials: Sequence[str], check: str | None, *, answers: Answers, text: str) -> tuple[Caution, ...]:
    """The cautions that apply: of the likely materials, the form, the words, the next check, and what it came out of;
    those of water once it was weighed in it."""
    found = facts.cautions_for(materials, form=_value(answers, "form"), text=text, check=check)
    wet = facts.cautions_for((), check="weight-in-water") if any(name in answers for name in WATER) else ()
    origin = facts.origins().get(_value(answers, "came-out-of") or "")
    of_origin = (facts.cautions()[name] for name in (origin.cautions if origin else ()))
    return tuple(dict.fromkeys((*found, *of_origin, *wet)))


def _typed(answers: Answers, name: str) -> str:
    return answers[name].typed if name in answers else ""


def _value(answers: Answers, name: str) -> str | None:
    return str(answers[name].value) if name in answers else None


def _density(answers: Answers) -> tuple[float, float] | None:
    measured = answers.get("weight-in-water")
    return (float(measured.value), measured.uncertainty) if measured else None


def _read(seen: Sequence[Seen]) -> dict[int, Floats]:
    """CIELAB of the part by the number of the photo: of those with the card in view where there are any."""
    labs = ((n, see.lab(each.patch)) for n, each in enumerate(seen) if each.patch is not None and each.part is not None)
    known = {n: lab for n, lab in labs if lab is not None}
    by_card = {n: lab for n, lab in known.items() if seen[n].report.white.kind == "card"}
    return by_card or known


def _colour(seen: Sequence[Seen]) -> tuple[float, float, float] | None:
    known = _read(seen)
    if not known:
        return None
    lightness, a, b = np.mean(list(known.values()), axis=0).tolist()
    return lightness, a, b


def _colour_uncertainty(seen: Sequence[Seen]) -> float:
    colour = _colour(seen)
    chroma = float(np.hypot(colour[1], colour[2])) if colour else 0.0
    each = [b_star_uncertainty(seen[n].report.white.uncertainty, chroma) for n in _read(seen)]
    return float(np.mean(each or [np.nan]))


def b_star_uncertainty(of_white: float, chroma: float) -> float:
    """Standard uncertainty of b* in CIELAB units that the white (in ln ratio) and the phone's own colours leave.

    A neutral of L* 70 moves by about 45 units for one unit of ln(B/G): d(b*)/d(ln Z) is 200 f(Z)/3, f(Z) near 0.7.
    Phones make colours stronger by 5 to 15 per cent, each in its way: 8 per cent of the chroma, from memory.
    """
    return float(np.hypot(45.0 * of_white, 0.08 * chroma))


def _size(seen: Sequence[Seen]) -> Size | None:
    """The surest size by the card, of several photos."""
    return min((each.size for each in seen if each.size), key=lambda size: size.uncertainty, default=None)
