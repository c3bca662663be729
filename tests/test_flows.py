"""Whole paths: from photos and answers to a verdict, on rendered samples and worked examples."""

from __future__ import annotations

import csv
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit import facts, flows
from idkit.errors import AnswerError, CallError, IdkitError, PhotoError
from idkit.show import words
from idkit.vocabulary import Form, Verdict

ROOT = Path(__file__).resolve().parents[1]
SAMPLES = ROOT / "sample_images"
COINS = ROOT.parent / "shared" / "photos" / "coins"
Row = Mapping[str, str]


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


ROWS = rows_of(SAMPLES / "index.csv")
of_each_sample = pytest.mark.parametrize("row", ROWS, ids=lambda row: row["file"])


def typed(row: Row) -> dict[str, str]:
    """What a person would have measured: magnet, form, thickness, weight and jar."""
    return {
        "magnet": row["magnet"],
        "form": row["form"],
        "thickness": f"{row['thickness_mm']} mm",
        "weight": f"{row['weight_g']} g",
        "jar": f"{row['jar_g']} g",
    }


def with_photo(row: Row, answers: Mapping[str, str]) -> flows.Identified:
    box = tuple(int(side) for side in row["scratch"].split(",")) if row["scratch"] else None
    return flows.identify([SAMPLES / row["file"]], answers, surface=row["surface"], scratch=box)


def answered(given: Mapping[str, str], *files: str) -> Verdict:
    return flows.identify([SAMPLES / file for file in files], given).record.verdict


def first_of(found: Verdict) -> str:
    return next(iter(found.chances))


# Samples --------------------------------------------------------------------------------------------------------------


@of_each_sample
def test_photo_and_all_answers_keep_the_truth_and_the_right_pile(row: Row) -> None:
    """With magnet, form, thickness and weight in water the truth is always likely, and what is sure is right."""
    found = with_photo(row, typed(row)).record.verdict
    assert sum(found.chances.values()) == pytest.approx(1.0, abs=1e-9)
    assert row["material"] in found.likely
    assert not found.sure or found.pile == facts.category_of(
        row["material"], row["form"], float(row["thickness_mm"]) / 1000, None
    )


def test_photo_and_all_answers_put_the_truth_first_for_most() -> None:
    """At least 7 of the 10: copper against tinned copper, and brass against chromed brass, weigh the same."""
    right = [row["file"] for row in ROWS if first_of(with_photo(row, typed(row)).record.verdict) == row["material"]]
    assert len(right) >= 7, right


@of_each_sample
def test_answers_alone_keep_the_truth(row: Row) -> None:
    found = answered(typed(row))
    assert sum(found.chances.values()) == pytest.approx(1.0, abs=1e-9)
    assert row["material"] in found.likely


@of_each_sample
def test_a_photo_alone_is_never_sure_and_wrong(row: Row) -> None:
    found = with_photo(row, {}).record.verdict
    assert sum(found.chances.values()) == pytest.approx(1.0, abs=1e-9)
    assert not found.sure
    assert found.next_check is not None


@of_each_sample
def test_the_record_says_what_was_seen_and_measured(row: Row) -> None:
    record = with_photo(row, typed(row)).record
    assert record.part == Path(row["file"]).stem
    assert record.surface == row["surface"]
    assert [photo.file for photo in record.photos] == [str(SAMPLES / row["file"])]
    assert record.density is not None
    expected = 998.0 * float(row["weight_g"]) / float(row["jar_g"])  # mass over buoyancy, in water at room temperature
    assert record.density[0] == pytest.approx(expected, rel=0.01)
    assert record.density[1] > 0
    assert record.model == (flows.starter().name, flows.starter().digest)
    assert record.box is not None
    assert {reading.name for reading in record.photos[0].readings} >= set(flows.starter().cues)


# Worked examples ------------------------------------------------------------------------------------------------------

WITH = [(), ("pump-body.jpg",), ("hinge.jpg",)]
MAGNETS: list[dict[str, str]] = [{}, {"magnet": "none"}]


@pytest.mark.parametrize("magnet", MAGNETS, ids=["", "no pull"])
@pytest.mark.parametrize("files", WITH, ids=["no photo", "pump body", "hinge"])
def test_a_casting_of_2_7_is_aluminium(files: tuple[str, ...], magnet: dict[str, str]) -> None:
    """540 g over 200 g of water is 2.7 g/cm³, which only aluminium is among castings. Die casters' tables, from memory:
    aluminium 2.63 to 2.78, magnesium 1.8, zinc 6.6."""
    found = answered({"form": "casting", "weight": "540 g", "jar": "200 g", **magnet}, *files)
    assert first_of(found) == "aluminium-cast"
    assert found.sure
    assert found.pile is not None
    assert found.pile.category.id == "aluminium-cast"


