"""What idkit knows, as lists for a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import isfinite

from idkit import flows
from idkit.vocabulary import Category, Check, Material

DONE = {
    "handle": "handled",
    "file": "filed",
    "grind": "ground",
    "cut": "cut",
    "open": "opened",
    "wet": "made wet",
    "strike": "struck",
}
Lines = Iterator[tuple[str, str]]
PAIRS_NAMED = 6  # look-alikes that a check can't split


def materials() -> Lines:
    """Every material with its density, pull and looks."""
    for material in flows.known_materials():
        yield "title", f"{material.id}: {material.name}"
        yield "", f"  {_density(material)}; magnet: {_pull(material)}; {_thickness(material)}"
        yield "", f"  fresh: {material.fresh}. Aged: {material.aged}."
        if material.look_alikes:
            yield "", f"  taken for: {', '.join(material.look_alikes)}"
        yield "dim", f"  source: {material.source} [{material.trust}]"


def checks() -> Lines:
    """Every check with its question, how to do it and its limits; those that are only noted come last."""
    for check in sorted(flows.known_checks(), key=lambda check: not check.asked):
        yield "title", f"{check.name}: {check.question}"
        yield "", f"  {check.how}"
        if answers := flows.named_answers(check):
            yield "", f"  Answers: {', '.join(answers)}"
        if check.limits:
            yield "", f"  Limits: {check.limits}"
        if pairs := flows.not_told_apart(check):
            yield "", f"  Can't split: {pairs_named(pairs)}"
        yield "dim", f"  {_effort(check)}; source: {check.source} [{check.trust}]"


def categories() -> Lines:
    """Every pile with what belongs on it and what makes it cheaper."""
    for category in flows.known_categories():
        yield "title", f"{category.id}: {category.name}{_also(category)}"
        yield "", f"  {category.belongs}"
        if category.buyer != "yard":
            yield "", f"  Goes to: {category.buyer}."
        if not (category.materials or category.forms):
            yield "dim", "  No part comes here by itself: name it on a load or a pile."
        yield "", f"  Downgraded by: {category.downgrades}."
        if category.limits:
            yield "", f"  Limits: {category.limits}."
        yield "dim", f"  source: {category.source} [{category.trust}]"


def dangers() -> Lines:
    """Every danger: what brings it, what is not done then, who takes the thing."""
    for danger in flows.known_dangers():
        yield "title", f"{danger.id}: {danger.message}"
        yield "", f"  Brought by: {', '.join((*danger.words, *(f'form {form}' for form in danger.forms)))}"
        if danger.called:
            yield "", f"  Not by: {', '.join(danger.called)}"
        if danger.unless:
            yield "", f"  Not where it says, at the end of a clause: {', '.join(danger.unless)}"
        yield "", f"  Never then: {', '.join(danger.forbids)}. {danger.who}"
        yield "dim", f"  source: {danger.source} [{danger.trust}]"


def objects() -> Lines:
    """Every object and part that --came-out-of knows, with what it is mostly made of."""
    for origin in flows.known_origins():
        part = f", its {' or '.join(origin.parts)}" if origin.parts else ""
        yield "", f"{' or '.join(origin.objects)}{part}: {', '.join(map(flows.name_of, origin.likely))}"


def marks() -> Lines:
    """Every way of marking that --marked knows."""
    for mark in flows.known_marks():
        yield "", f"{mark.means}: {', '.join(map(flows.name_of, mark.materials))} ({mark.standard})"


LISTINGS: Mapping[str, Callable[[], Lines]] = {
    "materials": materials,
    "checks": checks,
    "categories": categories,
    "dangers": dangers,
    "objects": objects,
    "marks": marks,
}


def _density(material: Material) -> str:
    return f"{material.density_low / 1e3:.2f} to {material.density_high / 1e3:.2f} g/cm³"


def _pull(material: Material) -> str:
    return ", ".join(f"{name} {100 * chance:.0f} %" for name, chance in material.magnet.items() if chance >= 0.05)


def _thickness(material: Material) -> str:
    if not isfinite(material.thickness_low):
        return "any thickness"
    return f"{1e3 * material.thickness_low:g} to {1e3 * material.thickness_high:g} mm thick as a rule"


def pairs_named(pairs: tuple[tuple[str, str], ...]) -> str:
    """At most six pairs of look-alikes, and how many more there are."""
    named = ", ".join(f"{one} from {other}" for one, other in pairs[:PAIRS_NAMED])
    return named + (f" and {len(pairs) - PAIRS_NAMED} more" if len(pairs) > PAIRS_NAMED else "")


def _effort(check: Check) -> str:
    if not check.asked:
        return "only noted, not asked for"
    done = f"; it is {', '.join(map(DONE.__getitem__, check.acts))}" if check.acts else ""
    return f"about {check.minutes:g} min, slips {100 * check.slip:.2g} in 100{done}"


def _also(category: Category) -> str:
    return f" (also {category.also})" if category.also else ""
