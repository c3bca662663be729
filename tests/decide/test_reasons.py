"""Why, in words with numbers, and the question for the yard."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from idkit import ask, facts
from idkit.decide.reasons import confirm_line, tenths
from idkit.vocabulary import Evidence, Material, PhotoEvidence, Reading, Verdict

Decide = Callable[..., Verdict]
PhotoOf = Callable[..., PhotoEvidence]
TYPED = {"form": "casting", "magnet": "none", "thickness": "4.5 mm", "weight": "540 g", "jar": "200 g"}


@pytest.fixture
def cast(decide: Decide) -> Verdict:
    """An aluminium casting, measured."""
    return decide(Evidence(None, ask.read(TYPED), "as-found"))


def evidence(typed: dict[str, str]) -> Evidence:
    """Answers without a photo."""
    return Evidence(None, ask.read(typed), "as-found")


def about(found: Verdict, start: str) -> str:
    """The one reason that begins so."""
    (reason,) = [reason for reason in found.reasons if reason.startswith(start)]
    return reason


def test_each_measurement_stands_beside_what_is_usual(cast: Verdict) -> None:
    """540 g over 200 g of buoyancy is 2.7 g/cm³."""
    first = facts.material(next(iter(cast.chances)))
    assert first.id == "aluminium-cast"
    assert "98 in 100" in about(cast, "magnet: ") or f"{100 * first.magnet['none']:.0f} in 100" in about(
        cast, "magnet: "
    )
    assert f"4.5 mm (usual for {first.name}: " in about(cast, "thickness: ")
    density = about(cast, "jar reading: ")
    assert re.search(r"2\.(69|70|71) ± 0\.\d\d g/cm³", density)
    assert f"{first.density_low / 1e3:.2f} to {first.density_high / 1e3:.2f}" in density


def test_every_answer_that_bears_on_the_material_has_its_reason(cast: Verdict) -> None:
    assert len(cast.reasons) == 3  # magnet, thickness, weight in water; the form and the weight are context


def test_a_reason_names_what_it_speaks_against(decide: Decide) -> None:
    """Among castings a magnet that does not pull speaks against cast iron, and not against aluminium."""
    against = about(decide(evidence({"form": "casting", "magnet": "none"})), "magnet: ").partition("speaks against ")[2]
    assert facts.material("cast-iron").name in against
    assert facts.material("aluminium-cast").name not in against


def test_the_photo_is_put_in_words_and_its_limits_said(decide: Decide, photo_of: PhotoOf) -> None:
    readings = (Reading("hue", 71.4, "degrees"), Reading("chroma", 31.2, "C*ab"))
    seen = Evidence(photo_of({}, "brass-yellow"), {}, "as-found", readings=readings)
    said = decide(seen).reasons[0]
    assert said.startswith("the photo shows brass yellow (8 in 10)")
    assert "71°" in said
    assert "31" in said
    assert "plating can look the same" in said
    assert "plating" not in decide(replace(seen, surface="scratched")).reasons[0]


def test_grey_is_said_to_be_any_grey_metal(decide: Decide, photo_of: PhotoOf) -> None:
    grey = decide(Evidence(photo_of({}, "grey-white"), {}, "as-found")).reasons[0]
    assert "a photo can't tell which grey metal" in grey


def test_a_photo_without_colour_is_said_in_numbers_only_as_far_as_known(decide: Decide, photo_of: PhotoOf) -> None:
    nan = float("nan")
    readings = (Reading("hue", nan, "degrees", "no white in view"), Reading("chroma", nan, "C*ab", "no white in view"))
    said = decide(Evidence(photo_of({}), {}, "as-found", readings=readings)).reasons[0]
    assert "nan" not in said


def test_a_scratch_that_the_photo_cannot_judge_is_left_to_the_eye_and_said_so(
    decide: Decide, photo_of: PhotoOf
) -> None:
    typed = ask.read({"scratch-colour": "brass-yellow"})
    lost = decide(Evidence(photo_of({}, trusted_colour=False), typed, "scratched")).reasons
    assert any("taken from the eye alone" in reason for reason in lost)
    assert any(reason.startswith("scratch colour: brass yellow") for reason in lost)
    known = decide(Evidence(photo_of({}), typed, "scratched")).reasons
    assert not any("eye alone" in reason or reason.startswith("scratch colour") for reason in known)


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "hardly"),
        (0.049, "hardly"),
        (0.05, "1 in 10"),
        (0.5, "5 in 10"),
        (0.94, "9 in 10"),
        (0.95, "nearly certain"),
    ],
)
def test_chances_are_said_as_hand_sorters_say_them(chance: float, words: str) -> None:
    """From memory."""
    assert tenths(chance) == words


@pytest.mark.parametrize(("one_pile", "sure"), [(True, True), (True, False), (False, False)])
@pytest.mark.parametrize("first", facts.materials().values(), ids=lambda material: material.id)
def test_every_verdict_ends_with_one_question_for_the_yard(first: Material, one_pile: bool, sure: bool) -> None:
    second = next(material for material in facts.materials().values() if material != first)
    pile = facts.category_of(first.id, None, None, None)
    line = confirm_line([first, second], pile, one_pile=one_pile, sure=sure)
    assert line.startswith("Confirm at the yard: '")
    assert line.endswith("?'")
    assert line.count("?") == 1
    if first.id != "something-else":
        assert first.name in line
        assert (second.name in line) == (not one_pile) or second.name in first.name
        assert (pile.category.name in line) == one_pile or pile.category.name in first.name


def test_not_sure_asks_of_the_likeliest_of_another_pile(decide: Decide) -> None:
    found = decide(evidence({"form": "fitting", "magnet": "none", "scratch-colour": "grey-white"}))
    piles = {name: facts.category_of(name, "fitting", None, None).category.id for name in found.chances}
    first, second, *_ = found.chances
    rival = next(name for name in found.chances if piles[name] != piles[first])
    assert rival != second
    names = [facts.material(name).name for name in (first, rival)]
    assert found.confirm == f"Confirm at the yard: 'Is this {names[0]}, or could it be {names[1]}?'"