@pytest.mark.parametrize("magnet", MAGNETS, ids=["", "no pull"])
@pytest.mark.parametrize("files", WITH, ids=["no photo", "pump body", "hinge"])
def test_a_casting_of_6_6_is_zinc(files: tuple[str, ...], magnet: dict[str, str]) -> None:
    """660 g over 100 g of water is 6.6 g/cm³: a zinc die casting, plated or not, all on one pile."""
    found = answered({"form": "casting", "weight": "660 g", "jar": "100 g", **magnet}, *files)
    assert first_of(found) == "zinc-die-cast"
    assert found.sure
    assert found.pile is not None
    assert found.pile.category.id == "zinc"


@pytest.mark.parametrize("form", ["unknown", "wire", "bar", "sheet"])
def test_copper_coloured_and_magnetic_is_copper_over_steel(form: str) -> None:
    """1, 2 and 5 cent coins are copper-covered steel (European Commission, coin specifications); hard-drawn copper-clad
    steel conductors are ASTM B869; both from memory."""
    found = answered({"scratch-colour": "copper-red", "magnet": "strong", "form": form})
    assert first_of(found) == "copper-clad-steel"
    assert found.chances["copper-clad-steel"] > 5 * found.chances["copper"]


def test_copper_coloured_and_not_magnetic_is_not_copper_over_steel() -> None:
    found = answered({"scratch-colour": "copper-red", "magnet": "none", "form": "wire"})
    assert first_of(found) == "copper"
    assert "copper-clad-steel" not in found.likely


def test_steel_screws_left_on_explain_a_magnet() -> None:
    """A screw can pull the magnet: where one is on it, a pull speaks less against aluminium. Common practice."""
    given = {"form": "casting", "scratch-colour": "grey-white", "thickness": "4 mm", "magnet": "strong"}
    bare, screwed = (answered({**given, "attached": on}) for on in ("none", "steel screws"))
    assert screwed.chances["aluminium-cast"] > 3 * bare.chances["aluminium-cast"]


@pytest.mark.parametrize(("on", "state"), [("", "unknown"), ("none", "clean"), ("brass nut", "dirty")])
def test_what_is_still_on_it_makes_the_pile_dirty(on: str, state: str) -> None:
    """On a motor, whose pile the form decides."""
    pile = answered({"form": "motor", "attached": on}).pile
    assert pile is not None
    assert pile.state == state


def test_a_coarse_scale_cannot_settle_a_small_part() -> None:
    """5 g over 1 g on a 1 g scale may be anything from aluminium to steel."""
    fine = answered({"form": "casting", "magnet": "none", "weight": "660 g", "jar": "100 g"})
    coarse = answered({"form": "casting", "magnet": "none", "weight": "7 g", "jar": "1 g"})
    assert fine.sure
    assert not coarse.sure


@pytest.mark.parametrize("form", [form for form in facts.forms().values() if form.category], ids=lambda form: form.id)
def test_boards_cables_motors_and_sealed_units_are_piled_by_form(form: Form) -> None:
    found = answered({"form": form.id, "magnet": "in-places"})
    assert found.pile is not None
    assert found.pile.category.id == form.category
    assert found.sure


def test_even_takes_no_account_of_what_is_common() -> None:
    given = {"form": "casting", "magnet": "none"}
    plain, even = (flows.identify([], given, even=flag).record.verdict for flag in (False, True))
    assert even.chances["titanium"] > plain.chances["titanium"]
    assert even.chances["copper"] == pytest.approx(even.chances["cupronickel"], rel=0.1)


@pytest.mark.parametrize(
    ("words", "note", "danger"),
    [
        ({"came-out-of": "an old smoke detector"}, "", "radioactive"),
        ({"marked": "BeCu non-sparking"}, "", "beryllium-copper"),
        ({"came-out-of": "laptop"}, "", "lithium-battery"),
        ({}, "there is a spring loaded arm inside", "spring-load"),
        ({"hollow": "yes"}, "", "keep-dry"),
    ],
)
def test_dangers_in_what_it_came_out_of_its_marks_or_notes_are_shown(
    words: dict[str, str], note: str, danger: str
) -> None:
    """OSHA 3348 and 29 CFR 1910.1024; US EPA on lithium batteries: see the sources in do-not.csv."""
    found = flows.identify([], {"magnet": "none", **words}, note=note).record.verdict
    assert danger in {each.id for each in found.dangers}
    plain = flows.identify([], {"magnet": "none"}).record.verdict
    assert danger not in {each.id for each in plain.dangers}


