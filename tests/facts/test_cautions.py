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


@pytest.mark.parametrize(("text", "caution"), [("two pennies", "coins"), ("a Road-Sign", "restricted")])
def test_words_are_found_as_people_type_them(text: str, caution: str) -> None:
    assert caution in ids(text=text)


@pytest.mark.parametrize("text", ["headphones", "cylindrical", "drainpipe", "unbraked", ""])
def test_parts_of_words_are_not_found(text: str) -> None:
    assert ids(text=text) == set()


@pytest.mark.parametrize("id", ["restricted", "selling"])
def test_where_the_law_differs_from_place_to_place_it_says_so(id: str) -> None:
    assert facts.cautions()[id].message.endswith("Follow local codes.")


def test_an_unknown_material_or_form_is_refused() -> None:
    with pytest.raises(CallError, match="material: got 'coper'"):
        facts.cautions_for(["coper"])
    with pytest.raises(CallError, match="form: got 'lump'"):
        facts.cautions_for([], "lump")
