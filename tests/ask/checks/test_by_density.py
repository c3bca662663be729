"""Heft, size, floating and drag: what weight, volume and conductivity say, against numbers that were published."""

from __future__ import annotations

import csv
from math import log, pi
from pathlib import Path

import pytest

from idkit import ask, facts
from idkit.errors import AnswerError, CallError
from idkit.vocabulary import Answers

CHECKS = ask.checks()


def chance(check: str, said: str, material: str, typed: dict[str, str] | None = None) -> float:
    return CHECKS[check].likelihood(facts.material(material), CHECKS[check].parse(said), ask.read(typed or {}))


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("heavier", "heavier than aluminium"),
        ("Lighter", "lighter than aluminium"),
        ("same", "same as aluminium"),
        ("heavier than aluminum", "heavier than aluminium"),
        ("lighter than steel", "lighter than steel"),
        ("same as yellow-brass", "same as brass"),
        ("same as yellow brass", "same as brass"),
        ("heavier than titanium", "heavier than titanium"),
        ("lighter-than-nickel-silver", "lighter than nickel-silver"),
    ],
)
def test_heft_names_the_known_piece(typed: str, value: str) -> None:
    assert CHECKS["heft"].parse(typed).value == value
    assert CHECKS["heft"].parse(value).value == value


@pytest.mark.parametrize("typed", ["heavy", "heavier than something else", "lighter than cheese", "same as gold"])
def test_heft_against_what_is_not_known_is_refused(typed: str) -> None:
    with pytest.raises(AnswerError, match="^--answer heft: got .*right is lighter than, same as or heavier than"):
        CHECKS["heft"].parse(typed)


def test_a_hand_says_nothing_of_like_densities_and_errs_by_slips_on_unlike_ones() -> None:
    """Solid clean pieces; steel is 1.08 times lighter than brass, lead 1.33 times heavier, aluminium 3.1 lighter."""
    solid = {"hollow": "no", "attached": "none"}
    said = [
        chance("heft", f"{word} brass", "carbon-steel", solid) for word in ("lighter than", "same as", "heavier than")
    ]
    assert said == pytest.approx([1 / 3] * 3, abs=0.02)
    assert chance("heft", "lighter than brass", "aluminium-wrought", solid) == pytest.approx(0.93, abs=0.01)
    assert chance("heft", "heavier than aluminium", "zinc-die-cast", solid) == pytest.approx(0.93, abs=0.02)
    assert 0.34 < chance("heft", "heavier than brass", "lead", solid) < 0.5


def test_chances_against_any_piece_sum_to_one() -> None:
    for piece in ("steel", "plastic", "lead", "magnesium-cast"):
        for material in facts.materials():
            said = (chance("heft", f"{word} {piece}", material) for word in ("lighter than", "same as", "heavier than"))
            assert sum(said) == pytest.approx(1.0)


def test_a_hollow_piece_hefts_light() -> None:
    light = [chance("heft", "lighter than steel", "carbon-steel", {"hollow": said}) for said in ("no", "yes")]
    assert light[1] > light[0] + 0.1


def test_floating_is_for_light_plastics_and_hollow_things() -> None:
    """PP 0.905, HDPE 0.955: plastics density tables [S]; no metal here is lighter than water."""
    assert chance("floats", "yes", "plastic") > 5.0 * chance("floats", "yes", "copper")
    assert chance("floats", "yes", "aluminium-wrought", {"hollow": "yes"}) > 1.5 * chance(
        "floats", "yes", "aluminium-wrought"
    )
    for form in ("board", "motor", "sealed-unit", "assembly", "cable"):
        assert CHECKS["floats"].outcomes(ask.read({"form": form})) == ()


CONDUCTORS = ("copper", "aluminium-wrought", "aluminium-cast", "yellow-brass", "tin-bronze", "stainless-austenitic")


def test_drag_goes_as_the_published_conductivity() -> None:
    """% IACS: copper 100, wrought aluminium 41 to 58, cast 23 to 43, brass 26 to 28, bronze 10 to 15, stainless 2.4;
    copies of ASNT Electromagnetic Testing [S] and makeitfrom.com [V]."""
    for others in ({}, {"magnet": "none"}):
        felt = [chance("drag", "strong", id, others) + 0.5 * chance("drag", "slight", id, others) for id in CONDUCTORS]
        assert felt == sorted(felt, reverse=True)
        assert felt[0] - felt[-1] > 0.5


def test_drag_is_not_asked_for_where_a_magnet_pulls() -> None:
    asked = [
        pull for pull in ("none", "weak", "strong", "in-places") if CHECKS["drag"].outcomes(ask.read({"magnet": pull}))
    ]
    assert asked == ["none"]
    assert len(CHECKS["drag"].outcomes({})) == 3


def sized(size: str, weight: str, **more: str) -> Answers:
    return ask.read({"size": size, "weight": weight, **more})