def test_what_it_came_out_of_brings_its_cautions() -> None:
    """The cautions column of objects.csv."""
    origin = next(each for each in facts.origins().values() if each.cautions)
    said = " ".join((origin.objects[0], *origin.parts[:1]))
    found = flows.identify([], {"came-out-of": said}).record.verdict
    assert set(origin.cautions) <= {caution.id for caution in found.cautions}


# Several photos, and photos that can't be read ------------------------------------------------------------------------


def test_the_same_photo_twice_says_no_more_than_once(tmp_path: Path) -> None:
    copy = tmp_path / "again.jpg"
    shutil.copy(SAMPLES / "tap.jpg", copy)
    once = flows.identify([SAMPLES / "tap.jpg"], {"form": "fitting"}).record
    twice = flows.identify([SAMPLES / "tap.jpg", copy, copy], {"form": "fitting"}).record
    assert dict(twice.verdict.chances) == pytest.approx(dict(once.verdict.chances))
    assert len(twice.photos) == 1


def test_two_photos_in_either_order_say_the_same() -> None:
    one, two = (answered({"form": "fitting"}, *files) for files in (("tap.jpg", "elbow.jpg"), ("elbow.jpg", "tap.jpg")))
    assert dict(one.chances) == pytest.approx(dict(two.chances))


def test_unreadable_photos_among_readable_ones_are_given_back(tmp_path: Path) -> None:
    text, missing, short = tmp_path / "note.jpg", tmp_path / "gone.jpg", tmp_path / "short.jpg"
    text.write_text("not a photo", encoding="utf-8")
    short.write_bytes((SAMPLES / "tap.jpg").read_bytes()[:2000])
    found = flows.identify([text, SAMPLES / "tap.jpg", missing, short], {})
    assert [photo.file for photo in found.record.photos] == [str(SAMPLES / "tap.jpg")]
    assert [str(error).split(":")[0] for error in found.unread] == [str(path) for path in (text, missing, short)]
    assert all(isinstance(error, PhotoError) and "\n" not in str(error) for error in found.unread)
    alone = flows.identify([SAMPLES / "tap.jpg"], {})
    assert dict(found.record.verdict.chances) == pytest.approx(dict(alone.record.verdict.chances))


def test_nothing_readable_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PhotoError, match="no such file"):
        flows.identify([tmp_path / "gone.jpg", tmp_path / "too.jpg"], {"magnet": "none"})


# Calls that are wrong -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("given", [{}, {"magnet": "  "}])
def test_nothing_given_is_refused(given: dict[str, str]) -> None:
    with pytest.raises(CallError, match="no photo and no answer"):
        flows.identify([], given)


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({"magnet": "sticky"}, AnswerError),
        ({"colour": "red"}, AnswerError),
        ({"form": "blob"}, AnswerError),
        ({"weight": "heavy"}, CallError),
        ({"jar": "100 g"}, CallError),
    ],
)
def test_a_wrong_answer_is_refused_in_one_line(given: dict[str, str], expected: type[IdkitError]) -> None:
    with pytest.raises(expected) as refused:
        flows.identify([], given)
    assert "\n" not in str(refused.value)
    assert "right is" in str(refused.value)


def test_a_scratch_outside_the_picture_is_refused() -> None:
    with pytest.raises(CallError, match="inside the picture"):
        flows.identify([SAMPLES / "tap.jpg"], {}, scratch=(0, 0, 100_000, 10))


# Photos that say nothing ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("named", [{"surface": "scratched"}, {"scratch": (100, 100, 300, 200)}], ids=["said", "boxed"])
def test_bare_metal_that_fills_the_frame_is_read(tmp_path: Path, named: dict[str, object]) -> None:
    """There is no ground to find a part on; nothing is read of such a photo that nobody calls scratched."""
    random = np.random.default_rng(1)
    brass = np.array([120, 185, 205]) + random.normal(0, 6, (400, 500, 1)) + random.normal(0, 2, (400, 500, 3))
    path = tmp_path / "close.png"
    assert cv2.imwrite(str(path), np.clip(brass, 0, 255).astype(np.uint8))
    assert flows.identify([path], {"magnet": "none"}).record.photos[0].families == {}
    families = flows.identify([path], {"magnet": "none"}, **named).record.photos[0].families
    assert max(families, key=families.__getitem__) == "brass-yellow"


