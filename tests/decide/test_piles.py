"""Piles that hang on a thickness nobody measured, and checks that are left alone."""

from __future__ import annotations

import pytest

from idkit import flows

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
    """No filing, cutting or water for it; the caution says what instead. Common practice, no source."""
    for answers in ({"magnet": "none"}, {"magnet": "none", "thickness": "3 mm"}, {"scratch-colour": "grey-white"}):
        found = flows.identify([], answers, came_out_of=origin).record.verdict
        ask = found.next_check.check if found.next_check else ""
        assert ask not in {"scratch-colour", "inside", "weight-in-water"}
        assert found.cautions


def test_beryllium_marks_stop_the_file_but_not_the_jar() -> None:
    found = flows.identify([], {"magnet": "none", "thickness": "3 mm"}, marked="BeCu non-sparking").record.verdict
    assert found.next_check is not None
    assert found.next_check.check == "weight-in-water"
    assert "beryllium-copper" in {caution.id for caution in found.cautions}
