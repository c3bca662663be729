"""What a person typed, by name, to answers."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from idkit.ask.amounts import parse_mass
from idkit.ask.checks import CHECKS, weight_in_water
from idkit.ask.choices import listed, nearest
from idkit.errors import AnswerError, CallError
from idkit.vocabulary import Answer, Answers, Check


def checks() -> Mapping[str, Check]:
    """Every check by name, the quickest first, context among them (`asked` is False)."""
    return CHECKS


def read(typed: Mapping[str, str]) -> Answers:
    """Answers in SI from what was typed, by the checks' names, in the checks' order.

    Blank text is no answer; a size needs a weight beside it. The weight in water follows from weight with jar or hung.

    >>> answers = read({"magnet": "none", "weight": "100.0 g", "jar": "11.2 g"})
    >>> answers["magnet"].value, round(answers["weight-in-water"].value, -2)
    ('none', 8900.0)
    """
    given = {name: text for name, text in typed.items() if text.strip()}
    for name in given:
        if name not in CHECKS:
            option, got = "--answer", f"got {name!r}, which is no check"
            raise AnswerError(option, got, listed(sorted(CHECKS)), nearest(name, CHECKS))
    if "size" in given and "weight" not in given:
        option, got = "--answer size", f"got {given['size'][:60]!r} without the part's own weight"
        raise CallError(option, got, "--weight together with --answer size", "weigh the part dry as well")
    answers = {name: check.parse(given[name]) for name, check in CHECKS.items() if name in given}
    if "jar" in given or "hung" in given:
        answers[weight_in_water.NAME] = _in_water(given)
    return MappingProxyType(answers)


def _in_water(given: Mapping[str, str]) -> Answer:
    option = "--jar" if "jar" in given else "--hung"
    if weight_in_water.NAME in given:
        raise CallError(option, f"got a density beside it ({given[weight_in_water.NAME]!r})", "one or the other")
    if "weight" not in given:
        got = f"got {given[option[2:]]!r} without the part's own weight"
        raise CallError(option, got, f"--weight together with {option}", "weigh the part dry as well")
    mass = parse_mass(given["weight"], "--weight")
    jar, hung = (parse_mass(given[name], f"--{name}") if name in given else None for name in ("jar", "hung"))
    return weight_in_water.measured(mass, jar, hung)