@pytest.fixture
def silent(tmp_path: Path) -> dict[str, Path]:
    """Photos of a tap in greyscale, and of bare paper of a pale cream."""
    tap = cv2.imread(str(SAMPLES / "tap.jpg"))
    grey = cv2.cvtColor(cv2.cvtColor(tap, cv2.COLOR_BGR2GRAY), cv2.COLOR_GRAY2BGR)
    paper = np.random.default_rng(1).normal((205, 225, 235), 2, (400, 600, 3))
    pictures = {"greyscale": grey, "no part": paper}
    for name, picture in pictures.items():
        assert cv2.imwrite(str(tmp_path / f"{name}.png"), np.clip(picture, 0, 255).astype(np.uint8))
    return {name: tmp_path / f"{name}.png" for name in pictures}


@pytest.mark.parametrize(
    ("how", "told"), [("greyscale", "nothing of the colour: it is in greyscale"), ("no part", "nothing of the part")]
)
def test_a_photo_that_says_nothing_says_so_and_names_no_metal(silent: dict[str, Path], how: str, told: str) -> None:
    found = flows.identify([silent[how]], {})
    verdict = found.record.verdict
    assert found.seen[0].evidence is None
    assert dict(found.record.photos[0].families) == {}
    assert found.record.colour is None
    assert told in verdict.reasons[0]
    assert not any("the photo shows" in reason for reason in verdict.reasons)
    assert not verdict.simulated
    assert "I can't name this one" in verdict.confirm
    assert words.headline(verdict) not in [line for _, line in words.lines(found.record)]


@pytest.mark.parametrize("how", ["greyscale", "no part"])
def test_beside_a_photo_that_says_nothing_answers_and_other_photos_count_as_without_it(
    silent: dict[str, Path], how: str
) -> None:
    given = {"magnet": "none", "form": "fitting"}
    alone, beside = (flows.identify(photos, given).record.verdict for photos in ([], [silent[how]]))
    assert dict(beside.chances) == pytest.approx(dict(alone.chances))
    assert beside.confirm == alone.confirm
    tap = SAMPLES / "tap.jpg"
    one, two = (flows.identify(photos, given).record.verdict for photos in ([tap], [tap, silent[how]]))
    assert dict(two.chances) == pytest.approx(dict(one.chances))
    assert two.reasons[0].startswith(f"{how}.png says nothing of")


# What a run costs -----------------------------------------------------------------------------------------------------


