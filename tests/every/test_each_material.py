"""The same of every material: known to the model, piled in every form, told from its look-alikes."""

from __future__ import annotations

from itertools import product

import pytest

from idkit import facts, flows
from idkit.vocabulary import FAMILIES, Material

MATERIALS = facts.materials()
of_each_material = pytest.mark.parametrize("material", MATERIALS.values(), ids=lambda material: material.id)


@of_each_material
def test_the_starter_model_knows_it(material: Material) -> None:
    known = {name for name, _ in flows.starter().labels}
    assert material.id in known or material.id == "something-else"


def test_the_starter_model_knows_nothing_more() -> None:
    assert {name for name, _ in flows.starter().labels} <= set(MATERIALS)
    assert {family for _, family in flows.starter().labels} <= set(FAMILIES)


@of_each_material
def test_it_has_a_pile_in_every_form_and_thickness_and_with_anything_on_it(material: Material) -> None:
    thicknesses, attachments = (None, 0.0005, 0.00635, 0.05), (None, "none", "steel", "plastic", "other")
    for form, thickness, attached in product((None, *facts.forms()), thicknesses, attachments):
        pile = facts.category_of(material.id, form, thickness, attached)
        assert pile.category.id in facts.categories()
        assert pile.reason
        assert pile.state == {None: "unknown", "none": "clean"}.get(attached, "dirty")


@of_each_material
def test_look_alikes_know_each_other(material: Material) -> None:
    for name in material.look_alikes:
        assert material.id in MATERIALS[name].look_alikes, f"{name} does not name {material.id}"


@of_each_material
def test_numbers_are_possible(material: Material) -> None:
    assert 0 < material.density_low <= material.density_typical <= material.density_high
    assert sum(material.magnet.values()) == pytest.approx(1.0)
    assert all(0 < chance < 1 for chance in material.magnet.values())


@of_each_material
def test_it_is_described_to_a_person(material: Material) -> None:
    assert material.name
    assert material.fresh
    assert material.aged
    assert material.source
    assert material.trust in {"V", "S", "M", "C", "D"}


@of_each_material
def test_answers_alone_bring_it_into_the_likely_set(material: Material) -> None:
    """Given its own typical density, its commonest pull, its family's colour and its usual thickness."""
    pull = max(material.magnet, key=material.magnet.__getitem__)
    typed = {"magnet": pull, "weight-in-water": f"{material.density_typical / 1000:.2f} g/cm3"}
    if material.family != "not-metal":
        typed["scratch-colour"] = material.family
    if material.thickness_low == material.thickness_low:
        typed["thickness"] = f"{500 * (material.thickness_low + material.thickness_high):.2f} mm"
    found = flows.identify([], typed, even=True).record.verdict
    assert material.id in found.likely or material.id == "something-else"


def test_names_and_ids_are_all_different() -> None:
    assert len({material.name for material in MATERIALS.values()}) == len(MATERIALS)
    assert all(name == name.lower() and " " not in name for name in MATERIALS)
