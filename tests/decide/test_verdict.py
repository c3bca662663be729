"""The likely set, when it is sure, and what to do next."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
import pytest

from idkit import ask, facts
from idkit.decide.asking import Allowed
from idkit.decide.evidence import PATTERNS
from idkit.decide.known import likely_set
from idkit.vocabulary import Evidence, Material, PhotoEvidence, Verdict

Decide = Callable[..., Verdict]
PhotoOf = Callable[..., PhotoEvidence]
ANY_WORTH = Allowed(skipped=("form",), least_worth=1e-4)  # the form, no evidence by itself, has a test of its own
DARK = ("too dark to read colour: more light, or nearer the window",)


@pytest.mark.parametrize("least", [0.0, 0.05, 0.5, 1.0])
def test_the_likely_set_holds_the_first_and_all_that_reach_the_threshold(least: float) -> None:
    found = np.array([0.05, 0.6, 0.3, 0.05])
    expected = {0.0: {0, 1, 2, 3}, 0.05: {0, 1, 2, 3}, 0.5: {1}, 1.0: {1}}
    assert likely_set(found, least) == expected[least]


def lead(photo: PhotoEvidence | None = None, **fields: object) -> Evidence:
    """A part that its weight in water alone names: nothing else common is as heavy."""
    typed = {"magnet": "none", "scratch-colour": "grey-white", "weight": "1.134 kg", "jar": "100 g"}
    return replace(Evidence(photo, ask.read(typed), "as-found"), **fields)


def test_what_one_measurement_settles_is_sure(decide: Decide) -> None:
    """Lead is 11.3 g/cm³; 1134 g over 100 g of buoyancy reads that. Density: CRC Handbook, from memory."""
    found = decide(lead())
    assert next(iter(found.chances)) == "lead"
    assert found.sure
    assert found.pile is not None
    assert found.pile.category.id == "lead"
    assert found.next_check is None


def test_several_materials_of_one_pile_are_sure_together(decide: Decide) -> None:
    """Bare and chromed zinc castings go on one pile, so which of them it is need not be known."""
    typed = {"form": "casting", "magnet": "none", "weight": "660 g", "jar": "100 g"}
    found = decide(Evidence(None, ask.read(typed), "as-found"))
    assert len(found.likely) > 1
    assert max(found.chances.values()) < 0.95
    assert found.sure


def test_two_piles_are_not_sure_and_neither_is_named(decide: Decide) -> None:
    found = decide(Evidence(None, ask.read({"form": "casting", "magnet": "none"}), "as-found"))
    assert not found.sure
    assert found.pile is None
    assert found.next_check is not None


def test_one_pile_under_ninety_five_in_a_hundred_is_not_sure(decide: Decide, photo_of: PhotoOf) -> None:
    """A threshold that leaves one material only does not make it sure."""
    found = decide(Evidence(photo_of({"copper": 3.0}), {}, "as-found"), {"photo": 0.5})
    assert found.likely == ("copper",)
    assert 0.3 < found.chances["copper"] < 0.95
    assert found.pile is not None
    assert not found.sure


@pytest.mark.parametrize(
    ("photographed", "typed", "pattern"),
    [
        (True, {}, "photo"),
        (True, {"magnet": "none"}, "photo-and-one-answer"),
        (True, {"weight-in-water": "8.93 g/cm3"}, "photo-and-water"),
        (False, {"weight-in-water": "11.34 g/cm3", "hollow": "no"}, "answers-and-water"),
    ],
)
def test_the_threshold_is_that_of_the_pattern_of_evidence(
    photographed: bool, typed: dict[str, str], pattern: str, decide: Decide, photo_of: PhotoOf
) -> None:
    """Under a threshold of 0 every material is likely, so nothing is sure; only the pattern's own threshold counts."""
    photo = photo_of({"copper": 9.0}) if photographed else None
    evidence = Evidence(photo, ask.read(typed), "as-found")
    own, others = ({name: least if name == pattern else 0.5 - least for name in PATTERNS} for least in (0.5, 0.0))
    assert decide(evidence, own).sure
    assert not decide(evidence, others).sure
    assert len(decide(evidence, own).likely) == 1
    assert len(decide(evidence, others).likely) == len(facts.materials())


def test_what_a_check_settles_is_judged_by_the_pattern_after_it(decide: Decide, photo_of: PhotoOf) -> None:
    """A photo alone becomes a photo with answers: the threshold that held before no longer does."""
    evidence = Evidence(photo_of({"copper": 6.0, "copper-clad-steel": 6.0}), {}, "as-found")
    after = decide(evidence, {"photo": 0.0, "photo-and-one-answer": 0.5}).next_check
    before = decide(evidence, {"photo": 0.5, "photo-and-one-answer": 0.0}).next_check
    assert after is not None
    assert before is not None
    assert after.check == before.check == "magnet"
    assert after.settles > 0.5
    assert before.settles == 0


