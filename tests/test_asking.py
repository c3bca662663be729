"""Asking: one question after another, the magnet first, never one that could hurt, until the pile is settled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from idkit import ask, facts, flows
from idkit.decide.asking import Allowed
from idkit.decide.known import Known
from idkit.decide.tables import Tables
from idkit.errors import IdkitError
from idkit.flows.piling import pile_of
from idkit.vocabulary import Check, Danger, Evidence

KNOWN = Known(Tables(flows.known_materials(), ask.checks(), pile_of), {})
SAMPLES = Path(__file__).resolve().parents[1] / "sample_images"
GREY = SAMPLES / "pump-body.jpg"
TYPED = {"marked": ("ZP5", "No. 7"), "came-out-of": ("garden pump", "no idea"), "weight-in-water": ("2.7 g/cm3",)}
"""What is tried where a line is typed and not a key pressed."""


def case_of(**typed: str) -> flows.Case:
    return flows.begin([], {name.replace("_", "-"): text for name, text in typed.items()}, flows.Context())


def test_a_photo_of_grey_metal_is_asked_for_the_magnet_first() -> None:
    case = flows.begin([GREY], {}, flows.Context(), every_cue=False)
    assert case.question is not None
    assert case.question.name == "magnet"


def test_a_question_that_was_passed_over_is_not_asked_again() -> None:
    case, put = case_of(magnet="none"), []
    while (check := case.question) is not None:
        put.append(check.name)
        case = case.skipped(check.name)
    assert len(put) == len(set(put))
    assert put[0] == "form"
    assert case.typed == {"magnet": "none"}


def test_the_answers_are_those_of_identify_whatever_their_order() -> None:
    """The loop asks, the command takes options: the same verdict for the same input."""
    typed = {"magnet": "none", "form": "casting", "weight": "660 g", "jar": "100 g"}
    looped = case_of(magnet="none")
    for name in ("form", "weight", "jar", "magnet"):
        more = {"weight": typed["weight"], "jar": typed["jar"]} if name in ("weight", "jar") else {name: typed[name]}
        looped = looped.answered(more)
    assert looped.identified.record.verdict == flows.identify([], typed).record.verdict


def test_an_answer_that_cannot_be_read_leaves_the_case_as_it_was() -> None:
    case = case_of(magnet="none")
    with pytest.raises(IdkitError, match="--form"):
        case.answered({"form": "blob"})
    assert case.typed == {"magnet": "none"}


def test_the_jar_is_asked_for_line_by_line() -> None:
    check = ask.checks()["weight-in-water"]
    assert [each.name for each in case_of(magnet="none").lines(check)] == ["weight", "jar"]
    assert [each.name for each in case_of(magnet="none", weight="660 g").lines(check)] == ["jar"]


def test_the_photo_is_looked_at_once_more_only_where_the_eye_takes_over() -> None:
    case = flows.begin([GREY], {}, flows.Context(), every_cue=False)
    first = case.seen
    assert case.answered({"magnet": "none"}).seen is first
    assert case.skipped("magnet").seen is first
    assert case.answered({"scratch-colour": "grey-white"}).seen is not first


# Wire -----------------------------------------------------------------------------------------------------------------


def test_wire_is_never_sure_without_its_cut_end() -> None:
    """Copper-clad aluminium and lacquered aluminium look like copper. Common practice, no source."""
    typed = {"form": "wire", "magnet": "none", "weight-in-water": "8.93 g/cm3", "inside": "same"}
    case = case_of(**typed)
    assert not case.identified.record.verdict.sure
    assert case.question is not None
    assert case.question.name == "cut-end"
    after = case.answered({"cut-end": "copper-red"})
    assert after.question is None or after.question.name != "cut-end"


def test_windings_owe_it_too_whatever_their_form() -> None:
    case = case_of(magnet="none", came_out_of="motor winding", form="assembly")
    plain = case_of(magnet="none", came_out_of="garden gate", form="assembly")
    assert plain.question is None or plain.question.name != "cut-end"
    assert "cut-end" in facts.form("wire").always
    assert case.question is None or case.question.name in {"cut-end", *(c.name for c in ask.checks().values())}


# Dangers --------------------------------------------------------------------------------------------------------------


def answers_to(case: flows.Case, check: Check, *, every: bool) -> Iterator[flows.Case]:
    """The case after each answer: passed over, and every key, or the first of them."""
    yield case.skipped(check.name)
    typed = [text for text, _ in check.choices] or list(TYPED[check.name])
    for text in typed if every else typed[:1]:
        yield case.answered({check.name: text})


def paths(case: flows.Case, *, every: bool) -> Iterator[Check]:
    """Every question on every path from here."""
    check = case.question
    if check is None:
        return
    yield check
    for after in answers_to(case, check, every=every):
        yield from paths(after, every=every)


MANY = 5  # acts forbidden, from which so few checks are left that every key of each can be tried


@pytest.mark.parametrize("danger", facts.dangers().values(), ids=lambda danger: danger.id)
def test_no_path_of_questions_proposes_what_a_danger_forbids(danger: Danger) -> None:
    """A casting out of such a thing: every path, by every key where much is forbidden, else by the first."""
    said = {"came-out-of": danger.words[0], "form": "casting"}
    case = flows.begin([], said, flows.Context())
    put = list(paths(case, every=len(danger.forbids) >= MANY))
    assert danger in case.identified.record.verdict.dangers
    assert not [check.name for check in put if set(check.acts) & set(danger.forbids)]
    assert bool(put) == ("handle" not in danger.forbids)


@pytest.mark.parametrize("form", facts.forms())
@pytest.mark.parametrize("danger", facts.dangers().values(), ids=lambda danger: danger.id)
def test_what_may_be_asked_holds_nothing_forbidden_whatever_the_form(danger: Danger, form: str) -> None:
    """The gate that every question passes: next_check proposes from this list alone, whatever was answered before."""
    met = facts.dangers_of(form, danger.words[0])
    evidence = Evidence(None, ask.read({"form": form}), "as-found")
    tools = tuple(check.tool for check in ask.checks().values() if check.tool)
    may = Allowed(flows.forbidden_by(met), tools=tools).of(KNOWN, evidence)
    assert danger in met
    assert not [check.name for check in may if set(check.acts) & set(danger.forbids)]


def test_without_a_danger_the_same_casting_is_filed_or_weighed() -> None:
    """Else the test above would be of questions that nobody asks anyway."""
    put = {check.name for check in paths(case_of(came_out_of="garden pump", form="casting"), every=False)}
    acts = {act for name in put for act in ask.checks()[name].acts}
    assert {"file", "wet"} <= acts


@pytest.mark.parametrize("form", [form.id for form in facts.forms().values() if form.id != "unknown"])
def test_what_water_harms_stays_dry_by_its_form_alone(form: str) -> None:
    wet = [check for check in paths(case_of(form=form, magnet="none"), every=False) if "wet" in check.acts]
    assert not wet or form not in facts.dangers()["keep-dry"].forms


def test_called_unsafe_it_is_left_closed() -> None:
    case = case_of(magnet="none", form="casting").unsafe()
    assert "called-unsafe" in {danger.id for danger in case.identified.record.verdict.dangers}
    assert not [check for check in paths(case, every=False) if set(check.acts) - {"handle"}]


def test_a_danger_in_a_mark_or_in_what_is_attached_counts_as_well() -> None:
    for typed in ({"marked": "BeCu"}, {"attached": "lithium battery"}):
        found = flows.identify([], {"magnet": "none", **typed}).record.verdict
        assert found.dangers


# Worked examples ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("readings", "material", "pile"),
    [
        ({"weight": "540 g", "jar": "200 g"}, "aluminium-cast", "aluminium-cast"),
        ({"weight": "540 g", "hung": "341 g"}, "aluminium-cast", "aluminium-cast"),
        ({"weight": "660 g", "jar": "100 g"}, "zinc-die-cast", "zinc"),
        ({"weight": "660 g", "hung": "560 g"}, "zinc-die-cast", "zinc"),
    ],
)
def test_castings_of_two_densities_by_jar_and_by_hanging(readings: dict[str, str], material: str, pile: str) -> None:
    """2.7 and 6.6 g/cm³: NADCA alloy data as die casters quote it."""
    found = flows.identify([], {"form": "casting", "magnet": "none", "attached": "none", **readings}).record.verdict
    assert next(iter(found.chances)) == material
    assert next(iter(found.piles)) == pile


def test_jar_and_hanging_that_disagree_are_refused() -> None:
    with pytest.raises(IdkitError, match="--jar, --hung"):
        ask.read({"weight": "660 g", "jar": "100 g", "hung": "500 g"})


def test_an_aluminium_casting_with_a_tenth_of_steel_in_it_is_nothing_else() -> None:
    """It reads 2.93 g/cm³: fact sheet, section 2, derived."""
    typed = {"form": "casting", "magnet": "in-places", "weight": "586 g", "jar": "200 g", "attached": "steel screws"}
    found = flows.identify([], typed).record.verdict
    assert found.piles["aluminium-cast"] > 0.8
    assert next(iter(found.chances)) == "aluminium-cast"


def test_a_hollow_brass_part_is_not_called_zinc_for_sure() -> None:
    """A fifth of void turns 8.5 into 6.8 g/cm³: fact sheet, section 2, derived."""
    typed = {"form": "fitting", "magnet": "none", "hollow": "yes", "weight": "680 g", "jar": "100 g"}
    found = flows.identify([], typed).record.verdict
    assert not (found.sure and found.pile and found.pile.category.id == "zinc")
    assert "yellow-brass" in found.likely


def test_a_brass_coloured_casting_without_a_scratch_may_be_plated_zinc(photo_brass: Path) -> None:
    found = flows.identify([photo_brass], {"form": "casting", "magnet": "none"}).record.verdict
    assert "brass-plated-zinc" in found.likely


@pytest.fixture
def photo_brass() -> Path:
    """The rendered brass tap, as found."""
    return SAMPLES / "tap.jpg"


def test_too_light_for_its_scale_is_an_answer_with_the_weight_that_would_do() -> None:
    """195 g on a 1 g scale part zinc from brass: fact sheet, section 2, derived; said rounded up."""
    typed = {"form": "fitting", "magnet": "none", "weight": "50 g", "scratch-colour": "grey-white"}
    reasons = " ".join(flows.identify([], typed).record.verdict.reasons)
    assert "too light for this scale to tell" in reasons
    heavy = " ".join(flows.identify([], {**typed, "weight": "5000 g"}).record.verdict.reasons)
    assert "too light" not in heavy


def test_answers_that_contradict_each_other_are_said_and_never_sure() -> None:
    typed = {"magnet": "strong", "weight-in-water": "2.70 g/cm3", "attached": "none"}
    found = flows.identify([], typed).record.verdict
    assert any("hardly go together" in reason for reason in found.reasons)
    assert not found.sure
    weighed = flows.identify([], {"magnet": "strong", "weight": "540 g", "jar": "200 g"}).record.verdict
    assert any("hardly go together" in reason for reason in weighed.reasons)
    fitting = flows.identify([], {"magnet": "strong", "weight-in-water": "7.85 g/cm3"}).record.verdict
    assert not any("hardly go together" in reason for reason in fitting.reasons)


def test_a_magnetic_copper_look_is_no_contradiction() -> None:
    """Copper over steel is common: published coins and coaxial wire. Fact sheet, sections 3 and 5."""
    found = flows.identify([], {"magnet": "strong", "scratch-colour": "copper-red"}).record.verdict
    assert not any("hardly go together" in reason for reason in found.reasons)


@pytest.mark.parametrize(
    "typed",
    [
        {"floats": "yes", "weight": "1134 g", "jar": "100 g"},  # lead sinks: 11.3 g/cm³
        {"scratch-colour": "copper-red", "cut-end": "brass-yellow"},
        {"inside": "same", "scratch-colour": "copper-red", "cut-end": "grey-white"},
    ],
)
def test_a_surer_answer_of_one_sense_does_not_hide_that_the_other_is_contrary(typed: Mapping[str, str]) -> None:
    found = flows.identify([], typed).record.verdict
    assert any("hardly go together" in reason for reason in found.reasons)
    assert not found.sure


@pytest.mark.parametrize(
    "typed",
    [
        {"floats": "no", "weight": "1134 g", "jar": "100 g"},
        {"heft": "heavier than brass", "weight": "1134 g", "jar": "100 g"},
        {
            "scratch-colour": "grey-white",
            "cut-end": "brass-yellow",
            "magnet": "none",
        },  # chrome that was not cut through
        {"scratch-colour": "copper-red", "cut-end": "red-over-grey"},  # copper over steel
    ],
)
def test_answers_of_one_sense_that_one_material_gives_go_together(typed: Mapping[str, str]) -> None:
    found = flows.identify([], typed).record.verdict
    assert not any("hardly go together" in reason for reason in found.reasons)


def test_a_form_that_decides_the_pile_is_left_out_where_all_else_speaks_against_it() -> None:
    """A wire rope is called a cable too. Common practice, no source."""
    rope = {"form": "cable", "magnet": "strong", "cut-end": "grey-white", "came-out-of": "steel wire rope"}
    found = flows.identify([], rope).record
    assert found.answers["form"].value == "cable"
    assert not found.verdict.sure
    assert found.verdict.pile is None or found.verdict.pile.category.id != "insulated-cable"
    assert any(reason.startswith("form cable") for reason in found.verdict.reasons)


@pytest.mark.parametrize(
    "typed",
    [
        {"form": "cable", "magnet": "none", "cut-end": "copper-red"},
        {"form": "cable", "magnet": "none", "cut-end": "grey-white"},  # aluminium
        {"form": "motor", "magnet": "strong", "came-out-of": "washing machine"},
        {"form": "motor", "magnet": "none"},
        {"form": "board", "magnet": "weak"},
        {"form": "sealed-unit", "magnet": "strong", "came-out-of": "fridge"},
    ],
)
def test_a_form_that_decides_the_pile_stands_where_the_answers_fit_it(typed: Mapping[str, str]) -> None:
    found = flows.identify([], typed).record.verdict
    assert found.sure
    assert found.pile is not None
    assert found.pile.category.id == facts.form(typed["form"]).category


def test_a_closed_thing_goes_on_no_pile_by_its_form_alone() -> None:
    """A compressor is what the pile of sealed units is for; a gas bottle is not. Common practice, no source."""
    found = flows.identify([], {"form": "sealed-unit", "came-out-of": "gas bottle"}).record.verdict
    assert found.pile is None
    assert not found.sure
    assert "closed as it is" in found.confirm


def test_nothing_more_is_asked_of_what_is_left_where_it_lies() -> None:
    found = flows.identify([], {"came-out-of": "smoke detector"}).record.verdict
    assert found.next_check is None
