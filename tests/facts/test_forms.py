"""Forms: mild weights, and the piles that a form decides."""

from __future__ import annotations

import pytest

from idkit import facts

FORMS = """casting sheet plate extrusion bar tube wire cable fastener fitting forging board motor sealed-unit assembly
unknown"""
IDS = FORMS.split()


def test_the_ids_and_their_order() -> None:
    assert list(facts.forms()) == IDS


@pytest.mark.parametrize("id", IDS)
def test_weights_are_mild_and_said_to_be_from_memory(id: str) -> None:
    form = facts.form(id)
    assert form.likely
    assert all(1 < weight <= 20 for weight in form.likely.values())
    assert (form.source, form.trust) == ("from memory", "M")


def test_an_unknown_form_says_little() -> None:
    assert max(facts.form("unknown").likely.values()) <= 4


def test_the_form_decides_these_piles_alone() -> None:
    decided = {id: form.category for id, form in facts.forms().items() if form.category}
    assert decided == {
        "cable": "insulated-cable",
        "board": "circuit-boards",
        "motor": "electric-motors",
        "sealed-unit": "sealed-units",
    }
    for id, category in decided.items():
        for material in facts.materials():
            assert facts.category_of(material, id, None, None).category.id == category
