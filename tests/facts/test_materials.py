"""Materials against published numbers; each value stands beside its source and how far to trust it.

Tags: V read in the source, S read in a copy that quotes it, M from memory, D computed.
"""

from __future__ import annotations

from math import isnan

import periodictable
import pytest
from mendeleev.mendeleev import element as mendeleev_element

from idkit import facts

MATERIALS = """carbon-steel cast-iron galvanised-steel stainless-austenitic stainless-ferritic copper tinned-copper
copper-clad-steel copper-clad-aluminium copper-clad-zinc yellow-brass red-brass tin-bronze aluminium-bronze
nickel-silver cupronickel nickel aluminium-wrought aluminium-cast zinc-die-cast magnesium-cast lead tin titanium
chromed-brass chromed-zinc chromed-steel chromed-plastic brass-plated-steel brass-plated-zinc aluminium-winding
plastic rubber circuit-board insulated-cable something-else"""
IDS = MATERIALS.split()

SHEET = """steel_sheet steel_heavy cast_iron galv ss304 ss316 ss430 cu_bare cu_tinned brass_y brass_r bronze_sn
bronze_al al_ext al_sheet al_cast zn_dc mg_dc lead tin nisilver cuni ti ccs cr_zn cr_br p_abs p_pp p_hdpe p_pvc
p_pa rubber fr4"""
SOURCE_ROWS = frozenset(SHEET.split())
"""Ids of the fact sheet that materials may rest on."""


def test_the_ids_and_their_order() -> None:
    assert list(facts.materials()) == IDS


@pytest.mark.parametrize("id", IDS)
def test_every_row_is_complete(id: str) -> None:
    material = facts.material(id)
    assert material.density_low < material.density_typical < material.density_high
    assert sum(material.magnet.values()) == pytest.approx(1.0)
    assert list(material.magnet) == ["none", "weak", "strong"]
    assert set(material.rests_on) <= SOURCE_ROWS
    assert material.rests_on or id in {"nickel", "something-else"}
    assert material.look_alikes or id == "something-else"
    assert isnan(material.thickness_low) == (id == "something-else")
    assert isnan(material.thickness_low) or 1e-5 < material.thickness_low < material.thickness_high < 0.1


@pytest.mark.parametrize("id", IDS)
def test_looking_alike_goes_both_ways(id: str) -> None:
    assert all(id in facts.material(other).look_alikes for other in facts.material(id).look_alikes)


PURE = [
    ("carbon-steel", "Fe"), ("copper", "Cu"), ("tinned-copper", "Cu"), ("nickel", "Ni"), ("aluminium-wrought", "Al"),
    ("lead", "Pb"), ("tin", "Sn"), ("titanium", "Ti"),
]  # fmt: skip


@pytest.mark.parametrize(("id", "element"), PURE)
def test_nearly_pure_metals_have_the_density_of_the_element(id: str, element: str) -> None:
    """Sources: periodictable 2.1 and mendeleev 1.3 [V]; half a percent for the alloying that each allows."""
    material = facts.material(id)
    for density in (getattr(periodictable, element).density, mendeleev_element(element).density):
        assert 0.995 * material.density_low <= 1000 * density <= 1.005 * material.density_high
        assert material.density_typical == pytest.approx(1000 * density, rel=0.01)


ALLOYS = [
    ("cast-iron", 7500, "makeitfrom.com, grey cast iron", "V"),
    ("cast-iron", 6950, "ASTM A48 class 20", "M"),
    ("stainless-austenitic", 7900, "EN 10088-1, 304", "M"),
    ("stainless-austenitic", 8000, "EN 10088-1, 316", "M"),
    ("stainless-ferritic", 7700, "makeitfrom.com, AISI 430", "V"),
    ("copper", 8920, "CDA Innovations Aug 2001, Calcutt, table 5", "V"),
    ("yellow-brass", 8490, "C36000, supplier sheets quoting CDA", "S"),
    ("yellow-brass", 8410, "C37000, supplier sheets quoting CDA", "S"),
    ("yellow-brass", 8530, "C26000, CDA", "M"),
    ("red-brass", 8830, "C83600, sheet citing CDA", "S"),
    ("tin-bronze", 9000, "makeitfrom.com, CC495K", "V"),
    ("tin-bronze", 8720, "C90500, CDA", "M"),
    ("aluminium-bronze", 7640, "C95200, sheet citing CDA", "S"),
    ("aluminium-bronze", 7450, "C95400, sheet citing CDA", "S"),
    ("nickel-silver", 8730, "C75200, CDA", "M"),
    ("cupronickel", 8940, "C70600, Hussey Copper data", "V"),
    ("aluminium-wrought", 2730, "3003, Aluminum Association", "M"),
    ("aluminium-cast", 2740, "A380, die caster's table", "V"),
    ("zinc-die-cast", 6600, "Zamak 3, die casters' copies of NADCA A-3-14", "S"),
    ("zinc-die-cast", 6300, "ZA-8, die casters' copies of NADCA A-3-14", "S"),
    ("magnesium-cast", 1820, "AZ91D, die caster's table", "V"),
    ("titanium", 4430, "Ti-6Al-4V", "M"),
    ("copper-clad-steel", 8140, "CCS-40, Fisk Alloy", "V"),
    ("plastic", 905, "PP, plastics density tables", "S"),
    ("plastic", 1390, "PA6 GF30, Engineers Edge", "S"),
    ("circuit-board", 1870, "FR-4 laminate, Engineers Edge", "S"),
]


