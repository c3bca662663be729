"""The same of every form and of every category."""

from __future__ import annotations

from itertools import product

import pytest

from idkit import ask, facts, flows
from idkit.vocabulary import KINDS, Category, Form

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
    """A row that nothing reaches is dead: something before it takes all that it would. One without any condition is
    only ever named, and no part comes there by itself."""
    parts = product(facts.materials(), (None, *FORMS), (None, 0.001, 0.02), ("", *category.words))
    met = any(
        facts.category_of(name, form, thick, None, said=said).category.id == category.id
        for name, form, thick, said in parts
    )
    assert met == bool(category.materials or category.forms)


@of_each_category
def test_a_word_takes_a_part_only_where_it_stands(category: Category) -> None:
    if category.words:
        for name in category.materials:
            assert facts.category_of(name, "casting", None, None).category.id != category.id
            assert facts.category_of(name, None, None, None, said="a wheelbarrow").category.id != category.id


@of_each_category
def test_a_category_has_a_buyer_and_a_name_of_its_own(category: Category) -> None:
    assert category.buyer in KINDS
    assert [each.id for each in CATEGORIES.values() if each.name.lower() == category.name.lower()] == [category.id]


@of_each_category
def test_a_category_says_what_belongs_and_what_spoils_it(category: Category) -> None:
    assert category.name
    assert category.belongs.endswith(".")
    assert category.downgrades
    assert category.source
    assert set(category.materials) <= set(facts.materials())
    assert set(category.forms) <= set(FORMS)


@of_each_category
def test_a_limit_names_its_source_and_how_far_to_trust_it(category: Category) -> None:
    """EU 333/2011 and 715/2013, the trade specification, a recycler's own: no number stands without."""
    for limit in filter(None, category.limits.split("; ")):
        assert any(source in limit for source in ("EU ", "trade specification", "recycler", "another:")), limit
        assert (
            any(trust in limit for trust in ("[V]", "[S]", "from memory", "in draft")) or "another" in category.limits
        )
