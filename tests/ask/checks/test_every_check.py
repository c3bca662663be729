from __future__ import annotations

from collections.abc import Mapping

import pytest

from idkit.ask import checks, read
from idkit.ask.choices import UNINFORMATIVE
from idkit.vocabulary import Answers, Check, Material

OTHERS = (
    {},
    {"attached": "none", "hollow": "no"},
    {"attached": "steel screws", "hollow": "yes"},
    {"attached": "rubber", "weight": "2.500 kg"},
    {"attached": "steel and rubber", "weight": "20 g"},
    {"weight": "0.02 g", "form": "casting"},
    {"weight": "1900 kg", "magnet": "in-places"},
    {"magnet": "strong", "form": "bar"},
    {"floats": "yes", "cut-end": "not-metal"},
    {"weight": "1.2 kg", "weight-in-water": "2.7 g/cm3"},
)
INFORMATIVE = [check for check in checks().values() if check.asked]
CONTEXT = [check for check in checks().values() if not check.asked]


def by_name(check: Check) -> str:
    return check.name


def test_quickest_first_and_named_as_their_options() -> None:
    minutes = [check.minutes for check in checks().values()]
    assert minutes == sorted(minutes)
    assert {check.name for check in INFORMATIVE} == {
        "magnet", "thickness", "scratch-colour", "weight-in-water", "inside", "cut-end", "heft", "file-feel",
        "knife-or-nail", "dulls", "floats", "size", "drag", "meter", "spark", "ring",
        "came-out-of", "marked",
    }  # fmt: skip
    assert {check.name for check in CONTEXT} == {
        "form", "attached", "hollow", "weight", "jar", "hung", "scale", "magnet-kind"
    }  # fmt: skip
    assert all(name == check.name for name, check in checks().items())


@pytest.mark.parametrize("check", checks().values(), ids=by_name)
def test_says_what_a_person_needs(check: Check) -> None:
    assert check.question.endswith("?")
    assert check.how.endswith(".")
    assert check.limits.endswith(".")
    assert check.source
    assert check.trust in {"V", "S", "M", "C", "D"}
    assert check.asked == any(check.outcomes(read(typed)) for typed in OTHERS)


@pytest.mark.parametrize("typed", OTHERS, ids=str)
@pytest.mark.parametrize("check", INFORMATIVE, ids=by_name)
def test_chances_of_all_outcomes_sum_to_one(check: Check, typed: dict[str, str], known: Mapping[str, Material]) -> None:
    others = read({name: text for name, text in typed.items() if name != check.name})
    outcomes = check.outcomes(others)
    for material in known.values() if outcomes else ():
        chances = [check.likelihood(material, outcome.answer, others) * outcome.width for outcome in outcomes]
        assert sum(chances) == pytest.approx(1.0, abs=1e-3)
        assert all(0.0 < chance < 1.0 for chance in chances)


@pytest.mark.parametrize("check", CONTEXT, ids=by_name)
def test_context_moves_no_chance(check: Check, known: Mapping[str, Material]) -> None:
    answer = check.parse(
        {"form": "casting", "attached": "none", "hollow": "yes", "magnet-kind": "ferrite"}.get(check.name, "1.2 kg")
    )
    assert {check.likelihood(material, answer, {}) for material in known.values()} == {UNINFORMATIVE}


@pytest.mark.parametrize("check", INFORMATIVE, ids=by_name)
def test_named_outcomes_are_what_a_person_may_type(check: Check) -> None:
    others: Answers = {}
    for outcome in check.outcomes(others):
        if isinstance(outcome.answer.value, str):
            assert check.parse(outcome.answer.value).value == outcome.answer.value