def test_identify_loads_neither_scikit_learn_nor_matplotlib() -> None:
    """scikit-learn is for training, matplotlib for reports, Mitsuba for rendering: each takes long to load."""
    code = (
        "import sys\nfrom pathlib import Path\nfrom idkit import identify\n"
        f"identify([Path({str(SAMPLES / 'tap.jpg')!r})], {{'magnet': 'none', 'weight': '651 g', 'jar': '76.8 g'}})\n"
        "print([name for name in ('sklearn', 'matplotlib', 'mitsuba') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# Real photographs -----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def coins() -> list[dict[str, str]]:
    """Every ninth of the coins with white in view, as many of each colour as there are."""
    if not (COINS / "labels.csv").is_file():
        pytest.skip("the photographs of coins are not part of this project (looked beside it, in shared/photos/coins)")
    rows = [row for row in rows_of(COINS / "labels.csv") if row["white_in_view"] == "yes"]
    return [row for row in rows if row["colour_family"] != "two-tone"][::9]


def test_real_coins_are_seen_in_their_colour(coins: list[dict[str, str]]) -> None:
    """Copper-covered steel is copper red, Nordic gold brass yellow (European Commission, coin specifications): three in
    four at least, where the photo has white in view."""
    seen = []
    for row in coins:
        families = flows.identify([COINS / row["file"]], {}).record.photos[0].families
        seen.append(bool(families) and max(families, key=families.__getitem__) == row["colour_family"])
    assert len(seen) > 20
    assert sum(seen) / len(seen) > 0.75


def test_real_copper_coins_that_a_magnet_pulls_are_copper_over_steel(coins: list[dict[str, str]]) -> None:
    """Nine in ten keep the truth in the likely set; none is sure to be copper, which would spoil the copper pile."""
    copper = [row for row in coins if row["colour_family"] == "copper-red"]
    found = [answered_coin(row) for row in copper]
    assert sum("copper-clad-steel" in verdict.likely for verdict in found) >= 0.9 * len(found)
    assert not any(verdict.sure and verdict.pile and verdict.pile.category.id == "copper" for verdict in found)


def answered_coin(row: Row) -> Verdict:
    return flows.identify([COINS / row["file"]], {"magnet": row["magnet"]}).record.verdict


# Bare metal -----------------------------------------------------------------------------------------------------------


def test_bare_metal_that_is_found_counts_as_far_as_it_is_sure() -> None:
    """The filed valve without its box: brass gains over the plating alone, and less than with that very spot named."""
    row = next(row for row in ROWS if row["scratch"])
    unasked = flows.identify([SAMPLES / row["file"]], {})
    photo = unasked.record.photos[0]
    assert photo.bare is not None
    assert photo.bare_certainty >= flows.WORTH_SAYING
    assert any(reason.startswith("bare metal seems to show at") for reason in unasked.record.verdict.reasons)
    eye = flows.identify([SAMPLES / row["file"]], {"scratch-colour": "brass-yellow"})
    assert eye.record.photos[0].bare is None  # what the eye saw bare counts once
    named = flows.identify([SAMPLES / row["file"]], {}, scratch=photo.bare).record.photos[0].families["brass-yellow"]
    skin = eye.record.photos[0].families["brass-yellow"]
    assert skin < photo.families["brass-yellow"] <= max(named, skin) + 0.05


@pytest.mark.parametrize(
    ("box", "told"), [((5, 500, 60, 60), "beside the part"), ((340, 170, 5, 5), "25 pixels fit to judge")]
)
@pytest.mark.parametrize("given", [{}, {"magnet": "none", "scratch-colour": "brass-yellow"}], ids=["", "answered"])
def test_a_box_that_cannot_be_read_is_said_and_the_part_judged_as_if_it_had_not_been_named(
    box: flows.Box, told: str, given: dict[str, str]
) -> None:
    photo = SAMPLES / next(row for row in ROWS if row["scratch"])["file"]
    plain, found = (flows.identify([photo], given, scratch=named).record for named in (None, box))
    (said,) = (problem for problem in found.photos[0].problems if problem not in plain.photos[0].problems)
    assert told in said
    assert found.surface == plain.surface == "as-found"
    assert dict(found.verdict.chances) == pytest.approx(dict(plain.verdict.chances))
    assert found.verdict.reasons == plain.verdict.reasons
    assert found.photos[0].bare == plain.photos[0].bare
    assert found.colour == plain.colour


def test_a_box_that_can_be_read_makes_the_surface_scratched() -> None:
    row = next(row for row in ROWS if row["scratch"])
    x, y, width, height = (int(side) for side in row["scratch"].split(","))
    assert flows.identify([SAMPLES / row["file"]], {}, scratch=(x, y, width, height)).record.surface == "scratched"


def test_families_of_a_mixture_sum_to_one() -> None:
    for row in ROWS:
        photo = flows.identify([SAMPLES / row["file"]], {}, every_cue=False).record.photos[0]
        assert sum(photo.families.values()) == pytest.approx(1.0)


def test_a_battery_still_on_it_keeps_files_and_water_away() -> None:
    """What is attached is held against the dangers like what the part came out of."""
    grey = {"magnet": "none", "thickness": "3 mm", "form": "casting"}
    asked = flows.identify([], {**grey, "attached": "lithium battery"}).record.verdict
    assert any("lithium" in danger.message.lower() for danger in asked.dangers)
    assert asked.next_check is None or asked.next_check.check not in ("weight-in-water", "scratch-colour", "inside")
    plain = flows.identify([], grey).record.verdict
    assert plain.next_check is not None
    assert not plain.dangers


def test_photos_that_look_like_two_metals_are_said_to() -> None:
    """A brass tap and a grey hinge given as one part; two photos of one kind of part are not."""
    told = answered({}, "tap.jpg", "hinge.jpg")
    assert "tap.jpg and hinge.jpg look like different metals" in told.reasons[0]
    assert not told.sure
    alike = answered({}, "hinge.jpg", "pump-body.jpg")
    assert not any("different metals" in reason for reason in alike.reasons)
