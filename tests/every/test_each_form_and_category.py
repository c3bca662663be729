"""The same of every form and of every category."""

from __future__ import annotations

from itertools import product

import pytest

from idkit import ask, facts, flows
from idkit.vocabulary import Category, Form

FORMS, CATEGORIES = facts.forms(), facts.categories()
of_each_form = pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.id)
of_each_category = pytest.mark.parametrize("category", CATEGORIES.values(), ids=lambda category: category.id)


@of_each_form
def test_a_form_is_offered_as_an_answer_and_its_name_is_read(form: Form) -> None:
    assert ask.read({"form": form.id})["form"].value == form.id


@of_each_form
def test_a_form_names_known_materials_and_weighs_them_mildly(form: Form) -> None:
    assert set(form.likely) <= set(facts.materials())
    assert all(0 < weight <= 20 for weight in form.likely.values())
    assert form.looks
    assert form.source


@of_each_form
def test_a_form_that_decides_the_pile_does_so_for_every_material(form: Form) -> None:
    if form.category:
        piles = {facts.category_of(name, form.id, 0.002, None).category.id for name in facts.materials()}
        assert piles == {form.category}


@of_each_form
def test_identify_takes_the_form_alone(form: Form) -> None:
    found = flows.identify([], {"form": form.id}).record.verdict
    assert sum(found.chances.values()) == pytest.approx(1.0)
    assert found.sure == bool(form.category)
    assert found.confirm.startswith("Confirm at the yard")


@of_each_category
def test_a_category_is_the_pile_of_some_part(category: Category) -> None:
    """A row that nothing reaches is dead: something before it takes all that it would."""
    parts = product(facts.materials(), (None, *FORMS), (None, 0.001, 0.02))
    assert any(facts.category_of(name, form, thick, None).category.id == category.id for name, form, thick in parts)


@of_each_category
def test_a_category_says_what_belongs_and_what_spoils_it(category: Category) -> None:
    assert category.name
    assert category.belongs.endswith(".")
    assert category.downgrades
    assert category.source
    assert set(category.materials) <= set(facts.materials())
    assert set(category.forms) <= set(FORMS)
