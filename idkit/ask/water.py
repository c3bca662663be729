"""Weight in water: mass and buoyancy to density, with its uncertainty.

    density = mass x density of water / buoyancy

The buoyancy is what a tared jar of water gains when the part hangs in it, or the part's weight less its weight hung in
water. The buoyancy of air changes a metal's density by less than 0.1 % and is left out.
"""

from __future__ import annotations

from math import hypot, inf, sqrt

from idkit.errors import AmountError, CallError
from idkit.vocabulary import Amount

DENSEST = 22600.0  # kg/m³: osmium, the densest metal (22 590; handbook value, from memory)
HEAVIEST = 30.0  # kg: beyond it no one hangs a part in a jar; common practice, no source
ROOM = 20.0  # °C
WATER_DOUBT = 0.001  # relative: an unmeasured tap, 10 to 30 °C, changes water by 0.41 % over the whole range


def water_density(t_celsius: float) -> float:
    """Density of air-free water at one atmosphere in kg/m³, 0 to 40 °C.

    Tanaka et al., Metrologia 38 (2001) 301, equation for standard mean ocean water.

    >>> round(water_density(20.0), 3)
    998.207
    """
    if not 0.0 <= t_celsius <= 40.0:
        thing = "water temperature"
        raise CallError(thing, f"got {t_celsius:g} °C", "0 to 40 °C")
    numerator = (t_celsius - 3.983035) ** 2 * (t_celsius + 301.797)
    return 999.974950 * (1.0 - numerator / (522528.9 * (t_celsius + 69.34881)))


def reading_uncertainty(amount: Amount) -> float:
    """Standard uncertainty of one reading of a scale, in kg.

    Rounding to a step d gives d/√12 (JCGM 100, F.2.2.1; from memory); a kitchen scale repeats to about half a step
    (common practice, no source). Together √(1/12 + 1/4) d = d/√3: a reading may be off by a whole step either way.

    >>> round(reading_uncertainty(Amount(0.3, 0.001, "300 g")), 6)
    0.000577
    """
    return amount.step / sqrt(3.0)


def mixed_density(share: float, attached: float, body: float) -> float:
    """Density in kg/m³ of a body with a share by mass of something else on it, 0 to 1.

    >>> round(mixed_density(0.10, 7850.0, 2740.0))
    2931
    """
    return 1.0 / (share / attached + (1.0 - share) / body)


def least_mass(one: float, other: float, step: float, t: float = ROOM) -> float:
    """Mass in kg from which a jar on a scale of that step tells two densities in kg/m³ apart; inf where they are one.

    Twice the standard uncertainty of the denser's reading, each weighing off by a step, is to stay under half of the
    gap between the two: U/ρ = 2 d/m √(2 (ρ/ρw)² + 1) <= (ρ₂ - ρ₁)/(ρ₁ + ρ₂). Derived, with JCGM 100 for the sum.

    >>> round(1000 * least_mass(6600.0, 8470.0, 0.001))
    194
    """
    light, dense = sorted((one, other))
    half_gap = (dense - light) / (dense + light)
    relative = 2.0 * sqrt(2.0 * (dense / water_density(t)) ** 2 + 1.0)
    return step * relative / half_gap if half_gap > 0.0 else inf


def density_by_displacement(mass: Amount, buoyancy: Amount, t: float = ROOM) -> tuple[float, float]:
    """Density and its standard uncertainty in kg/m³, from the part's mass and the buoyancy a tared jar shows.

    The buoyancy rests on two readings, empty and with the part, so its uncertainty is √2 times that of one.
    Refused where the part would float or be denser than any metal.

    >>> rho, u = density_by_displacement(Amount(0.1, 0.0001, "100.0 g"), Amount(0.0112, 0.0001, "11.2 g"))
    >>> round(rho), round(u)
    (8913, 66)
    """
    u_buoyancy = sqrt(2.0) * reading_uncertainty(buoyancy)
    _require_sunk("--jar", mass, buoyancy.value, u_buoyancy)
    density = mass.value * water_density(t) / buoyancy.value
    _require_metal("--jar", density, buoyancy.value)
    relative = hypot(u_buoyancy / buoyancy.value, reading_uncertainty(mass) / mass.value, WATER_DOUBT)
    return density, density * relative


def density_by_hanging(mass: Amount, hung: Amount, t: float = ROOM) -> tuple[float, float]:
    """Density and its standard uncertainty in kg/m³, from the weight dry and the weight hung from the scale in water.

    ρ = m ρw / (m - h): the dry weight counts in both places, so its share of the uncertainty is h/m of the other's.

    >>> rho, u = density_by_hanging(Amount(0.3445, 0.0005, "344.5 g"), Amount(0.314, 0.0005, "314 g"))
    >>> round(rho, -2)
    11300.0
    """
    if hung.value >= mass.value:
        option, got = "--hung", f"got {hung.typed!r} hung in water, not less than its weight {mass.typed!r} dry"
        raise AmountError(option, got, "less in water than dry", "check which reading is which")
    buoyancy = mass.value - hung.value
    density = mass.value * water_density(t) / buoyancy
    _require_metal("--hung", density, buoyancy)
    u_buoyancy = hypot(reading_uncertainty(hung), reading_uncertainty(mass) * hung.value / mass.value)
    return density, density * hypot(u_buoyancy / buoyancy, WATER_DOUBT)


def density_in_water(mass: Amount, jar: Amount | None, hung: Amount | None) -> tuple[float, float]:
    """Density and standard uncertainty in kg/m³ from the jar, the hung weight, or the surer of the two.

    Where both are given and lie further apart than three standard uncertainties, one of them is a slip: refused.
    """
    ways = []
    if jar is not None:
        ways.append(density_by_displacement(mass, jar))
    if hung is not None:
        ways.append(density_by_hanging(mass, hung))
    if jar is not None and hung is not None:
        _require_agreement(mass, jar, hung)
    return min(ways, key=lambda way: way[1])


def _require_sunk(thing: str, mass: Amount, buoyancy: float, u_buoyancy: float) -> None:
    if buoyancy > mass.value + 2.0 * hypot(u_buoyancy, reading_uncertainty(mass)):
        got = f"got {buoyancy * 1000:g} g of buoyancy from a part of {mass.typed!r}: it would float"
        right = "less than the part weighs (what floats is plastic, wood or closed and hollow)"
        raise AmountError(thing, got, right, "zero the scale with the jar of water on it, then hang the part in")


def _require_metal(thing: str, density: float, buoyancy: float) -> None:
    if density > DENSEST:
        got = f"got {buoyancy * 1000:.3g} g of buoyancy, which makes it denser ({density:.0f} kg/m³) than any metal"
        right = f"at most {DENSEST:.0f} kg/m³"
        raise AmountError(thing, got, right, "keep it wholly under water, weigh several alike or use a finer scale")


def _require_agreement(mass: Amount, jar: Amount, hung: Amount) -> None:
    apart = abs(jar.value - (mass.value - hung.value))
    doubt = hypot(sqrt(2.0) * reading_uncertainty(jar), reading_uncertainty(mass), reading_uncertainty(hung))
    if apart > 3.0 * doubt:
        lost = (mass.value - hung.value) * 1000
        options, got = "--jar, --hung", f"got {jar.typed!r} in the jar, but {lost:g} g lost when hung"
        raise AmountError(options, got, "the same within the scale's steps", "weigh again, or give only one")
