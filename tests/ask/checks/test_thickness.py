from __future__ import annotations

from collections.abc import Mapping
from math import log

import numpy as np
import pytest

from idkit import flows
from idkit.ask.checks.thickness import likelihood, outcomes, parse
from idkit.vocabulary import Answer, Material


def density(material: Material, metres: float, uncertainty: float = 0.0) -> float:
    return likelihood(material, Answer("thickness", metres, "m", uncertainty), {})


def test_densities_integrate_to_one(known: Mapping[str, Material]) -> None:
    logs = np.linspace(log(1e-6), log(2.0), 20001)
    for name in ("copper", "something-else"):
        total = sum(density(known[name], float(metres)) for metres in np.exp(logs)) * (logs[1] - logs[0])
        assert total == pytest.approx(1.0, abs=2e-3)


def test_most_likely_at_the_geometric_mean(known: Mapping[str, Material]) -> None:
    copper = known["copper"]
    middle = (copper.thickness_low * copper.thickness_high) ** 0.5
    assert density(copper, middle) > density(copper, copper.thickness_low) > density(copper, 0.0002) > 0.0
    assert density(copper, copper.thickness_low) == pytest.approx(density(copper, copper.thickness_high))


def test_nine_parts_in_ten_lie_between(known: Mapping[str, Material]) -> None:
    copper = known["copper"]
    inside = sum(
        likelihood(copper, outcome.answer, {}) * outcome.width
        for outcome in outcomes({})
        if copper.thickness_low <= float(outcome.answer.value) <= copper.thickness_high
    )
    assert inside == pytest.approx(0.9, abs=0.04)


def test_a_bin_is_as_likely_as_its_middle(known: Mapping[str, Material]) -> None:
    for outcome in outcomes({})[2:-2]:
        middle = density(known["copper"], float(outcome.answer.value))
        assert likelihood(known["copper"], outcome.answer, {}) == pytest.approx(middle, rel=0.15)


def test_never_impossible(known: Mapping[str, Material]) -> None:
    assert all(density(material, metres) > 0.0 for material in known.values() for metres in (1e-6, 1.999))


def test_a_coarse_reading_says_less(known: Mapping[str, Material]) -> None:
    assert density(known["copper"], 0.1, 0.05) > density(known["copper"], 0.1, 0.0)


def test_reading() -> None:
    answer = parse("1/4 in")
    assert (answer.value, answer.unit, answer.typed) == (0.00635, "m", "1/4 in")
    assert answer.uncertainty == pytest.approx(0.00635 / 12**0.5)


@pytest.mark.parametrize(("typed", "light"), [("5 mm to 8 mm", 0.5), ("over 3 mm", 0.55)])
def test_a_range_over_the_line_of_thick_steel_settles_no_pile(typed: str, light: float) -> None:
    """Thick begins at 6.35 mm (1/4 in): neither the middle of a range nor its end says on which side the part is."""
    answers = {"form": "bar", "magnet": "strong", "thickness": typed, "spark": "long-white"}
    verdict = flows.identify([], answers).record.verdict
    assert verdict.piles["light-iron"] == pytest.approx(light, abs=0.15)
    assert verdict.piles["heavy-steel"] == pytest.approx(1 - light, abs=0.15)
    assert not verdict.sure
    assert verdict.pile is None


@pytest.mark.parametrize(("typed", "pile"), [("8 mm to 12 mm", "heavy-steel"), ("1 mm to 3 mm", "light-iron")])
def test_a_range_on_one_side_of_it_does(typed: str, pile: str) -> None:
    answers = {"form": "bar", "magnet": "strong", "thickness": typed, "spark": "long-white"}
    assert flows.identify([], answers).record.verdict.piles[pile] > 0.9