def test_a_fault_of_the_photo_that_decides_is_not_sure(decide: Decide, photo_of: PhotoOf) -> None:
    """The same evidence is sure without the fault, so it is the fault that forbids it."""
    photo = photo_of({"copper": 9.0}, "copper-red")
    clear = Evidence(photo, ask.read({"magnet": "none"}), "as-found")
    assert decide(clear).sure
    assert not decide(replace(clear, problems=DARK)).sure
    assert clear.photo is not None
    assert not decide(replace(clear, photo=replace(clear.photo, guessed_bare=True))).sure


def test_a_fault_of_the_photo_does_not_matter_where_answers_settle_it(decide: Decide, photo_of: PhotoOf) -> None:
    assert decide(lead(photo_of({}), problems=DARK)).sure


def test_a_part_unlike_anything_known_is_not_sure(decide: Decide, photo_of: PhotoOf) -> None:
    assert decide(lead(photo_of({}))).sure
    strange = decide(lead(photo_of({}, unlike=True)))
    assert strange.unlike_known
    assert not strange.sure
    assert any("unlike anything" in reason for reason in strange.reasons)


def test_what_rests_on_simulation_is_said(decide: Decide, photo_of: PhotoOf) -> None:
    assert decide(lead(photo_of({}))).simulated
    assert not decide(lead(photo_of({}, simulated=False))).simulated
    assert not decide(lead()).simulated


# What to do next ------------------------------------------------------------------------------------------------------

GREY = {material.id: 0.5 if material.family == "grey-white" else -3.0 for material in facts.materials().values()}
FELT = {"form": "casting", "magnet": "none", "file-feel": "chips", "knife-or-nail": "neither", "drag": "slight"}
CASES: Mapping[str, tuple[dict[str, float] | None, dict[str, str]]] = {
    "brass bar": (None, {"form": "bar", "magnet": "none", "scratch-colour": "brass-yellow"}),
    "grey casting": (GREY, {"form": "casting", "magnet": "none"}),
    "grey casting, no magnet": (GREY, {"form": "casting"}),
    "thick grey casting": (GREY, FELT | {"thickness": "4 mm", "heft": "heavier", "scratch-colour": "grey-white"}),
    "copper wire": ({"copper": 1.0, "copper-clad-steel": 1.0}, {"form": "wire", "scratch-colour": "copper-red"}),
    "steel plate": (GREY, {"form": "plate", "magnet": "strong", "scratch-colour": "grey-white"}),
    "only a photo": ({"copper": 3.0, "tinned-copper": 3.0}, {}),
    "brass-yellow fitting": (None, {"form": "fitting", "magnet": "none", "scratch-colour": "brass-yellow"}),
}


@pytest.mark.parametrize("problems", [(), DARK], ids=["clear", "faulty"])
@pytest.mark.parametrize("case", CASES)
def test_settles_is_how_often_the_verdict_is_sure_after_the_check(
    case: str, problems: tuple[str, ...], decide: Decide, photo_of: PhotoOf, materials: tuple[Material, ...]
) -> None:
    """Parts are drawn from the chances, their answers from the check's own table, and each is decided anew."""
    logs, typed = CASES[case]
    photo = None if logs is None else photo_of(logs)
    evidence = Evidence(photo, ask.read(typed), "as-found", problems if photo else ())
    said = decide(evidence, allowed=ANY_WORTH)
    assert said.next_check is not None
    sure, count = simulated(evidence, said, decide, materials), 4000
    error = np.sqrt(max(sure * (1 - sure), 1 / count) / count)
    assert said.next_check.settles == pytest.approx(sure, abs=4 * error + 0.002)


def test_what_the_form_settles_is_how_often_the_verdict_is_sure_with_it(
    decide: Decide, materials: tuple[Material, ...]
) -> None:
    """By Bayes from the forms' own priors, each form as common as another: summed by hand."""
    evidence = Evidence(None, ask.read({"magnet": "none", "scratch-colour": "copper-red"}), "as-found")
    said = decide(
        evidence, allowed=Allowed(skipped=[name for name in ask.checks() if name != "form"], least_worth=-1.0)
    )
    assert said.next_check is not None
    assert said.next_check.check == "form"
    chances = np.array([said.chances[material.id] for material in materials])
    forms = [form for form in facts.forms().values() if form.id != "unknown"]
    priors = np.array([[form.likely.get(material.id, 1.0) for material in materials] for form in forms])
    priors /= priors.sum(axis=1, keepdims=True)
    of_form = (priors / priors.sum(axis=0)) @ chances
    told = [{**evidence.answers, **ask.read({"form": form.id})} for form in forms]
    sure = np.array([decide(replace(evidence, answers=answers)).sure for answers in told])
    assert of_form @ sure > 0.0
    assert said.next_check.settles == pytest.approx(of_form @ sure)


