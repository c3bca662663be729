"""The same of every check, for every material of the facts."""

from __future__ import annotations

import math

import pytest

from idkit import ask, facts
from idkit.decide.evidence import informative
from idkit.errors import IdkitError
from idkit.vocabulary import Answer, Answers, Check, Material

CHECKS = tuple(ask.checks().values())
MATERIALS = tuple(facts.materials().values())
CONTEXTS = (
    {},
    {"form": "casting"},
    {"form": "wire", "thickness": "0.4 mm"},
    {"form": "board"},
    {"form": "assembly", "attached": "steel screws"},
    {"attached": "none", "hollow": "no", "weight": "2.500 kg"},
    {"attached": "rubber", "hollow": "yes", "weight": "20 g"},
    {"magnet": "in-places", "inside": "different", "scratch-colour": "copper-red"},
)
of_each_check = pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
of_each_material = pytest.mark.parametrize("material", MATERIALS, ids=lambda material: material.id)
in_each_context = pytest.mark.parametrize("typed", CONTEXTS, ids=str)


def others(check: Check, typed: dict[str, str]) -> Answers:
    return ask.read({name: text for name, text in typed.items() if name != check.name})


@of_each_check
@in_each_context
def test_outcomes_sum_to_one_and_none_is_certain_for_every_material(check: Check, typed: dict[str, str]) -> None:
    """Within one part in a thousand: bins of a number end somewhere."""
    known = others(check, typed)
    outcomes = check.outcomes(known)
    for material in MATERIALS if outcomes else ():
        chances = [check.likelihood(material, outcome.answer, known) * outcome.width for outcome in outcomes]
        assert sum(chances) == pytest.approx(1.0, abs=1e-3), material.id
        assert all(0.0 < chance < 1.0 for chance in chances), material.id


@of_each_check
def test_asked_checks_have_outcomes_and_context_has_none(check: Check) -> None:
    assert bool(check.outcomes({})) == check.asked


@of_each_check
def test_what_counts_as_evidence_is_what_is_asked(check: Check) -> None:
    """The evidence pattern and the product take an answer as informative exactly where the check is asked for."""
    assert bool(informative({check.name: Answer(check.name, "")})) == check.asked


@of_each_check
def test_some_answer_of_an_asked_check_parts_two_materials(check: Check) -> None:
    """A check that says the same of every material would be none."""
    for outcome in check.outcomes({}):
        likelihoods = {round(check.likelihood(material, outcome.answer, {}), 9) for material in MATERIALS}
        if len(likelihoods) > 1:
            return
    assert not check.asked


@of_each_check
def test_its_cautions_exist_and_name_it_back(check: Check) -> None:
    for name in check.cautions:
        assert check.name in facts.cautions()[name].checks


@pytest.mark.parametrize("caution", facts.cautions().values(), ids=lambda caution: caution.id)
def test_checks_of_a_caution_exist_and_carry_it(caution) -> None:
    """jar and hung are readings of the weight in water, which carries their caution."""
    for name in caution.checks:
        check = ask.checks()[name]
        assert caution.id in check.cautions or not check.asked


NONSENSE = ["", "  ", "nonsense", "-1", "1e999 kg", "nan mm", "\u0000", "9" * 400]


WORDS = {"attached": "other", "came-out-of": "unknown", "marked": "unknown"}  # what words that none of them knows are


@pytest.mark.parametrize("typed", NONSENSE, ids=repr)
@pytest.mark.parametrize("check", [check for check in CHECKS if check.name not in WORDS], ids=lambda check: check.name)
def test_nonsense_is_refused_in_one_line_that_names_the_option(check: Check, typed: str) -> None:
    with pytest.raises(IdkitError) as refused:
        check.parse(typed)
    assert "\n" not in str(refused.value)
    assert str(refused.value).startswith("--")


@pytest.mark.parametrize("typed", NONSENSE[2:], ids=repr)
@pytest.mark.parametrize("name", WORDS)
def test_where_free_words_are_asked_for_unknown_ones_are_kept(name: str, typed: str) -> None:
    answer = ask.checks()[name].parse(typed)
    assert (answer.value, answer.typed) == (WORDS[name], typed)


@pytest.mark.parametrize("typed", NONSENSE[:2], ids=repr)
@pytest.mark.parametrize("name", WORDS)
def test_no_words_at_all_are_refused(name: str, typed: str) -> None:
    with pytest.raises(IdkitError, match=rf"^--{name}: [^\n]*$"):
        ask.checks()[name].parse(typed)


@of_each_check
@of_each_material
def test_the_answer_that_fits_best_is_one_of_its_outcomes_and_finite(check: Check, material: Material) -> None:
    likelihoods = [check.likelihood(material, outcome.answer, {}) for outcome in check.outcomes({})]
    assert all(math.isfinite(likelihood) for likelihood in likelihoods)


@of_each_check
def test_says_how_long_it_takes_and_how_it_is_done(check: Check) -> None:
    assert 0.0 < check.minutes <= 30.0
    assert check.how
    assert check.limits
    assert check.source
    assert check.parse.__doc__
    assert check.likelihood.__doc__


def test_every_material_can_be_told_from_another_pile_by_some_check() -> None:
    """For each pair of materials on different piles some answer is at least 1.2 times likelier from one: else the pair
    could never be parted at a bench, and its look-alikes row must say so."""
    tables = {
        (check.name, outcome.answer.value): [check.likelihood(material, outcome.answer, {}) for material in MATERIALS]
        for check in CHECKS
        for outcome in check.outcomes({})
    }
    pile = [facts.category_of(material.id, None, None, None).category.id for material in MATERIALS]
    for i, one in enumerate(MATERIALS):
        for j, other in enumerate(MATERIALS[:i]):
            ratios = (max(row[i] / row[j], row[j] / row[i]) for row in tables.values())
            assert pile[i] == pile[j] or max(ratios) > 1.2, (one.id, other.id)
