"""The same of every check, for every material of the facts."""

from __future__ import annotations

import math

import pytest

from idkit import ask, facts
from idkit.decide.evidence import informative
from idkit.errors import IdkitError
from idkit.vocabulary import ACTS, Answer, Answers, Check, Material, Outcome

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
    {"magnet": "strong", "form": "bar", "weight": "1.20 kg"},
    {"cut-end": "red-over-grey", "floats": "yes", "weight": "1.20 kg", "weight-in-water": "7.1 g/cm3"},
    {"heft": "lighter than brass", "weight": "1.20 kg", "size": "50 x 40 x 30 mm", "magnet": "none"},
)
WORDS = {"attached": "other", "came-out-of": "unknown", "marked": "unknown"}  # what words that none of them knows are
of_each_check = pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
of_each_material = pytest.mark.parametrize("material", MATERIALS, ids=lambda material: material.id)
in_each_context = pytest.mark.parametrize("typed", CONTEXTS, ids=str)


def others(check: Check, typed: dict[str, str]) -> Answers:
    left = {name: text for name, text in typed.items() if name != check.name}
    if "weight" not in left:
        left.pop("size", None)  # refused without a weight
    return ask.read(left)


def planned(check: Check) -> tuple[tuple[Outcome, ...], Answers]:
    """The outcomes of a check in the first context in which it can be made, and what is known there."""
    for typed in CONTEXTS:
        known = others(check, typed)
        if outcomes := check.outcomes(known):
            return outcomes, known
    return (), {}


def is_named(check: Check) -> bool:
    return any(isinstance(outcome.answer.value, str) for outcome in planned(check)[0])


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
    assert bool(planned(check)[0]) == check.asked


@of_each_check
def test_what_counts_as_evidence_is_what_is_asked(check: Check) -> None:
    """The evidence pattern and the product take an answer as informative exactly where the check is asked for."""
    assert bool(informative({check.name: Answer(check.name, "")})) == check.asked


@of_each_check
def test_some_answer_of_an_asked_check_parts_two_materials(check: Check) -> None:
    """A check that says the same of every material would be none."""
    outcomes, known = planned(check)
    for outcome in outcomes:
        likelihoods = {round(check.likelihood(material, outcome.answer, known), 9) for material in MATERIALS}
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
    outcomes, known = planned(check)
    likelihoods = [check.likelihood(material, outcome.answer, known) for outcome in outcomes]
    assert all(math.isfinite(likelihood) for likelihood in likelihoods)


@of_each_check
def test_says_how_long_it_takes_and_how_it_is_done(check: Check) -> None:
    assert 0.0 < check.minutes <= 30.0
    assert check.how
    assert check.limits
    assert check.source
    assert check.parse.__doc__
    assert check.likelihood.__doc__


@of_each_check
def test_the_stated_error_rate_is_what_the_likelihood_uses(check: Check) -> None:
    """Where the truth is plainest, the right answer is missed about as often as `slip` says: not less than a tenth as
    often, and no more than 5 in 100 oftener, for no material is as plain as the slip supposes."""
    assert math.isfinite(check.slip) == check.asked
    outcomes, known = planned(check)
    if is_named(check):
        assert 0.0 < check.slip < 0.5
    if is_named(check) and check.name not in WORDS:  # no object and no mark is what all parts of a material have
        likeliest = max(check.likelihood(each, outcome.answer, known) for each in MATERIALS for outcome in outcomes)
        assert 1.0 - check.slip - 0.05 <= likeliest <= 1.0 - check.slip / 10.0


@of_each_check
def test_every_key_answers_one_of_the_outcomes_and_every_outcome_has_its_key(check: Check) -> None:
    outcomes, _ = planned(check)
    if check.name in WORDS:
        assert not check.choices  # typed as a line
    elif is_named(check):
        assert [check.parse(typed).value for typed, _ in check.choices] == [each.answer.value for each in outcomes]
        assert all(0 < len(words) <= 32 for _, words in check.choices)
        assert len({words for _, words in check.choices}) == len(outcomes)


@of_each_check
def test_what_it_does_to_the_part_is_known_by_its_acts(check: Check) -> None:
    """A danger forbids acts: a check that named none would slip past it. To say what it came out of touches nothing."""
    assert set(check.acts) <= set(ACTS)
    assert len(set(check.acts)) == len(check.acts)
    touches = check.asked and check.name != "came-out-of"
    assert bool(check.acts) == (touches or check.name in {"weight", "jar", "hung"})


@of_each_check
def test_a_check_that_files_or_grinds_brings_the_caution_for_eyes_and_dust(check: Check) -> None:
    if {"file", "grind", "cut"} & set(check.acts):
        assert "filing" in check.cautions
    if "wet" in check.acts and check.asked:
        assert "water-electrical" in check.cautions


@of_each_check
def test_look_alikes_that_it_cannot_split_give_nearly_the_same_answers(check: Check) -> None:
    """And the others do not: against distances worked out here, in the context where the check can first be made."""
    alike = {frozenset(pair) for pair in ask.cannot_split(check)}
    outcomes, known = planned(check) if check.outcomes({}) else ((), {})
    for one in MATERIALS if outcomes else ():
        for name in one.look_alikes:
            other = facts.material(name)
            apart = sum(
                abs(check.likelihood(one, each.answer, known) - check.likelihood(other, each.answer, known))
                * each.width
                for each in outcomes
            )
            assert (apart / 2.0 < 0.1) == ({one.id, name} in alike), (one.id, name)
    assert check.asked or not alike


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


@of_each_check
@in_each_context
@pytest.mark.parametrize("more", CONTEXTS, ids=str)
def test_it_hangs_on_no_other_answer_than_those_it_reads(
    check: Check, typed: dict[str, str], more: dict[str, str]
) -> None:
    """What a check reads is the key under which its tables are kept: one left out would give stale chances."""
    read = others(check, typed)
    told = {**{name: answer for name, answer in others(check, more).items() if name not in check.reads}, **read}
    told = {name: answer for name, answer in told.items() if name in read or name not in check.reads}
    assert check.outcomes(read) == check.outcomes(told)
    for outcome in check.outcomes(read)[:3]:
        for material in MATERIALS[::5]:
            one, other = (check.likelihood(material, outcome.answer, known) for known in (read, told))
            assert one == other