def test_size_is_read_as_people_type_it() -> None:
    volume = {
        "50 x 30 x 12 mm": 18e-6,
        "5 cm x 30 mm x 12 mm": 18e-6,
        "50×30×12mm": 18e-6,
        "50 by 30 by 12 mm": 18e-6,
        "2 x 1 x 1/2 in": 0.0254**3,
        "20 dia x 100 mm": pi / 4 * 0.02**2 * 0.1,
        "20 mm dia x 100 mm": pi / 4 * 0.02**2 * 0.1,
        "ø20 x 100 mm": pi / 4 * 0.02**2 * 0.1,
    }
    for typed, right in volume.items():
        assert CHECKS["size"].parse(typed).value == pytest.approx(right, rel=1e-9), typed
        assert CHECKS["size"].parse(typed).unit == "m³"


def test_a_diameter_counts_twice_in_the_doubt() -> None:
    """A step of 1 mm in 20: 1/(20 √12) = 1.44 %, twice; the length adds 0.29 %. JCGM 100, F.2.2.1, from memory."""
    answer = CHECKS["size"].parse("20 dia x 100 mm")
    assert answer.uncertainty / float(answer.value) == pytest.approx(0.0290, abs=2e-4)


def test_size_without_weight_is_refused_in_one_line() -> None:
    with pytest.raises(CallError) as refused:
        ask.read({"size": "50 x 30 x 12 mm"})
    assert str(refused.value) == (
        "--answer size: got '50 x 30 x 12 mm' without the part's own weight; right is --weight together with --answer "
        "size; weigh the part dry as well"
    )


@pytest.mark.parametrize("typed", ["50 x 30 mm", "50 x 30 x 12", "20 dia", "a x b x c mm", "50 x -3 x 12 mm"])
def test_a_size_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(CallError, match="^--answer size: got "):
        CHECKS["size"].parse(typed)


@pytest.mark.parametrize(
    ("material", "weight"),
    [("aluminium-wrought", "162 g"), ("zinc-die-cast", "396 g"), ("carbon-steel", "471 g"), ("lead", "680 g")],
)
def test_a_plain_block_is_named_by_size_and_weight(material: str, weight: str) -> None:
    """50 x 40 x 30 mm of the table's typical densities: the metal is likelier than any other of another density."""
    likelihoods = _likelihoods(sized("50 x 40 x 30 mm", weight))
    mine = facts.material(material).density_typical
    far = [id for id, each in facts.materials().items() if abs(log(each.density_typical / mine)) > 0.35]
    assert likelihoods[material] > 3.0 * max(likelihoods[id] for id in far if id != "something-else")


def test_a_size_reads_low_rather_than_high() -> None:
    """A steel block that reads 15 % low is likelier steel than one that reads 15 % high."""
    low, high = (_likelihoods(sized("50 x 40 x 30 mm", weight))["carbon-steel"] for weight in ("400 g", "542 g"))
    assert low > 5.0 * high


def _likelihoods(answers: Answers) -> dict[str, float]:
    others = {name: answer for name, answer in answers.items() if name != "size"}
    return {id: CHECKS["size"].likelihood(each, answers["size"], others) for id, each in facts.materials().items()}


RIMS = [  # coin, material, g, diameter and thickness in mm, read low by %
    ("US 1¢ from 1982", "copper-clad-zinc", 2.5, 19.05, 1.52, 20),
    ("US 5¢", "cupronickel", 5.0, 21.21, 1.95, 19),
    ("€0.10", "aluminium-bronze", 4.1, 19.75, 1.93, 12),
    ("JP ¥1", "aluminium-wrought", 1.0, 20.0, 1.5, 21),
    ("€0.01", "copper-clad-steel", 2.3, 16.25, 1.67, 16),
]


@pytest.mark.parametrize(("coin", "material", "grams", "diameter", "thickness", "low"), RIMS)
def test_rims_read_low_and_the_metal_stays_possible(
    coin: str, material: str, grams: float, diameter: float, thickness: float, low: int
) -> None:
    """Published masses and sizes (usmint.com, mint.go.jp [V]; euro by two tables [S]): 10 to 29 % too light, and
    no coin's own metal is spoken against more than 15 times against the best."""
    density = grams / (pi / 4 * diameter**2 * thickness) * 1e6
    assert 1 - density / facts.material(material).density_typical == pytest.approx(low / 100, abs=0.05), coin
    likelihoods = _likelihoods(sized(f"{diameter} dia x {thickness} mm", f"{grams:.2f} g"))
    assert likelihoods[material] > max(likelihoods.values()) / 15.0, coin


@pytest.mark.parametrize("form", ["casting", "fitting", "tube", "motor", "extrusion"])
def test_what_is_no_plain_solid_is_not_measured(form: str) -> None:
    weighed = {"weight": "1.2 kg"}
    assert CHECKS["size"].outcomes(ask.read({**weighed, "form": form})) == ()
    assert CHECKS["size"].outcomes(ask.read({"form": "bar"})) == ()
    assert CHECKS["size"].outcomes(ask.read({**weighed, "form": "bar"}))


def test_the_table_of_materials_has_its_bench_columns_filled() -> None:
    path = Path(facts.__file__).with_name("materials.csv")
    lines = [line for line in path.read_text("utf-8").splitlines() if not line.startswith("#")]
    for row in csv.DictReader(lines):
        assert bool(row["hardness_low_hb"]) != bool(row["yields_to"]) or row["id"] == "something-else", row["id"]
        assert (float(row["iacs_low"]) > 0.0) == bool(row["hardness_low_hb"]), row["id"]
