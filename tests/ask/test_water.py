from __future__ import annotations

from math import sqrt

import pytest

from idkit import ask
from idkit.ask.water import (
    density_by_displacement,
    density_by_hanging,
    density_in_water,
    mixed_density,
    reading_uncertainty,
    water_density,
)
from idkit.errors import CallError
from idkit.vocabulary import Amount

# Tanaka et al., Metrologia 38 (2001) 301: t in °C, kg/m³; the formula was read there, the numbers computed from it.
TANAKA_2001 = {
    0: 999.843, 4: 999.975, 5: 999.967, 10: 999.703, 15: 999.103, 16: 998.946, 18: 998.598, 20: 998.207, 22: 997.773,
    24: 997.299, 25: 997.047, 28: 996.235, 30: 995.649, 35: 994.033, 40: 992.215,
}  # fmt: skip
# Jones and Harris, J. Res. NIST 97 (1992) 335, air-saturated: an independent formula, within 0.006 kg/m³ of the other.
JONES_HARRIS_1992 = {5: 999.965, 10: 999.699, 15: 999.099, 20: 998.203, 25: 997.043, 30: 995.645, 40: 992.211}


def grams(value: float, step: float = 1.0) -> Amount:
    return Amount(value / 1000, step / 1000, f"{value:g} g")


@pytest.mark.parametrize(("t", "density"), TANAKA_2001.items())
def test_water_is_that_of_tanaka_2001(t: float, density: float) -> None:
    assert water_density(t) == pytest.approx(density, abs=0.0006)


@pytest.mark.parametrize(("t", "density"), JONES_HARRIS_1992.items())
def test_water_is_near_that_of_jones_and_harris_1992(t: float, density: float) -> None:
    assert water_density(t) == pytest.approx(density, abs=0.007)


@pytest.mark.parametrize("t", [-0.1, 40.1, float("nan")])
def test_water_outside_its_range_is_refused(t: float) -> None:
    with pytest.raises(CallError, match="0 to 40"):
        water_density(t)


# Twenty coins of a kind: mass and buoyancy in g at 20 °C, and the density of the alloy by the mixture rule in g/cm³
# (US Mint, EU Regulation 729/2014 by two copies, Japan Mint; buoyancy derived from them).
@pytest.mark.parametrize(
    ("mass", "buoyancy", "density"),
    [
        pytest.param(100.0, 11.2, 8.95, id="US 5 cents, 75 Cu 25 Ni"),
        pytest.param(50.0, 7.0, 7.17, id="US 1 cent from 1982, zinc under copper"),
        pytest.param(46.0, 5.8, 7.91, id="EUR 0.01, steel under copper"),
        pytest.param(20.0, 7.4, 2.70, id="JPY 1, aluminium"),
        pytest.param(90.8, 10.2, 8.90, id="CA 5 cents 1955-81, nickel"),
    ],
)
def test_twenty_coins(mass: float, buoyancy: float, density: float) -> None:
    value, uncertainty = density_by_displacement(grams(mass, 0.1), grams(buoyancy, 0.1))
    assert abs(value - density * 1000) < 2.0 * uncertainty
    assert uncertainty < 0.02 * value


# A student laboratory sheet, of low authority: weight dry and hung in water in g, and the density it was marked with.
@pytest.mark.parametrize(
    ("dry", "hung", "density"), [(344.5, 314.0, 11300), (251.5, 220.0, 8000), (286.0, 239.1, 6100), (87.5, 55.5, 2700)]
)
def test_laboratory_sheet(dry: float, hung: float, density: float) -> None:
    value, uncertainty = density_by_hanging(grams(dry, 0.5), grams(hung, 0.5))
    assert value == pytest.approx(density, abs=50)
    by_jar, _ = density_by_displacement(grams(dry, 0.5), grams(dry - hung, 0.5))
    assert value == pytest.approx(by_jar)
    assert 0.0 < uncertainty < 0.05 * value


def test_hanging_by_the_law_of_propagation() -> None:
    """JCGM 100, 5.1.2, with the slopes had by nudging each reading."""
    dry, hung = grams(300.0), grams(265.0)
    density, uncertainty = density_by_hanging(dry, hung)
    nudge, u = 1e-7, reading_uncertainty(dry)
    by_dry = density_by_hanging(Amount(dry.value + nudge, 0.001, ""), hung)[0] - density
    by_hung = density_by_hanging(dry, Amount(hung.value + nudge, 0.001, ""))[0] - density
    expected = sqrt((by_dry / nudge * u) ** 2 + (by_hung / nudge * u) ** 2 + (0.001 * density) ** 2)
    assert uncertainty == pytest.approx(expected, rel=1e-3)


