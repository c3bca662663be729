"""Which pile, and why. Trade specifications are paraphrased; each rule stands beside its source and trust."""

from __future__ import annotations

from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import facts
from idkit.errors import CallError

STEELS = ["carbon-steel", "galvanised-steel", "chromed-steel", "brass-plated-steel"]
QUARTER_INCH = 0.25 * 0.0254


def pile(material: str, form: str | None = None, thickness: float | None = None) -> str:
    return facts.category_of(material, form, thickness, None).category.id


@pytest.mark.parametrize("material", STEELS)
def test_quarter_inch_parts_light_iron_from_heavy_steel(material: str) -> None:
    """No. 1 heavy melting steel is 1/4 in (6.35 mm) thick or more: codes 200 to 202 of the trade specification [S]."""
    assert pile(material, "plate", QUARTER_INCH) == "heavy-steel"
    assert pile(material, "plate", 6.35 * 0.001) == "heavy-steel"
    assert pile(material, "plate", 6.35 / 1000) == "heavy-steel"
    assert pile(material, "plate", 0.00634) == "light-iron"
    assert pile(material, "plate", 0.02) == "heavy-steel"


@given(st.floats(1e-5, 0.5), st.sampled_from(STEELS))
def test_steel_of_any_thickness_has_one_pile(thickness: float, material: str) -> None:
    expected = "heavy-steel" if thickness >= QUARTER_INCH * (1 - 1e-9) else "light-iron"
    assert pile(material, None, thickness) == expected


def test_the_reason_tells_the_line_and_on_which_side() -> None:
    thin = facts.category_of("carbon-steel", "sheet", 0.001, None)
    thick = facts.category_of("carbon-steel", "plate", 0.008, None)
    unknown = facts.category_of("carbon-steel", "plate", None, None)
    assert "1 mm is under the 6.35 mm (1/4 in) line for heavy steel" in thin.reason
    assert "8 mm is at or over the 6.35 mm (1/4 in) line for heavy steel" in thick.reason
    assert unknown.category.id == "light-iron"
    assert "Thickness not measured" in unknown.reason
    assert facts.category_of("carbon-steel", "plate", nan, None) == unknown
    assert "1/4" not in facts.category_of("copper", "bar", 0.001, None).reason


ALUMINIUM = [
    ("casting", "aluminium-cast", "aluminium-cast"),
    ("extrusion", "aluminium-extrusion", "aluminium-extrusion"),
    ("sheet", "aluminium-sheet", "aluminium-sheet"),
    ("plate", "aluminium-sheet", "aluminium-sheet"),
    ("wire", "aluminium-wire", "aluminium-wire"),
    ("unknown", "aluminium-mixed", "aluminium-cast"),
    (None, "aluminium-mixed", "aluminium-cast"),
]


@pytest.mark.parametrize(("form", "wrought", "cast"), ALUMINIUM)
def test_aluminium_is_piled_by_form_where_it_is_known(form: str | None, wrought: str, cast: str) -> None:
    """The trade specification has grades for cast, sheet and extruded aluminium [V, S]; eyes see the form best."""
    assert pile("aluminium-wrought", form) == wrought
    assert pile("aluminium-cast", form) == cast


RULES = [
    ("chromed-zinc", "zinc", "zinc die cast may be plated and hold iron up to 30 %: 2024 amendment, V"),
    ("brass-plated-zinc", "zinc", "as above, V"),
    ("copper-clad-zinc", "zinc", "common practice, no source"),
    ("chromed-brass", "yellow-brass", "common practice, no source"),
    ("red-brass", "yellow-brass", "red is no longer told by eye: Recycling Today, June 2014, V"),
    ("tin-bronze", "yellow-brass", "as above, V"),
    ("aluminium-bronze", "aluminium-bronze", "red and yellow brass exclude it: dealers quoting the specification, S"),
    ("tinned-copper", "copper-no-2", "No. 1 copper is untinned, V"),
    ("copper-clad-steel", "copper-clad", "copper-coloured but magnetic is no copper: common practice, no source"),
    ("stainless-austenitic", "stainless-300", "nickel 7 % or more, V"),
    ("stainless-ferritic", "stainless-400", "common practice, no source"),
    ("cast-iron", "cast-iron", "cupola cast is a grade of its own, S"),
    ("chromed-plastic", "not-scrap-metal", "common practice, no source"),
    ("something-else", "ask-the-yard", "common practice, no source"),
]


@pytest.mark.parametrize(("material", "category", "source"), RULES)
def test_a_material_goes_on_its_pile(material: str, category: str, source: str) -> None:
    assert pile(material) == category, source
    assert pile(material, "fitting", 0.02) == category, source


def test_red_brass_is_told_to_ask_the_yard() -> None:
    assert "unless the yard takes them as red" in facts.category_of("red-brass", "fitting", None, None).reason


def test_every_part_has_a_pile_and_every_pile_that_is_not_only_named_a_part() -> None:
    reached = {
        pile(material, form, thickness)
        for material in facts.materials()
        for form in (None, *facts.forms())
        for thickness in (None, 0.001, 0.01)
    }
    conditional = {row.id for row in facts.categories().values() if (row.materials or row.forms) and not row.words}
    assert reached == conditional


@pytest.mark.parametrize(
    ("material", "form", "said", "expected"),
    [
        ("lead", None, "wheel weights off a trailer", "wheel-weights-lead"),
        ("zinc-die-cast", "casting", "a wheel weight", "wheel-weights-zinc"),
        ("aluminium-cast", "casting", "alloy wheel of a barrow", "alloy-wheels"),
        ("aluminium-wrought", "sheet", "drinks cans", "cans"),
        ("carbon-steel", "sheet", "drinks cans", "light-iron"),  # a steel can is no aluminium can
        ("yellow-brass", "fitting", "an alloy wheel", "yellow-brass"),  # the valve of one
        ("lead", None, "a sash weight", "lead"),
    ],
)
def test_a_word_and_its_material_name_piles_of_their_own(
    material: str, form: str | None, said: str, expected: str
) -> None:
    """Lead, zinc and steel wheel weights are apart, cans and wheels too: common practice, no source."""
    assert facts.category_of(material, form, None, None, said=said).category.id == expected


@pytest.mark.parametrize(
    ("attached", "state"),
    [(None, "unknown"), ("none", "clean"), ("steel", "dirty"), ("plastic", "dirty"), ("other", "dirty")],
)
def test_what_is_attached_makes_it_dirty(attached: str | None, state: str) -> None:
    assert facts.category_of("aluminium-cast", "casting", None, attached).state == state
    assert facts.category_of("copper", "motor", None, attached).state == state


@pytest.mark.parametrize(
    ("material", "form", "thickness", "attached", "thing"),
    [
        ("coper", None, None, None, "material: got 'coper'"),
        ("coper", "motor", None, None, "material: got 'coper'"),
        ("copper", "lump", None, None, "form: got 'lump'"),
        ("copper", None, -0.001, None, "thickness: got -0.001 m"),
        ("copper", None, None, "screws", "attached: got 'screws'"),
    ],
)
def test_a_wrong_call_is_refused(
    material: str, form: str | None, thickness: float | None, attached: str | None, thing: str
) -> None:
    with pytest.raises(CallError, match=thing):
        facts.category_of(material, form, thickness, attached)
