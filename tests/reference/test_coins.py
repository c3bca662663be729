"""Published coins, twenty of a kind on a kitchen scale of 0.1 g: their density by displacement, and what they are."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from idkit import ask, flows
from idkit.vocabulary import Verdict

TABLE = Path(__file__).with_name("coins.csv")


def coins() -> list[dict[str, str]]:
    """The rows of the table."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def typed(coin: dict[str, str]) -> dict[str, str]:
    """Twenty of the coin: mass from the mint, the jar's reading what Archimedes gives at 20 degrees, to 0.1 g."""
    mass, density = 20 * float(coin["mass_g"]), float(coin["density_g_cm3"])
    reading = round(mass * ask.water_density(20.0) / 1000 / density, 1)
    return {"weight": f"{mass:.1f} g", "jar": f"{reading:.1f} g"}


def verdict(coin: dict[str, str]) -> Verdict:
    """What idkit says of the coin from magnet, weights and scratch colour, its form not told."""
    answers = {"magnet": coin["magnet"], "scratch-colour": coin["scratch_colour"], **typed(coin)}
    return flows.identify([], answers).record.verdict


@pytest.mark.parametrize("coin", coins(), ids=lambda coin: coin["coin"])
def test_twenty_coins_in_the_jar(coin: dict[str, str]) -> None:
    measured = ask.read(typed(coin))["weight-in-water"]
    assert abs(float(measured.value) - 1000 * float(coin["density_g_cm3"])) < 2 * measured.uncertainty
    assert measured.uncertainty < 0.03 * float(measured.value)


def test_the_table_is_whole() -> None:
    assert len(coins()) == 31
    assert all(coin["expected"] for coin in coins())


EXPLAINED = {
    "JP ¥5": "its mixture density, 8.22, is 3 % under that of real 60-40 to 70-30 brass (8.4 to 8.53: such alloys "
    "contract), which leaves yellow brass just behind chrome over brass, a range that reaches lower",
}
"""Coins of which something else comes first, and why."""


def test_what_a_coin_is_made_of_comes_first() -> None:
    """Of the 31, at least 28; and each of the others for a reason."""
    missed = [coin["coin"] for coin in coins() if first(verdict(coin)) not in coin["expected"].split(";")]
    assert set(missed) == set(EXPLAINED)
    assert len(coins()) - len(missed) >= 28


def test_the_one_that_is_missed_is_brass_once_its_density_is_that_of_brass() -> None:
    """8.47 g/cm³, C27000 and its like by CDA data sheets (from memory); and it goes on the pile of brass either way."""
    (coin,) = (coin for coin in coins() if coin["coin"] == "JP ¥5")
    assert first(verdict({**coin, "density_g_cm3": "8.47"})) == "yellow-brass"
    assert next(iter(verdict(coin).piles)) == "yellow-brass"


@pytest.mark.parametrize("coin", coins(), ids=lambda coin: coin["coin"])
def test_what_it_is_made_of_is_in_the_likely_set(coin: dict[str, str]) -> None:
    assert set(coin["expected"].split(";")) & set(verdict(coin).likely)


def first(found: Verdict) -> str:
    """The likeliest material."""
    return next(iter(found.chances))