def test_the_cases_above_have_something_to_settle(decide: Decide, photo_of: PhotoOf) -> None:
    """Else the comparison would be of nought with nought."""
    found = []
    for logs, typed in CASES.values():
        evidence = Evidence(photo_of(logs) if logs else None, ask.read(typed), "as-found")
        said = decide(evidence, allowed=ANY_WORTH).next_check
        found.append(said.settles if said else 0.0)
    assert sum(0.1 < settles < 0.95 for settles in found) >= 3


def simulated(evidence: Evidence, said: Verdict, decide: Decide, materials: tuple[Material, ...]) -> float:
    """Share of 4000 simulated parts that are sure after the check."""
    assert said.next_check is not None
    check, random = ask.checks()[said.next_check.check], np.random.default_rng(12)
    chances = np.array([said.chances[material.id] for material in materials])
    outcomes = check.outcomes(evidence.answers)
    table = np.array([[check.likelihood(m, o.answer, evidence.answers) * o.width for o in outcomes] for m in materials])
    table /= table.sum(axis=1, keepdims=True)
    truths = random.choice(len(materials), size=4000, p=chances / chances.sum())
    heard = np.array([random.choice(len(outcomes), p=table[truth]) for truth in truths])
    sure = [
        decide(replace(evidence, answers={**evidence.answers, check.name: outcome.answer})).sure for outcome in outcomes
    ]
    return float(np.array(sure)[heard].mean())


def test_no_check_settles_what_is_unlike_anything_known(decide: Decide, photo_of: PhotoOf) -> None:
    logs, typed = CASES["thick grey casting"]
    said = ask.read({**typed, "came-out-of": "no idea", "marked": "none"})  # words narrow, and settle nothing alone
    evidence = Evidence(photo_of(logs), said, "as-found")
    usual, strange = decide(evidence), decide(replace(evidence, photo=photo_of(GREY, unlike=True)))
    assert usual.next_check is not None
    assert usual.next_check.settles > 0
    assert strange.next_check is not None
    assert strange.next_check.settles == 0


def test_the_check_that_saves_most_a_minute_is_asked_for(decide: Decide) -> None:
    """A magnet takes seconds and parts steel from the rest, so it comes before water. Common practice, no source."""
    found = decide(Evidence(None, ask.read({"form": "sheet"}), "as-found"))
    assert found.next_check is not None
    assert found.next_check.check == "magnet"
    assert found.next_check.how == ask.checks()["magnet"].how
    assert found.next_check.limits == ask.checks()["magnet"].limits


@pytest.mark.parametrize("form", ["board", "motor", "sealed-unit", "cable", "assembly"])
@pytest.mark.parametrize("magnet", ["none", "strong", "in-places"])
def test_water_is_never_proposed_for_what_it_harms(form: str, magnet: str, decide: Decide) -> None:
    """Boards, motors, sealed units and assemblies stay dry. Common practice, no source."""
    found = decide(
        Evidence(None, ask.read({"form": form, "magnet": magnet, "scratch-colour": "grey-white"}), "as-found")
    )
    assert found.next_check is None or found.next_check.check != "weight-in-water"


def test_the_eye_is_not_asked_for_what_the_photo_saw_on_the_scratch(decide: Decide, photo_of: PhotoOf) -> None:
    """One factor a sense: with the scratch photographed in a known white, its colour is known already."""
    typed = ask.read({"form": "fitting", "magnet": "none"})
    as_found = decide(Evidence(photo_of({}), typed, "as-found"))
    scratched = decide(Evidence(photo_of({}), typed, "scratched"))
    assert as_found.next_check is not None
    assert as_found.next_check.check == "scratch-colour"
    assert scratched.next_check is not None
    assert scratched.next_check.check != "scratch-colour"


def test_where_everything_was_answered_nothing_is_asked(decide: Decide) -> None:
    typed = {"magnet": "weak", "scratch-colour": "orange-gold", "thickness": "1 mm", "inside": "same", "drag": "slight"}
    felt = {"file-feel": "curls", "knife-or-nail": "neither", "dulls": "no", "meter": "both", "ring": "dull"}
    words = {"came-out-of": "no idea", "marked": "nothing to read", "heft": "heavier", "floats": "no"}
    everything = {**typed, **felt, **words, "weight-in-water": "5.0 g/cm3", "form": "casting"}
    found = decide(Evidence(None, ask.read(everything), "as-found"))
    assert not found.sure
    assert found.next_check is None


def test_cautions_of_the_next_check_are_shown_with_it(decide: Decide) -> None:
    found = decide(Evidence(None, ask.read({"form": "fitting", "magnet": "none"}), "as-found"))
    assert found.next_check is not None
    assert found.next_check.check == "scratch-colour"
    assert "filing" in {caution.id for caution in found.cautions}
