"""Cautions: each is reached, and only where it is due."""

from __future__ import annotations

import pytest

from idkit import facts
from idkit.errors import CallError
from idkit.vocabulary import Caution


def ids(materials: tuple[str, ...] = (), form: str | None = None, text: str = "", check: str | None = None) -> set[str]:
    return {caution.id for caution in facts.cautions_for(materials, form, text, check)}


@pytest.mark.parametrize("caution", facts.cautions().values(), ids=lambda caution: caution.id)
def test_every_condition_of_every_caution_is_reached(caution: Caution) -> None:
    for material in caution.materials:
        assert caution.id in ids((material,))
    for form in caution.forms:
        assert caution.id in ids(form=form)
    for word in caution.words:
        assert caution.id in ids(text=f"out of an old {word.upper()}, rusty")
    for check in caution.checks:
        assert caution.id in ids(check=check)


def test_nothing_known_brings_no_caution() -> None:
    assert ids() == set()
    assert ids(("copper", "aluminium-cast", "carbon-steel"), "fitting", "a kitchen sink", "magnet") == set()


@pytest.mark.parametrize("id", facts.materials())
def test_no_wall_of_text(id: str) -> None:
    assert len(ids((id,))) <= 2


SAID = [
    ("old fridge", "refrigerant"),
    ("garage freezers", "refrigerant"),
    ("Li-Ion drill", "lithium-battery"),
    ("li ion pack", "lithium-battery"),
    ("SMOKE DETECTOR", "radioactive"),
    ("gas-bottle from camping", "sealed-pressure"),
    ("microwave_oven", "stored-charge"),
    ("microwave", "beryllium-oxide"),
    ("brake drum", "asbestos"),
    ("room thermostat", "mercury"),
    ("catalytic converter", "restricted"),
    ("two pennies", "coins"),
]


@pytest.mark.parametrize(("text", "caution"), SAID)
def test_words_are_found_as_people_type_them(text: str, caution: str) -> None:
    assert caution in ids(text=text)


@pytest.mark.parametrize("text", ["headphones", "consumer tvs2000x", "cylindrical", "drainpipe", "unbraked", ""])
def test_parts_of_words_are_not_found(text: str) -> None:
    assert ids(text=text) == set()


def test_hazards_end_with_who_should_do_it() -> None:
    """What needs a licence or a law says so, in the same words."""
    for id in ("radioactive", "sealed-pressure", "refrigerant", "stored-charge", "asbestos", "old-oil"):
        assert facts.cautions()[id].message.endswith("Follow local codes; leave it to licensed people.")
    for id in ("restricted", "selling"):
        assert facts.cautions()[id].message.endswith("Follow local codes.")


def test_the_gravest_comes_first() -> None:
    found = facts.cautions_for((), "sealed-unit", "smoke detector, fridge", "scratch-colour")
    assert [caution.id for caution in found] == ["radioactive", "sealed-pressure", "refrigerant", "filing"]


def test_an_unknown_material_or_form_is_refused() -> None:
    with pytest.raises(CallError, match="material: got 'coper'"):
        facts.cautions_for(["coper"])
    with pytest.raises(CallError, match="form: got 'lump'"):
        facts.cautions_for([], "lump")
