"""Density by displacement of published coins, twenty of a kind on a kitchen scale of 0.1 g."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from idkit import ask

TABLE = Path(__file__).with_name("coins.csv")


def coins() -> list[dict[str, str]]:
    """The rows of the table."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("coin", coins(), ids=lambda coin: coin["coin"])
def test_twenty_coins_in_the_jar(coin: dict[str, str]) -> None:
    """Mass from the mint; the reading is what Archimedes gives at 20 degrees, rounded to what the scale shows."""
    mass, density = 20 * float(coin["mass_g"]), float(coin["density_g_cm3"])
    reading = round(mass * ask.water_density(20.0) / 1000 / density, 1)
    answers = ask.read({"weight": f"{mass:.1f} g", "jar": f"{reading:.1f} g"})
    measured = answers["weight-in-water"]
    assert abs(float(measured.value) - 1000 * density) < 2 * measured.uncertainty
    assert measured.uncertainty < 0.03 * float(measured.value)


def test_the_table_is_whole() -> None:
    assert len(coins()) >= 31