@pytest.mark.parametrize(("id", "density", "source", "trust"), ALLOYS)
def test_the_range_holds_published_alloys(id: str, density: float, source: str, trust: str) -> None:
    material = facts.material(id)
    assert material.density_low <= density <= material.density_high, (source, trust)


def test_mixtures() -> None:
    """Computed [D]: clad wire by volume, the zinc cent by mass, from the densities of the elements [V]."""
    copper, aluminium = 1000 * periodictable.Cu.density, 1000 * periodictable.Al.density
    clad = facts.material("copper-clad-aluminium")
    for share, end in ((0.10, clad.density_low), (0.15, clad.density_high)):
        assert share * copper + (1 - share) * aluminium == pytest.approx(end, rel=0.005)
    cent = 1 / (0.025 / copper + 0.975 / (1000 * periodictable.Zn.density))
    assert facts.material("copper-clad-zinc").density_typical == pytest.approx(cent, rel=0.002)


PLATED = [
    ("chromed-brass", "yellow-brass"), ("chromed-zinc", "zinc-die-cast"), ("chromed-steel", "carbon-steel"),
    ("brass-plated-steel", "carbon-steel"), ("brass-plated-zinc", "zinc-die-cast"),
]  # fmt: skip


@pytest.mark.parametrize(("plated", "core"), PLATED)
def test_a_plated_part_is_its_core_under_a_skin(plated: str, core: str) -> None:
    over, under = facts.material(plated), facts.material(core)
    assert over.skin
    assert not under.skin
    assert over.family == under.family
    assert over.optics == under.optics
    assert over.density_typical == pytest.approx(under.density_typical, rel=0.005)


COINS = [
    ("€0.01, copper over steel", "strong", "copper-red", "copper-clad-steel", "two tables agreeing with EUR-Lex, S"),
    ("UK 1p from 1992, copper over steel", "strong", "copper-red", "copper-clad-steel", "pages quoting Royal Mint, S"),
    ("UK 1p to 1992, 97 copper", "none", "copper-red", "copper", "pages quoting the Royal Mint, S"),
    ("US 1¢ from 1982, copper over zinc", "none", "copper-red", "copper-clad-zinc", "usmint.com, V"),
    ("JP ¥10, 95 copper", "none", "copper-red", "copper", "mint.go.jp, V"),
    ("€0.10, 89 copper 5 aluminium", "none", "brass-yellow", "aluminium-bronze", "two tables, S"),
    ("JP ¥5, 60 to 70 copper, rest zinc", "none", "brass-yellow", "yellow-brass", "mint.go.jp, V"),
    ("US 5¢, 75 copper 25 nickel", "none", "grey-white", "cupronickel", "usmint.com, V"),
    ("JP ¥1, aluminium", "none", "grey-white", "aluminium-wrought", "mint.go.jp, V"),
    ("CA 5¢ 1955 to 1981, nickel", "strong", "grey-white", "nickel", "Royal Canadian Mint, from memory, M"),
]


@pytest.mark.parametrize(("coin", "pull", "colour", "id", "source"), COINS)
def test_coins_pull_as_their_material_says(coin: str, pull: str, colour: str, id: str, source: str) -> None:
    material = facts.material(id)
    assert max(material.magnet, key=material.magnet.__getitem__) == pull, (coin, source)
    assert material.family == colour, (coin, source)


def test_copper_coloured_and_magnetic_is_copper_over_steel() -> None:
    """Euro cents and UK 1p and 2p from 1992 pull; bronze and zinc ones don't: published by their mints [S]."""
    red = [material for material in facts.materials().values() if material.family == "copper-red"]
    assert [material.id for material in red if material.magnet["strong"] > 0.5] == ["copper-clad-steel"]
    assert all(material.magnet["strong"] < 0.01 for material in red if material.id != "copper-clad-steel")


def test_stainless_may_pull_or_not() -> None:
    """US Navy Steelworker manual: the magnet is not certain, for some stainless pulls and some does not [S]."""
    austenitic, ferritic = facts.material("stainless-austenitic"), facts.material("stainless-ferritic")
    assert austenitic.magnet["weak"] > 0.2
    assert austenitic.magnet["none"] > 0.5
    assert ferritic.magnet["strong"] > 0.9


def test_something_else_rules_nothing_out() -> None:
    other = facts.material("something-else")
    assert min(other.magnet.values()) >= 0.1
    known = [material for id, material in facts.materials().items() if id != "something-else"]
    assert other.density_low < min(material.density_low for material in known)
    assert other.density_high > max(material.density_high for material in known)
