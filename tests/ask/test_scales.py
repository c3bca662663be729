"""Scales: the step that every weight carries, weighing by difference, checking a scale, how heavy is enough."""

from __future__ import annotations

from math import sqrt

import pytest

from idkit import ask, facts
from idkit.errors import IdkitError


@pytest.mark.parametrize(
    ("weight", "scale", "step"),
    [
        ("180 g", "", 1.0),
        ("180 g", "5 g", 5.0),
        ("180.0 g", "1 g", 1.0),
        ("180 g", "0.1 g", 1.0),
        ("1.2 kg", "1 g", 100),
    ],
)
def test_a_weight_carries_the_coarser_of_its_digits_and_the_scale(weight: str, scale: str, step: float) -> None:
    found = ask.read({"weight": weight, "scale": scale})["weight"]
    assert found.uncertainty * sqrt(3.0) * 1000 == pytest.approx(step)


def test_the_step_reaches_the_weight_in_water() -> None:
    typed = {"weight": "660.0 g", "jar": "100.0 g"}
    fine, coarse = (ask.read({**typed, "scale": scale})["weight-in-water"] for scale in ("0.1 g", "5 g"))
    assert coarse.value == fine.value
    assert coarse.uncertainty > 20 * fine.uncertainty


def test_weighing_by_difference_counts_both_readings() -> None:
    """A person on a bathroom scale of 0.1 kg, with the bucket and without: steps add as squares (JCGM 100)."""
    amount = ask.parse_mass("82.4 kg - 80.1 kg")
    assert amount.value == pytest.approx(2.3)
    assert amount.step == pytest.approx(0.1 * sqrt(2.0))
    assert ask.parse_mass("82.4 kg minus 80.1 kg").value == pytest.approx(2.3)


def test_a_mixed_number_is_not_a_difference() -> None:
    assert ask.parse_mass("1 - 1/2 lb").value == pytest.approx(1.5 * 0.45359237)


@pytest.mark.parametrize("typed", ["80.1 kg - 82.4 kg", "80 kg - 80 kg", "80 - 79 kg", "1 kg - "])
def test_a_difference_that_leaves_nothing_is_refused(typed: str) -> None:
    with pytest.raises(IdkitError, match="--weight"):
        ask.parse_mass(typed)


# Least mass in g that tells two densities in g/cm³ apart on a scale of 1 g: fact sheet, section 2, derived with k = 2,
# a whole step of error in each reading, half-gap rule. It rounds to about two digits.
PUBLISHED = [
    (1.81, 2.74, 40), (2.71, 6.6, 45), (4.5, 2.71, 52), (4.5, 7.9, 83), (6.6, 8.47, 195), (6.6, 7.85, 262),
    (8.93, 11.34, 273), (7.5, 8.47, 398), (7.15, 7.85, 485), (8.93, 8.2, 603), (7.9, 8.47, 692), (8.47, 8.93, 970),
    (8.47, 8.83, 1200),
]  # fmt: skip


@pytest.mark.parametrize("step", [0.1, 1.0, 10.0, 100.0])
@pytest.mark.parametrize(("one", "other", "grams"), PUBLISHED)
def test_published_least_masses_come_out(one: float, other: float, grams: float, step: float) -> None:
    found = 1000 * ask.least_mass(1000 * one, 1000 * other, step / 1000)
    assert found == pytest.approx(grams * step, rel=0.025)


def test_one_density_is_told_from_itself_by_no_mass() -> None:
    assert ask.least_mass(7850.0, 7850.0, 0.001) == float("inf")


@pytest.mark.parametrize("piece", facts.check_pieces().values(), ids=lambda piece: piece.id)
def test_a_right_scale_agrees_with_every_piece_and_a_wrong_one_does_not(piece) -> None:
    shown = 20 * piece.mass * 1000
    assert ask.check_scale(f"{shown:.1f} g", f"20 {piece.id}").agrees
    wrong = ask.check_scale(f"{1.2 * shown:.1f} g", f"20 {piece.id}")
    assert not wrong.agrees
    assert wrong.off == pytest.approx(0.2, abs=0.01)


@pytest.mark.parametrize(
    ("said", "count", "id"),
    [
        ("20 US nickels", 20, "us-5-cent"), ("a litre of water", 1, "litre-of-water"),
        ("10 x euro 50 cent", 10, "euro-50-cent"), ("1 liter of water", 1, "litre-of-water"), ("5 yen", 5, "jp-1-yen"),
    ],
)  # fmt: skip
def test_pieces_are_named_as_people_name_them(said: str, count: int, id: str) -> None:
    found = ask.check_scale("100 g", said)
    assert (found.count, found.piece.id) == (count, id)


@pytest.mark.parametrize("said", ["", "20 buttons", "0 us nickels", "99999 us nickels"])
def test_unknown_pieces_are_refused(said: str) -> None:
    with pytest.raises(IdkitError, match="pieces"):
        ask.check_scale("100 g", said)


def test_twenty_nickels_weigh_a_hundred_grams() -> None:
    """US Mint coin specifications: 5.000 g each."""
    assert ask.check_scale("100 g", "20 us nickels").true == pytest.approx(0.1)
