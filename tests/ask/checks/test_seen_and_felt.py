"""Cut end, file, knife, dulling, ring, sparks and meter: order and contrast against what is published or practised."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from idkit import ask, facts
from idkit.errors import AnswerError, CallError
from idkit.vocabulary import Answers, Material

CHECKS = ask.checks()


def chance(check: str, said: str, material: str, others: Answers | None = None) -> float:
    return CHECKS[check].likelihood(facts.material(material), CHECKS[check].parse(said), others or {})


CUT_ENDS = [
    ("copper", "copper-red"), ("yellow-brass", "brass-yellow"), ("red-brass", "orange-gold"), ("lead", "grey-white"),
    ("cast-iron", "dark-granular"), ("tinned-copper", "silver-over-red"), ("copper-clad-steel", "red-over-grey"),
    ("copper-clad-aluminium", "red-over-grey"), ("copper-clad-zinc", "red-over-grey"), ("plastic", "not-metal"),
    ("aluminium-winding", "red-over-grey"), ("chromed-brass", "silver-over-yellow"), ("chromed-plastic", "not-metal"),
    ("brass-plated-zinc", "yellow-over-grey"),
]  # fmt: skip


@pytest.mark.parametrize(("material", "looks"), CUT_ENDS)
def test_a_cut_end_shows_core_and_skin(material: str, looks: str) -> None:
    """Grey core in copper-clad steel: Fisk Alloy [S]; pink core in tinned copper, yellow under chrome: common practice,
    no source."""
    options = [outcome.answer.value for outcome in CHECKS["cut-end"].outcomes({})]
    assert max(options, key=lambda said: chance("cut-end", str(said), material)) == looks


@pytest.mark.parametrize("form", ["casting", "motor", "board", "sealed-unit", "assembly", "fitting"])
def test_what_is_not_cut_through_is_not_proposed_for_it(form: str) -> None:
    assert CHECKS["cut-end"].outcomes(ask.read({"form": form})) == ()


@pytest.mark.parametrize("form", ["wire", "cable", "tube", "sheet", "fastener", "unknown"])
def test_what_snips_go_through_may_be_cut(form: str) -> None:
    assert len(CHECKS["cut-end"].outcomes(ask.read({"form": form}))) == 11


def test_scratch_and_inside_yield_to_the_cut_end_and_never_the_other_way() -> None:
    cut = ask.read({"cut-end": "red-over-grey"})
    for check, said in (("inside", "same"), ("scratch-colour", "copper-red")):
        seen = {chance(check, said, id, cut) for id in facts.materials()}
        assert seen == {1.0 / len(CHECKS[check].outcomes({}))}
        asked = ask.read({check: said})
        assert chance("cut-end", "red-over-grey", "lead", asked) == chance("cut-end", "red-over-grey", "lead")


def test_softer_metals_give_way_more() -> None:
    """Lead HB 4 to 12, tin 4 to 25, aluminium 28 to 75 (3003-O 28: makeitfrom.com [V]), brass from HRB 55, steel 90 to
    200; the rest from memory."""
    order = ("lead", "tin", "aluminium-wrought", "yellow-brass", "carbon-steel")
    unmarked = [chance("knife-or-nail", "neither", id) for id in order]
    assert unmarked == sorted(unmarked)
    assert len(set(unmarked)) == len(order)
    assert chance("knife-or-nail", "nail", "lead") > 0.5 > chance("knife-or-nail", "nail", "tin")


FILED = [
    ("cast-iron", "black-powder"), ("aluminium-wrought", "clogs"), ("yellow-brass", "chips"), ("carbon-steel", "curls"),
    ("zinc-die-cast", "chips"), ("lead", "clogs"),
]  # fmt: skip


@pytest.mark.parametrize(("material", "feel"), FILED)
def test_what_a_file_takes_off(material: str, feel: str) -> None:
    """Cast iron to dark powder, aluminium clogs, leaded brass in short chips, zinc without gum. Common practice."""
    assert chance("file-feel", feel, material) > 0.6


def test_a_file_skates_on_chrome_and_on_hard_steel_but_not_on_soft_metal() -> None:
    """Common practice, no source."""
    skates = {id: chance("file-feel", "skates", id) for id in facts.materials()}
    assert skates["chromed-zinc"] > 5.0 * skates["zinc-die-cast"]
    assert skates["chromed-steel"] > skates["carbon-steel"] > 2.0 * skates["lead"]


def test_lead_alone_dulls_within_minutes() -> None:
    """Bright when cut, then dull: US Army OD1643 lesson 1 [V]; zinc within days: common practice, no source."""
    dull = {id: chance("dulls", "yes", id) for id in facts.materials()}
    assert dull["lead"] > 0.8
    assert all(other < dull["lead"] / 4.0 for id, other in dull.items() if id != "lead")


def test_sparks_are_asked_for_only_where_a_magnet_pulls_strongly() -> None:
    asked = {pull for pull in ("none", "weak", "strong", "in-places") if _spark({"magnet": pull})}
    assert asked == {"strong"}
    assert not _spark({})
    assert not _spark({"magnet": "strong", "form": "sealed-unit"})


def _spark(typed: Mapping[str, str]) -> tuple[object, ...]:
    return CHECKS["spark"].outcomes(ask.read(typed))


def test_sparks_part_steel_from_cast_iron() -> None:
    """Forked bright bursts from low-carbon steel, short dull red ones from grey iron: US Army OD1643 lesson 1 [V]."""
    assert chance("spark", "long-white", "carbon-steel") > 5.0 * chance("spark", "long-white", "cast-iron")
    assert chance("spark", "short-red", "cast-iron") > 5.0 * chance("spark", "short-red", "carbon-steel")
    assert chance("spark", "none", "copper") > 0.8


def test_a_meter_tells_lacquer_and_chromed_plastic_from_bare_metal() -> None:
    """Common practice, no source."""
    assert chance("meter", "scratch-only", "aluminium-winding") > 0.8 > chance("meter", "scratch-only", "copper")
    assert chance("meter", "skin-only", "chromed-plastic") > 10.0 * chance("meter", "skin-only", "chromed-zinc")
    assert chance("meter", "neither", "plastic") > 0.7
    assert chance("meter", "scratch-only", "aluminium-wrought") > 3.0 * chance(
        "meter", "scratch-only", "copper-clad-zinc"
    )


def test_what_is_on_it_damps_the_ring() -> None:
    """Common practice, no source."""
    clamped = ask.read({"attached": "rubber gasket"})
    assert chance("ring", "rings", "yellow-brass", clamped) < chance("ring", "rings", "yellow-brass")
    assert chance("ring", "rings", "lead") < 0.2 < 0.6 < chance("ring", "rings", "carbon-steel")


@pytest.mark.parametrize("check", ["cut-end", "file-feel", "knife-or-nail", "drag", "meter", "spark", "ring"])
def test_a_wrong_answer_names_the_option_as_it_is_typed(check: str) -> None:
    right = CHECKS[check].choices[0][0]
    with pytest.raises(AnswerError, match=f"^--answer {check}: got .*right is .*did you mean --answer {check}={right}"):
        CHECKS[check].parse(right[:-1])


def test_yes_or_no() -> None:
    assert [CHECKS["floats"].parse(typed).value for typed in ("y", "No", " YES ")] == ["yes", "no", "yes"]
    with pytest.raises(CallError, match="^--answer dulls: got 'perhaps'; right is yes or no"):
        CHECKS["dulls"].parse("perhaps")


def test_the_fixtures_of_these_tests_say_what_the_table_says(known: Mapping[str, Material]) -> None:
    """So that what is asked of the few materials here holds for the table too."""
    for id, mine in known.items():
        table = facts.material(id)
        assert (mine.filings, mine.core) == (table.filings, table.core) or id == "aluminium-winding", id
