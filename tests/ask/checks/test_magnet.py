from __future__ import annotations

from collections.abc import Mapping

import pytest

from idkit.ask import read
from idkit.ask.checks.magnet import likelihood, parse
from idkit.errors import AnswerError
from idkit.vocabulary import Material


def chance(material: Material, said: str, **others: str) -> float:
    return likelihood(material, parse(said), read(others))


def test_a_strong_pull_is_ferrous(known: Mapping[str, Material]) -> None:
    assert chance(known["carbon-steel"], "strong") > 0.9
    for name in ("copper", "yellow-brass", "aluminium-cast", "lead"):
        assert chance(known[name], "strong", attached="none") < 0.02
        assert chance(known[name], "none") > 0.9


def test_none_does_not_rule_stainless_out(known: Mapping[str, Material]) -> None:
    assert chance(known["stainless-austenitic"], "none") > 0.4


def test_a_screw_explains_the_pull(known: Mapping[str, Material]) -> None:
    clean, screwed = (chance(known["aluminium-cast"], "strong", attached=word) for word in ("none", "steel screw"))
    assert screwed > 5.0 * clean
    assert chance(known["aluminium-cast"], "none", attached="steel screw") > 0.3
    assert chance(known["carbon-steel"], "strong", attached="steel screw") > 0.9


def test_pulls_in_places_points_to_an_insert(known: Mapping[str, Material]) -> None:
    """Steel inserts hide in zinc and aluminium castings, not in brass or lead: common practice, no source."""
    for cast in ("zinc-die-cast", "aluminium-cast", "magnesium-cast"):
        assert 0.01 < chance(known[cast], "in-places", attached="none") < 0.05
        assert chance(known[cast], "in-places", attached="none") > 2.0 * chance(
            known["yellow-brass"], "in-places", attached="none"
        )


def test_plastic_on_it_changes_nothing(known: Mapping[str, Material]) -> None:
    assert chance(known["copper"], "strong", attached="rubber") == chance(known["copper"], "strong", attached="none")


def test_spelling() -> None:
    assert parse("In Places").value == "in-places"
    with pytest.raises(AnswerError) as refused:
        parse("stong")
    assert str(refused.value) == (
        "--magnet: got 'stong'; right is none, weak, strong or in-places; did you mean --magnet strong?"
    )
