"""Properties of the chances and the verdict, whatever is answered and whatever the photo says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from idkit import ask, facts, flows
from idkit.decide import fuse
from idkit.decide.classifier import NOT_AS_IT_SEEMS, photo_evidence, together
from idkit.decide.evidence import pattern
from idkit.vocabulary import FAMILIES, SURFACES, Answers, Evidence, Floats, PhotoEvidence, Verdict

MATERIALS = tuple(facts.materials().values())
IDS = [material.id for material in MATERIALS]
FORMS = sorted(facts.forms())
TYPED = {
    "magnet": st.sampled_from(["none", "weak", "strong", "in-places"]),
    "scratch-colour": st.sampled_from(["copper-red", "orange-gold", "brass-yellow", "grey-white", "dark-granular"]),
    "thickness": st.floats(0.1, 60.0).map("{:.2f} mm".format),
    "weight-in-water": st.floats(0.9, 12.0).map("{:.2f} g/cm3".format),
    "inside": st.sampled_from(["same", "different"]),
    "attached": st.sampled_from(["none", "steel screws", "rubber", "brass nut"]),
    "hollow": st.sampled_from(["yes", "no"]),
    "form": st.sampled_from(FORMS),
    "cut-end": st.sampled_from(["copper-red", "grey-white", "red-over-grey", "silver-over-yellow", "not-metal"]),
    "heft": st.sampled_from(["heavier", "same as brass", "lighter than steel"]),
    "file-feel": st.sampled_from(["skates", "black-powder", "curls", "clogs", "chips"]),
    "knife-or-nail": st.sampled_from(["nail", "knife", "neither"]),
    "dulls": st.sampled_from(["yes", "no"]),
    "floats": st.sampled_from(["yes", "no"]),
    "drag": st.sampled_from(["strong", "slight", "none"]),
    "meter": st.sampled_from(["both", "scratch-only", "neither", "skin-only"]),
    "spark": st.sampled_from(["long-white", "short-red", "few", "none"]),
    "ring": st.sampled_from(["rings", "dull"]),
}


@st.composite
def answers(draw: st.DrawFn) -> Answers:
    """Answers to some of the checks."""
    named = draw(st.sets(st.sampled_from(sorted(TYPED))))
    return ask.read({name: draw(TYPED[name]) for name in sorted(named)})


@st.composite
def photos(draw: st.DrawFn) -> PhotoEvidence:
    """A photo that says anything between plainly against and plainly for each material."""
    logs = draw(st.lists(st.floats(-6.0, 3.5), min_size=len(IDS), max_size=len(IDS)))
    families = dict.fromkeys(FAMILIES, 1 / len(FAMILIES))
    return PhotoEvidence(dict(zip(IDS, logs, strict=True)), families, False, True, draw(st.booleans()))


evidences = st.builds(Evidence, st.none() | photos(), answers(), st.sampled_from(SURFACES))


def fused(evidence: Evidence, form: str = "unknown", *, even: bool = False) -> Floats:
    return fuse.chances(MATERIALS, evidence, facts.form(form), ask.checks(), even=even)


@settings(deadline=None)
@given(evidences, st.sampled_from(FORMS), st.booleans())
def test_chances_sum_to_one_and_none_is_certain(evidence: Evidence, form: str, even: bool) -> None:
    found = fused(evidence, form, even=even)
    assert found.sum() == pytest.approx(1.0, abs=1e-9)
    assert (found > 0).all()
    assert (found < 1).all()


@settings(deadline=None)
@given(evidences, st.randoms(use_true_random=False))
def test_the_order_of_answers_does_not_matter(evidence: Evidence, random: Random) -> None:
    names = list(evidence.answers)
    random.shuffle(names)
    shuffled = replace(evidence, answers={name: evidence.answers[name] for name in names})
    np.testing.assert_allclose(fused(shuffled), fused(evidence), rtol=1e-9)


@settings(deadline=None)
@given(evidences)
def test_a_check_that_was_not_answered_changes_nothing(evidence: Evidence) -> None:
    only = {name: ask.checks()[name] for name in evidence.answers}
    found = fuse.chances(MATERIALS, evidence, facts.form("unknown"), only)
    np.testing.assert_array_equal(found, fused(evidence))


@settings(deadline=None)
@given(photos(), answers())
def test_the_same_photo_twice_says_no_more_than_once(photo: PhotoEvidence, said: Answers) -> None:
    once, twice = (fused(Evidence(seen, said, "as-found")) for seen in (photo, together([photo, photo])))
    np.testing.assert_allclose(twice, once, rtol=1e-9)


@settings(deadline=None)
@given(photos(), photos())
def test_a_second_photo_never_says_more_than_the_stronger_of_the_two(one: PhotoEvidence, two: PhotoEvidence) -> None:
    """The mean of log photo(m), not the sum: between any two materials it lies between what each photo says."""
    both, first, second = (
        np.log(fused(Evidence(seen, {}, ""), even=True)) for seen in (together([one, two]), one, two)
    )
    apart = [logs[1:] - logs[:-1] for logs in (both, first, second)]
    assert (apart[0] <= np.maximum(apart[1], apart[2]) + 1e-9).all()
    assert (apart[0] >= np.minimum(apart[1], apart[2]) - 1e-9).all()


@settings(deadline=None)
@given(photos(), answers(), st.sampled_from(["copper-red", "brass-yellow", "grey-white"]))
def test_one_factor_a_sense_on_a_scratch(photo: PhotoEvidence, said: Answers, colour: str) -> None:
    """Colour of bare metal: from the photo where its white is known, else from the eye, never from both."""
    without = {name: answer for name, answer in said.items() if name not in ("scratch-colour", "cut-end")}
    seen = Evidence(photo, {**without, **ask.read({"scratch-colour": colour})}, "scratched")
    alone = replace(seen, answers=without) if photo.trusted_colour else replace(seen, photo=None)
    np.testing.assert_array_equal(fused(seen), fused(alone))
    assert not {"photo", "scratch-colour"} <= set(fuse.factors(MATERIALS, seen, ask.checks()))


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 2**32 - 1), st.sampled_from(SURFACES), st.integers(1, 9), st.floats(0.0, 1.0))
def test_no_colour_rules_out_what_plating_could_hide(seed: int, surface: str, whites: int, doubt: float) -> None:
    """Whatever the cues and the whites: as found, no material counts for less than a fiftieth of what it counts for
    without the photo; on a scratch, for less than a two-hundredth."""
    random, model = np.random.default_rng(seed), flows.starter()
    row = model.centre + model.spread * random.normal(0, 4, (whites, len(model.cues)))
    row[random.random(row.shape) < 0.2] = np.nan
    photo = photo_evidence(model, row, random.dirichlet(np.ones(whites)), surface, trusted=True, doubt=doubt)
    floor = NOT_AS_IT_SEEMS[surface]
    known = {name: log for name, log in photo.log_photo.items() if name != "something-else"}
    assert min(known.values()) >= np.log(floor) - 1e-9
    assert set(photo.log_photo) == set(IDS)
    assert np.isfinite(list(photo.log_photo.values())).all()
    assert sum(photo.families.values()) == pytest.approx(1.0)


@settings(deadline=None)
@given(photos(), answers(), st.sampled_from(SURFACES))
def test_a_photo_unlike_anything_known_says_nothing(photo: PhotoEvidence, said: Answers, surface: str) -> None:
    """The part goes flat: what is left is the answers and how common each metal is."""
    strange = Evidence(replace(photo, unlike=True), said, surface)
    np.testing.assert_array_equal(fused(strange), fused(replace(strange, photo=None)))
    assert pattern(strange) == pattern(replace(strange, photo=None))


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 2**32 - 1), st.sampled_from(SURFACES), st.integers(2, 9))
def test_doubt_about_white_is_averaged_over(seed: int, surface: str, whites: int) -> None:
    """A photo under several possible whites says of each material no more and no less than it does under one of them;
    and under the same white many times what it says under it once."""
    random, model = np.random.default_rng(seed), flows.starter()
    rows = model.centre + model.spread * random.normal(0, 2, (whites, len(model.cues)))
    weights = random.dirichlet(np.ones(whites))
    alone = [photo_evidence(model, row[None], np.ones(1), surface, trusted=True).log_photo for row in rows]
    both = photo_evidence(model, rows, weights, surface, trusted=True).log_photo
    for name in IDS:
        low, high = min(each[name] for each in alone), max(each[name] for each in alone)
        assert low - 1e-9 <= both[name] <= high + 1e-9
    same = photo_evidence(model, np.repeat(rows[:1], whites, axis=0), weights, surface, trusted=True)
    assert same.log_photo == pytest.approx(alone[0])


YIELDING = [
    ({"cut-end": "red-over-grey"}, {"inside": "same"}),
    ({"cut-end": "red-over-grey"}, {"scratch-colour": "brass-yellow"}),
    ({"weight-in-water": "2.70 g/cm3"}, {"floats": "yes"}),
    ({"weight-in-water": "2.70 g/cm3"}, {"heft": "lighter than plastic"}),
    ({"weight-in-water": "2.70 g/cm3", "weight": "1.20 kg"}, {"size": "40 x 40 x 20 mm"}),
    ({"size": "40 x 40 x 20 mm", "weight": "1.20 kg"}, {"floats": "yes"}),
    ({"floats": "yes"}, {"heft": "heavier than steel"}),
]


@pytest.mark.parametrize(("counts", "yields"), YIELDING, ids=str)
@pytest.mark.parametrize("turned", [False, True])
def test_one_factor_a_sense_among_answers(counts: dict[str, str], yields: dict[str, str], turned: bool) -> None:
    """Of two answers to one sense always the same one counts, whichever was given first."""
    both = dict(reversed([*counts.items(), *yields.items()])) if turned else {**counts, **yields}
    answers = ask.read(both)
    ordered = {name: answers[name] for name in both}
    alone, together = (fused(Evidence(None, each, "as-found")) for each in (ask.read(counts), ordered))
    np.testing.assert_allclose(together, alone, rtol=1e-9)
    assert not np.allclose(alone, fused(Evidence(None, {}, "as-found")), rtol=1e-3)


FAULT = "too dark to read colour: more light, or nearer the window"


@st.composite
def faulty(draw: st.DrawFn) -> Evidence:
    """Evidence whose photo may have a fault, or be unlike anything known."""
    evidence = draw(evidences)
    if evidence.photo is None:
        return evidence
    photo = replace(evidence.photo, unlike=draw(st.booleans()))
    return replace(evidence, photo=photo, problems=draw(st.sampled_from([(), (FAULT,)])))


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(faulty())
def test_a_verdict_holds_together(decide: Callable[[Evidence], Verdict], evidence: Evidence) -> None:
    found = decide(evidence)
    chances = list(found.chances.values())
    assert sum(chances) == pytest.approx(1.0, abs=1e-9)
    assert chances == sorted(chances, reverse=True)
    assert sum(found.piles.values()) == pytest.approx(1.0, abs=1e-9)
    assert list(found.piles.values()) == sorted(found.piles.values(), reverse=True)
    assert found.likely == tuple(found.chances)[: len(found.likely)]
    assert found.likely
    assert found.confirm.startswith("Confirm at the yard: ")
    assert found.confirm.endswith("?'")
    left_out = any(reason.startswith("form ") for reason in found.reasons)
    on = {pile_of(name, evidence, form=not left_out) for name in found.likely}
    assert (found.pile is not None) == (len(on) == 1)
    assert found.pile is None or {found.pile.category.id} == on
    if found.sure:
        assert found.pile is not None
        assert found.piles[found.pile.category.id] >= 0.95
        assert not found.unlike_known
        assert found.next_check is None
    if found.next_check is not None:
        assert found.next_check.check not in evidence.answers
        assert ask.checks()[found.next_check.check].asked or found.next_check.check == "form"
        assert 0.0 <= found.next_check.settles <= 1.0 + 1e-9
        assert found.next_check.how


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(faulty())
def test_sure_is_one_pile_of_ninety_five_in_a_hundred_that_no_fault_decides(
    decide: Callable[[Evidence], Verdict], evidence: Evidence
) -> None:
    """Exactly then: the likely set on one pile, the part not unlike everything known, no two answers contrary to each
    other, and where the photo has a fault the same pile without it."""
    found = decide(evidence)
    blind = decide(replace(evidence, photo=None, problems=()))
    pile = found.pile.category.id if found.pile else ""
    contrary = any("hardly go together" in reason for reason in found.reasons)
    settled = found.piles.get(pile, 0.0) >= 0.95 and not found.unlike_known and not contrary
    assert found.sure == (settled and (not evidence.problems or blind.piles[pile] >= 0.95))


def pile_of(material: str, evidence: Evidence, *, form: bool) -> str:
    """The pile that the facts name, by the form that was answered or without it."""
    said = {name: answer.value for name, answer in evidence.answers.items() if form or name != "form"}
    return facts.category_of(material, *(said.get(name) for name in ("form", "thickness", "attached"))).category.id
