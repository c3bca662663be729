from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import log, nan
from time import perf_counter

import numpy as np
import pytest

from idkit.ask import read
from idkit.ask.checks.form import COMPOUND
from idkit.ask.checks.weight_in_water import likelihood, outcomes, parse
from idkit.errors import AmountError
from idkit.vocabulary import Answer, Answers, Material

NO_ANSWERS: Answers = {}
CLEAN = {"hollow": "no", "attached": "none"}


def density(material: Material, value: float, relative: float = 0.01, **others: str) -> float:
    answer = Answer("weight-in-water", value, "kg/m³", relative * value)
    return likelihood(material, answer, read(others))


def likeliest(known: Mapping[str, Material], value: float, relative: float = 0.01, **others: str) -> str:
    return max(known, key=lambda name: density(known[name], value, relative, **others))


@pytest.mark.parametrize(
    ("value", "name"), [(8480, "yellow-brass"), (6580, "zinc-die-cast"), (2710, "aluminium-cast"), (11300, "lead")]
)
def test_a_clean_solid_part_shows_its_metal(known: Mapping[str, Material], value: float, name: str) -> None:
    best = likeliest(known, value, **CLEAN)
    assert known[best].density_typical == pytest.approx(known[name].density_typical, rel=0.01)


def test_readings_integrate_to_one(known: Mapping[str, Material]) -> None:
    """The error is the buoyancy's: for one part and one scale it goes with the square of the density read."""
    doubt, logs = 2.7e-6, np.linspace(log(400.0), log(30000.0), 4001)
    for name in ("aluminium-cast", "lead", "something-else"):
        total = sum(density(known[name], float(value), doubt * float(value), **CLEAN) for value in np.exp(logs)) * (
            logs[1] - logs[0]
        )
        assert total == pytest.approx(1.0, abs=0.02)


def test_bins_are_the_integral_of_readings(known: Mapping[str, Material]) -> None:
    bins = [outcome for outcome in outcomes(NO_ANSWERS) if 8000.0 < float(outcome.answer.value) < 9000.0]
    for outcome in bins:
        low, high = outcome.answer.low, outcome.answer.high  # type: ignore[attr-defined]
        logs = np.linspace(log(low), log(high), 101)
        doubt = outcome.answer.uncertainty / float(outcome.answer.value) ** 2
        readings = [density(known["copper"], float(value), doubt * float(value)) for value in np.exp(logs)]
        mean = np.trapezoid(readings, logs) / outcome.width
        assert likelihood(known["copper"], outcome.answer, NO_ANSWERS) == pytest.approx(mean, rel=0.01)


def test_a_hollow_part_only_reads_low(known: Mapping[str, Material]) -> None:
    brass = known["yellow-brass"]
    assert density(brass, 6800, hollow="yes", attached="none") > 50.0 * density(
        brass, 10600, hollow="yes", attached="none"
    )
    assert density(brass, 6800, hollow="yes") > density(brass, 6800) > density(brass, 6800, hollow="no")


def test_hollow_brass_is_not_excluded(known: Mapping[str, Material]) -> None:
    """A void of a fifth makes brass of 8.5 read 6.8, as zinc does; derived."""
    zinc, brass = (density(known[name], 6700, 0.03, hollow="yes") for name in ("zinc-die-cast", "yellow-brass"))
    assert zinc > brass > zinc / 30.0
    assert likeliest(known, 6800, hollow="yes") != "lead"


def test_steel_in_aluminium_is_explained(known: Mapping[str, Material]) -> None:
    """Cast aluminium with a tenth of steel by mass reads 2.93 g/cm³; derived."""
    aluminium = known["aluminium-cast"]
    declared, clean = (density(aluminium, 2930, attached=words) for words in ("steel studs", "none"))
    assert declared > 20.0 * clean
    assert likeliest(known, 2930, attached="steel studs") in {"aluminium-cast", "aluminium-winding"}


def test_plastic_on_brass_is_explained(known: Mapping[str, Material]) -> None:
    """Brass with one fiftieth of plastic by mass reads 7.44 g/cm³; derived."""
    brass = known["yellow-brass"]
    assert density(brass, 7440, attached="plastic handle") > 10.0 * density(brass, 7440, attached="none", hollow="no")


def test_a_coarse_scale_settles_nothing(known: Mapping[str, Material]) -> None:
    """20 g on a 1 g scale: zinc and brass stay within a factor of 3; 500 g tells them apart."""
    small, large = read({"weight": "20 g", "jar": "3 g"}), read({"weight": "500 g", "jar": "76 g"})
    for answers, low, high in ((small, 1 / 3, 3.0), (large, 10.0, 1e6)):
        zinc, brass = (
            likelihood(known[name], answers["weight-in-water"], answers) for name in ("zinc-die-cast", "yellow-brass")
        )
        assert low < zinc / brass < high


def test_an_unknown_density_moves_little(known: Mapping[str, Material]) -> None:
    unknown = replace(known["plastic"], density_low=nan, density_typical=nan, density_high=nan)
    assert density(unknown, 2700) == pytest.approx(density(unknown, 8900), rel=0.01)


def test_never_impossible(known: Mapping[str, Material]) -> None:
    assert all(density(material, value, 0.002) > 0.0 for material in known.values() for value in (501.0, 22500.0))


@pytest.mark.parametrize("form", sorted(COMPOUND))
def test_never_asked_of_what_water_harms(form: str) -> None:
    assert outcomes({"form": Answer("form", form)}) == ()


def test_a_heavier_part_is_reckoned_to_settle_more(known: Mapping[str, Material]) -> None:
    def overlap(weight: str) -> float:
        others = read({"weight": weight})
        return sum(
            min(likelihood(known[name], outcome.answer, others) for name in ("zinc-die-cast", "carbon-steel"))
            * outcome.width
            for outcome in outcomes(others)
        )

    assert overlap("1000 g") < overlap("200 g") < overlap("50 g")


def test_fast_enough_for_every_material(known: Mapping[str, Material]) -> None:
    """Under a millisecond each; the best of several, for the machine may be busy."""
    answers = read({"weight": "311 g", "jar": "36 g", "hollow": "yes"})

    def seconds() -> float:
        start = perf_counter()
        for material in known.values():
            likelihood(material, answers["weight-in-water"], answers)
        return perf_counter() - start

    assert min(seconds() for _ in range(5)) < 0.001 * len(known)


@pytest.mark.parametrize(
    ("typed", "value"), [("8.93 g/cm3", 8930.0), ("8,93 g/cm³", 8930.0), ("8930kg/m^3", 8930.0), ("2.7 g/ml", 2700.0)]
)
def test_a_density_had_elsewhere(typed: str, value: float) -> None:
    answer = parse(typed)
    assert (answer.value, answer.unit) == (value, "kg/m³")
    assert 0.002 * value <= answer.uncertainty < 0.05 * value


@pytest.mark.parametrize("typed", ["8.93", "0.4 g/cm3", "23 g/cm3", "heavy"])
def test_a_density_that_cannot_be_is_refused(typed: str) -> None:
    with pytest.raises(AmountError, match="right is a density such as '8.9 g/cm3'"):
        parse(typed)
