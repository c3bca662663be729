"""Marked: letters to a mark, a mark to chances, and what stands on a screw says nothing of the body."""

from __future__ import annotations

from time import perf_counter

import pytest

from idkit import ask, facts
from idkit.ask.checks.marked import NAMED, NO_KNOWN_MARK, likelihood, outcomes, parse
from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Answers

MATERIALS = facts.materials()
OTHERS = ({}, {"form": "fastener"}, {"form": "casting"}, {"form": "unknown"}, {"form": "cable", "magnet": "strong"})


def chances(answer: Answer, others: Answers) -> dict[str, float]:
    return {name: likelihood(material, answer, others) for name, material in MATERIALS.items()}


def read(typed: str, form: str = "") -> Answer:
    return ask.read({"marked": typed, "form": form})["marked"]


@pytest.mark.parametrize("typed", ["", "   ", "\n"])
def test_blank_is_refused_with_what_is_right(typed: str) -> None:
    with pytest.raises(AnswerError, match="--marked: .*the letters and numbers, and on which piece"):
        parse(typed)


@pytest.mark.parametrize("typed", ["none", "4711", "MADE IN", "patent pending", "No 3", "BeCu"])
@pytest.mark.parametrize("others", OTHERS, ids=str)
def test_unknown_marks_are_kept_and_change_nothing(typed: str, others: dict[str, str]) -> None:
    answer = parse(typed)
    assert (answer.value, answer.typed) == ("unknown", typed)
    assert set(chances(answer, ask.read(others)).values()) == {NO_KNOWN_MARK}


@pytest.mark.parametrize("mark", facts.marks())
def test_an_id_is_read_as_itself(mark: str) -> None:
    assert parse(mark).value == mark


@pytest.mark.parametrize("others", OTHERS, ids=str)
def test_chances_sum_to_one_for_every_material_and_form(others: dict[str, str]) -> None:
    for material in MATERIALS.values():
        total = sum(likelihood(material, outcome.answer, ask.read(others)) for outcome in outcomes({}))
        assert total == pytest.approx(1.0, abs=1e-12), material.id


@pytest.mark.parametrize("mark", facts.marks().values(), ids=lambda mark: mark.id)
def test_a_mark_speaks_for_every_material_it_names(mark) -> None:
    """At least 7 to 1 against each other material: 60 to 1, less where one metal has more ways of being marked."""
    found = chances(parse(mark.id), {})
    least = min(found[name] for name in mark.materials)
    most = max(chance for name, chance in found.items() if name not in mark.materials)
    assert 7.0 < least / most < 4 * NAMED


@pytest.mark.parametrize("typed", ["A2-70 on the screw", "8.8 bolt", "brass cap", "ZAMAK (handle)", "stainless label"])
@pytest.mark.parametrize("form", ["", "casting", "fitting", "unknown"])
def test_what_stands_on_another_piece_is_no_evidence(typed: str, form: str) -> None:
    answers = ask.read({"marked": typed, "form": form})
    others = {name: answer for name, answer in answers.items() if name != "marked"}
    assert (answers["marked"].value, answers["marked"].typed) == ("unknown", typed)
    assert set(chances(answers["marked"], others).values()) == {NO_KNOWN_MARK}


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("A2-70 on the screw", "iso-stainless-fastener"),
        ("8.8 bolt", "iso-steel-fastener"),
        ("A2", "iso-stainless-fastener"),
    ],
)
def test_where_the_part_is_a_fastener_its_mark_counts(typed: str, value: str) -> None:
    answers = ask.read({"marked": typed, "form": "fastener"})
    assert answers["marked"].value == value
    others = {"form": answers["form"]}
    assert chances(answers["marked"], others) == chances(parse(typed), others)
    named = facts.marks()[value].materials[0]
    assert chances(parse(typed), others)[named] > 7.0 * chances(parse(typed), others)["copper"]


@pytest.mark.parametrize("typed", ["A4-80", "8.8", "A2"])
def test_a_fasteners_mark_says_nothing_of_a_casting(typed: str) -> None:
    """Nobody casts a strength class of ISO 898-1 or ISO 3506-1 into a housing: it is the screw's."""
    assert read(typed, "casting").value == "unknown"
    assert read(typed).value == parse(typed).value != "unknown"
    even = chances(parse(typed), ask.read({"form": "casting"})).values()
    assert max(even) == pytest.approx(min(even))


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("ZP5, EN AC-46000", "en-zinc"),
        ("EN AC-46000; ZP5", "en-aluminium-cast"),
        ("A2-70, ZP5", "en-zinc"),
        ("8.8 on the bolt and ADC12 on the housing", "national-aluminium-cast"),
        ("4711; brass", "brass-word"),
    ],
)
def test_of_several_on_the_body_the_first_counts_and_a_screws_comes_last(typed: str, value: str) -> None:
    assert parse(typed).value == value


def test_reading_is_quick_and_a_likelihood_a_look_up() -> None:
    ask.read({"marked": "ZP5"})  # patterns are compiled once
    start = perf_counter()
    for number in range(50):
        ask.read({"marked": f"EN AC-46000 on the body; A2-70 on the screw; no {number}", "form": "casting"})
    assert (perf_counter() - start) / 50 < 0.002
    answer, lead = parse("ZP5"), MATERIALS["lead"]
    likelihood(lead, answer, {})
    start = perf_counter()
    for _ in range(1000):
        likelihood(lead, answer, {})
    assert (perf_counter() - start) / 1000 < 20e-6


@pytest.mark.parametrize(
    "typed", ["A" * 20000, ">PA" + "GF3" * 5000, "CUZN39" + "PB" * 9000, "1 " * 10000, "ZP5," * 5000]
)
def test_a_long_text_takes_no_long_time(typed: str) -> None:
    start = perf_counter()
    parse(typed)
    assert perf_counter() - start < 2.0
