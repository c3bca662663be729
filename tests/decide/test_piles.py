"""Piles that hang on a thickness nobody measured, and checks that are left alone."""

from __future__ import annotations

import pytest

from idkit import ask, flows

STEEL = {"magnet": "strong", "scratch-colour": "grey-white", "inside": "same", "attached": "none", "hollow": "no"}
WEIGHED = {"weight": "2.000 kg", "jar": "254.6 g"}


def test_steel_plate_of_unknown_thickness_is_not_sure_and_asks_for_it() -> None:
    """The 1/4 inch line parts light iron from heavy steel (trade specification, paraphrased)."""
    found = flows.identify([], {"form": "plate", **STEEL, **WEIGHED}).record.verdict
    assert not found.sure
    assert found.piles["light-iron"] > 0.1
    assert found.piles["heavy-steel"] > 0.1
    assert found.next_check is not None
    assert found.next_check.check == "thickness"


@pytest.mark.parametrize(
    ("thickness", "pile"), [("12 mm", "heavy-steel"), ("1/4 in", "heavy-steel"), ("3 mm", "light-iron")]
)
def test_a_measured_thickness_settles_it(thickness: str, pile: str) -> None:
    found = flows.identify([], {"form": "plate", "thickness": thickness, **STEEL, **WEIGHED}).record.verdict
    assert found.sure
    assert found.pile is not None
    assert found.pile.category.id == pile


def test_a_sheet_is_thin_by_its_name() -> None:
    found = flows.identify([], {"form": "sheet", **STEEL}).record.verdict
    assert found.piles.get("heavy-steel", 0.0) < 0.01


@pytest.mark.parametrize(
    "origin",
    ["car battery", "laptop battery", "asbestos lagging", "an old gas bottle", "microwave oven", "smoke detector"],
)
def test_what_is_dangerous_is_left_closed(origin: str) -> None:
    """No filing, cutting or water for it; it says who takes it instead. Common practice, no source."""
    for answers in ({"magnet": "none"}, {"magnet": "none", "thickness": "3 mm"}, {"scratch-colour": "grey-white"}):
        found = flows.identify([], {**answers, "came-out-of": origin}).record.verdict
        asked = ask.checks()[found.next_check.check].acts if found.next_check else ()
        assert not {"file", "cut", "grind", "open", "wet"}.intersection(asked)
        assert any(danger.who for danger in found.dangers)


def test_beryllium_marks_stop_the_file_but_not_the_jar() -> None:
    typed = {"magnet": "none", "form": "casting", "thickness": "3 mm", "marked": "BeCu non-sparking"}
    typed |= {"heft": "heavier", "came-out-of": "a tool box", "knife-or-nail": "neither"}
    found = flows.identify([], typed).record.verdict
    assert found.next_check is not None
    assert found.next_check.check == "weight-in-water"
    assert "beryllium-copper" in {danger.id for danger in found.dangers}
