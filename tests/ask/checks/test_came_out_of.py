"""Came out of: words to an origin, an origin to chances, and never settled by it alone."""

from __future__ import annotations

from time import perf_counter

import numpy as np
import pytest

from idkit import ask, facts, flows
from idkit.ask.checks.came_out_of import NO_MATCH, likelihood, outcomes, parse
from idkit.decide import fuse
from idkit.decide.piles import piles_for
from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Answers, Evidence, Pile

MATERIALS = facts.materials()
FORMS = [form for form in facts.forms().values() if not form.category]
SURE = 0.95  # DESIGN: least chance of the pile


@pytest.mark.parametrize("typed", ["", "   ", "\t\n"])
def test_blank_is_refused_with_what_is_right(typed: str) -> None:
    with pytest.raises(AnswerError, match="--came-out-of: .*the object, and what the part was there"):
        parse(typed)


@pytest.mark.parametrize("typed", ["gubbins", "?!", "4711", "a thing", "no idea"])
def test_words_that_are_not_known_are_kept_and_change_nothing(typed: str) -> None:
    answer = parse(typed)
    assert (answer.value, answer.typed) == ("unknown", typed)
    assert {likelihood(material, answer, {}) for material in MATERIALS.values()} == {NO_MATCH}


def test_the_words_themselves_are_kept() -> None:
    assert parse(" Kitchen  Faucets ") == Answer("came-out-of", "kitchen-tap", typed=" Kitchen  Faucets ")


@pytest.mark.parametrize("origin", facts.origins())
def test_an_id_is_read_as_itself(origin: str) -> None:
    assert parse(origin).value == origin


def test_chances_sum_to_one_for_every_material() -> None:
    for material in MATERIALS.values():
        total = sum(likelihood(material, outcome.answer, {}) for outcome in outcomes({}))
        assert total == pytest.approx(1.0, abs=1e-12), material.id


@pytest.mark.parametrize("origin", facts.origins().values(), ids=lambda origin: origin.id)
def test_an_origin_speaks_for_the_materials_it_names(origin) -> None:
    """Among the materials that a row weighs most, against its own average over the other rows: a lift above 1."""
    answer = parse(origin.id)
    even = (1 - NO_MATCH) / len(facts.origins())
    heaviest = max(origin.likely, key=origin.likely.__getitem__)
    assert likelihood(MATERIALS[heaviest], answer, {}) > 1.3 * even


@pytest.mark.parametrize("origin", facts.origins())
def test_no_origin_parts_two_materials_by_more_than_the_priors_may(origin: str) -> None:
    """DESIGN: what rests on memory is mild, no ratio over 20 to 1."""
    found = [likelihood(material, parse(origin), {}) for material in MATERIALS.values()]
    assert max(found) <= 20.0 * min(found)


@pytest.mark.parametrize(
    ("typed", "first", "second"),
    [
        ("window frame", "aluminium-wrought", "zinc-die-cast"),
        ("brake disc", "cast-iron", "aluminium-cast"),
        ("fishing weight", "lead", "zinc-die-cast"),
        ("chainsaw", "magnesium-cast", "zinc-die-cast"),
        ("copper pipe", "copper", "yellow-brass"),
        ("door lock cylinder", "yellow-brass", "aluminium-cast"),
        ("steering wheel core", "magnesium-cast", "zinc-die-cast"),
        ("coax centre conductor", "copper-clad-steel", "tinned-copper"),
        ("toy car", "zinc-die-cast", "aluminium-cast"),
        ("condenser tube", "cupronickel", "stainless-austenitic"),
    ],
)
def test_typical_objects_of_the_fact_sheet(typed: str, first: str, second: str) -> None:
    """Objects beside each material in the project's fact sheet: common practice, no source."""
    answer = parse(typed)
    assert likelihood(MATERIALS[first], answer, {}) > 2.0 * likelihood(MATERIALS[second], answer, {})


def test_it_never_settles_the_pile_alone() -> None:
    """With nothing but what it came out of and any form, no pile reaches what 'sure' asks for."""
    materials, checks = tuple(facts.materials().values()), ask.checks()
    given = [np.array([likelihood(material, each.answer, {}) for material in materials]) for each in outcomes({})]
    for form in FORMS:
        answers = ask.read({"form": form.id})
        piles = piles_for(materials, answers, checks, _pile_of, open_line=True)
        prior = fuse.chances(materials, Evidence(None, answers, "as-found"), form, checks)
        for each, chance in zip(outcomes({}), given, strict=True):
            found = prior * chance / (prior @ chance)
            assert piles.chances(found).max() < SURE, (form.id, each.answer.value)


@pytest.mark.parametrize(
    ("typed", "form"),
    [("window frame", "extrusion"), ("brake disc", "casting"), ("beam", "plate"), ("house wire", "wire"), ("sink", "")],
)
def test_the_whole_way_it_is_not_sure(typed: str, form: str) -> None:
    found = flows.identify([], {"came-out-of": typed, "form": form}).record.verdict
    assert not found.sure


def test_where_the_form_alone_decides_the_pile_it_stays_decided() -> None:
    found = flows.identify([], {"came-out-of": "kitchen tap", "form": "board"}).record.verdict
    assert found.sure


def test_reading_is_quick_and_a_likelihood_a_look_up() -> None:
    ask.read({"came-out-of": "kitchen tap"})  # tables are read once
    start = perf_counter()
    for number in range(50):
        ask.read({"came-out-of": f"cover of an old ceiling fan, number {number}"})
    assert (perf_counter() - start) / 50 < 0.002
    answer, lead = parse("kitchen tap"), MATERIALS["lead"]
    likelihood(lead, answer, {})
    start = perf_counter()
    for _ in range(1000):
        likelihood(lead, answer, {})
    assert (perf_counter() - start) / 1000 < 20e-6


def _pile_of(material: str, answers: Answers) -> Pile:
    return facts.category_of(material, str(answers["form"].value), None, None)
