"""What a person typed, by name, to answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from idkit.ask.amounts import parse_mass
from idkit.ask.checks import CHECKS, hung, jar, magnet_kind, marked, weight, weight_in_water
from idkit.ask.choices import listed, nearest
from idkit.errors import AnswerError, CallError
from idkit.vocabulary import Amount, Answer, Answers, Check

WEIGHED: Mapping[str, Callable[[Amount], Answer]] = MappingProxyType(
    {"weight": weight.of_amount, "jar": jar.of_amount, "hung": hung.of_amount}
)


def checks() -> Mapping[str, Check]:
    """Every check by name, the quickest first, context among them (`asked` is False)."""
    return CHECKS


def read(typed: Mapping[str, str]) -> Answers:
    """Answers in SI from what was typed, by the checks' names, in the checks' order.

    Blank text is no answer; a size needs a weight beside it. The weight in water follows from weight with jar or hung;
    every weight carries the coarser of its own last digit and the scale's step. A magnet named beside its pull ('weak,
    neodymium') is noted.

    >>> answers = read({"magnet": "none", "weight": "100.0 g", "jar": "11.2 g"})
    >>> answers["magnet"].value, round(answers["weight-in-water"].value, -2)
    ('none', 8900.0)
    """
    given = _with_kind({name: text for name, text in typed.items() if text.strip()})
    for name in given:
        if name not in CHECKS:
            option, got = "--answer", f"got {name!r}, which is no check"
            raise AnswerError(option, got, listed(sorted(CHECKS)), nearest(name, CHECKS))
    if "size" in given and "weight" not in given:
        option, got = "--answer size", f"got {given['size'][:60]!r} without the part's own weight"
        raise CallError(option, got, "--weight together with --answer size", "weigh the part dry as well")
    answers = {name: check.parse(given[name]) for name, check in CHECKS.items() if name in given}
    if marked.NAME in answers:
        answers[marked.NAME] = marked.bearing(answers[marked.NAME], answers)
    step = float(answers["scale"].value) if "scale" in answers else 0.0
    amounts = {name: _amount(name, given[name], step) for name in WEIGHED if name in given}
    answers |= {name: WEIGHED[name](amount) for name, amount in amounts.items()}
    if "jar" in given or "hung" in given:
        answers[weight_in_water.NAME] = _in_water(given, amounts)
    return MappingProxyType(answers)


def _with_kind(given: dict[str, str]) -> dict[str, str]:
    """The magnet's kind as an answer of its own, where it was named beside the pull."""
    kind, pull = magnet_kind.kind_in(given.get("magnet", ""))
    return given if not kind else {"magnet-kind": kind, **given, "magnet": pull}


def _amount(name: str, typed: str, step: float) -> Amount:
    """A weight as typed, its step no finer than the scale's."""
    amount = parse_mass(typed, f"--{name}")
    return replace(amount, step=max(amount.step, step))


def _in_water(given: Mapping[str, str], amounts: Mapping[str, Amount]) -> Answer:
    option = "--jar" if "jar" in given else "--hung"
    if weight_in_water.NAME in given:
        raise CallError(option, f"got a density beside it ({given[weight_in_water.NAME]!r})", "one or the other")
    if "weight" not in given:
        got = f"got {given[option[2:]]!r} without the part's own weight"
        raise CallError(option, got, f"--weight together with {option}", "weigh the part dry as well")
    return weight_in_water.measured(amounts["weight"], amounts.get("jar"), amounts.get("hung"))
