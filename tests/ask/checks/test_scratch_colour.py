from __future__ import annotations

from collections.abc import Mapping

import pytest

from idkit.ask.checks.scratch_colour import OPTIONS, SEEN, likelihood, outcomes, parse
from idkit.vocabulary import Answer, Material


def chance(material: Material, colour: str) -> float:
    return likelihood(material, parse(colour), {})


@pytest.mark.parametrize("family", [family for family in SEEN if family != "not-metal"])
def test_its_own_colour_is_likeliest(family: str) -> None:
    assert max(SEEN[family], key=lambda colour: SEEN[family][colour]) == family
    assert sum(SEEN[family].values()) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("family", "near", "far"),
    [
        ("copper-red", "orange-gold", "brass-yellow"),
        ("brass-yellow", "orange-gold", "copper-red"),
        ("grey-white", "dark-granular", "brass-yellow"),
        ("dark-granular", "grey-white", "brass-yellow"),
    ],
)
def test_neighbours_are_confused_most(family: str, near: str, far: str) -> None:
    assert SEEN[family][near] > 2.0 * SEEN[family][far]


def test_a_skin_not_cut_through_still_shows(known: Mapping[str, Material]) -> None:
    """10 to 15 scratches in 100 stop in the skin: from memory."""
    assert 0.1 < chance(known["chromed-brass"], "grey-white") < 0.2
    assert chance(known["chromed-brass"], "grey-white") > 3.0 * chance(known["yellow-brass"], "grey-white")
    assert chance(known["aluminium-winding"], "copper-red") > 5.0 * chance(known["aluminium-cast"], "copper-red")
    assert chance(known["tinned-copper"], "copper-red") > 0.7


def test_chrome_over_brass_or_zinc_is_settled_by_the_scrape(known: Mapping[str, Material]) -> None:
    """Yellow is brass, blue-grey is zinc: common practice, no source."""
    assert chance(known["chromed-brass"], "brass-yellow") > 20.0 * chance(known["chromed-zinc"], "brass-yellow")


def test_a_board_is_not_scratched() -> None:
    assert outcomes({"form": Answer("form", "board")}) == ()
    assert len(outcomes({"form": Answer("form", "casting")})) == len(OPTIONS)