# Expanded uncertainty in % (k = 2, a 1 g scale) where every reading is a whole step out, derived by JCGM 100: mass in
# g, aluminium 2.70, zinc 6.6, brass 8.5 and lead 11.3 g/cm³. One reading here is uncertain by 1/√3 of a step.
@pytest.mark.parametrize(
    ("mass", "percents"), [(100.0, (7.9, 19, 24, 32)), (250.0, (3.2, 7.5, 9.7, 13)), (500.0, (1.6, 3.8, 4.8, 6.4))]
)
def test_uncertainty_of_a_one_gram_scale(mass: float, percents: tuple[float, ...]) -> None:
    for density, percent in zip((2.70, 6.6, 8.5, 11.3), percents, strict=True):
        value, uncertainty = density_by_displacement(grams(mass), grams(mass / density))
        assert 200.0 * uncertainty / value == pytest.approx(percent / sqrt(3), rel=0.06)


# Smallest mass in g that tells a pair apart on a 1 g scale: k = 2 is half the gap, each reading a step out; derived.
@pytest.mark.parametrize(
    ("light", "heavy", "mass"),
    [(1.81, 2.74, 40), (2.71, 6.6, 45), (6.6, 8.47, 195), (6.6, 7.85, 262), (8.93, 11.34, 273), (7.5, 8.47, 398)],
)
def test_smallest_mass_that_tells_a_pair_apart(light: float, heavy: float, mass: float) -> None:
    value, uncertainty = density_by_displacement(grams(mass), grams(mass / heavy))
    half_gap = (heavy - light) / (heavy + light)
    assert 2.0 * sqrt(3.0) * uncertainty / value == pytest.approx(half_gap, rel=0.05)


def test_a_finer_scale_or_a_heavier_part_is_surer() -> None:
    def relative(mass: float, step: float) -> float:
        value, uncertainty = density_by_displacement(grams(mass, step), grams(mass / 8.5, step))
        return uncertainty / value

    assert relative(100, 0.1) < relative(500, 1) < relative(100, 1) < relative(50, 1)


@pytest.mark.parametrize(("share", "density"), [(0.02, 2780), (0.05, 2830), (0.10, 2930), (0.20, 3150), (0.30, 3410)])
def test_steel_in_aluminium_reads_high(share: float, density: float) -> None:
    """Derived from the densities of steel, 7.85, and cast aluminium, 2.74 g/cm³."""
    assert mixed_density(share, 7850.0, 2740.0) == pytest.approx(density, abs=7)


@pytest.mark.parametrize(("share", "density"), [(0.02, 7440), (0.05, 6270), (0.10, 4970)])
def test_plastic_on_brass_reads_low(share: float, density: float) -> None:
    """Derived from the densities of a plastic, 1.05, and brass, 8.5 g/cm³."""
    assert mixed_density(share, 1050.0, 8500.0) == pytest.approx(density, abs=7)


def test_what_would_float_is_refused() -> None:
    with pytest.raises(CallError, match=r"--jar: got 320 g of buoyancy .* it would float; .* zero the scale"):
        density_by_displacement(grams(300), grams(320))


def test_plastic_that_just_sinks_is_not_refused() -> None:
    density, uncertainty = density_by_displacement(grams(50), grams(51))
    assert abs(density - 1000) < 2 * uncertainty


def test_what_weighs_more_in_water_is_refused() -> None:
    with pytest.raises(CallError, match="--hung: got '310 g' hung in water, not less than"):
        density_by_hanging(grams(300), grams(310))


@pytest.mark.parametrize("ways", [(grams(12), None), (None, grams(288))])
def test_denser_than_osmium_is_refused(ways: tuple[Amount | None, Amount | None]) -> None:
    with pytest.raises(CallError, match="denser .* than any metal"):
        density_in_water(grams(300), *ways)


def test_two_ways_that_agree_give_the_surer() -> None:
    fine, coarse = density_by_displacement(grams(300), grams(35.3, 0.1)), density_by_hanging(grams(300), grams(265))
    assert density_in_water(grams(300), grams(35.3, 0.1), grams(265)) == min(fine, coarse, key=lambda way: way[1])


def test_two_ways_that_disagree_are_refused() -> None:
    with pytest.raises(CallError, match="--jar, --hung: got '45 g' in the jar, but 35 g lost when hung"):
        density_in_water(grams(300), grams(45), grams(265))


def test_nobody_is_asked_to_hang_half_a_ton() -> None:
    heavy = ask.read({"weight": "500 kg"})
    assert ask.checks()["weight-in-water"].outcomes(heavy) == ()
    assert ask.checks()["weight-in-water"].outcomes(ask.read({"weight": "5 kg"}))
