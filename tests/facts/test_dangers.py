"""Do not: each danger is reached by each of its words and forms, and lifted by what lifts it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from idkit import facts
from idkit.errors import TableError
from idkit.vocabulary import ACTS, Danger

DANGERS = tuple(facts.dangers().values())
of_each_danger = pytest.mark.parametrize("danger", DANGERS, ids=lambda danger: danger.id)


def ids(form: str | None = None, said: str = "") -> set[str]:
    return {danger.id for danger in facts.dangers_of(form, said)}


@of_each_danger
def test_every_word_and_form_of_every_danger_reaches_it(danger: Danger) -> None:
    for word in danger.words:
        assert danger.id in ids(said=f"out of an old {word.upper()}, rusty")
    for form in danger.forms:
        assert danger.id in ids(form=form)


@of_each_danger
def test_what_lifts_a_danger_lifts_it_alone(danger: Danger) -> None:
    for lifted in danger.unless:
        assert danger.id not in ids(said=f"{danger.words[0]}, {lifted}")


@of_each_danger
def test_what_is_called_alike_is_no_danger_and_hides_none(danger: Danger) -> None:
    for name in danger.called:
        assert danger.id not in ids(said=f"a {name}")
        assert danger.id in ids(said=f"{danger.words[0]} beside a {name}")


@of_each_danger
def test_it_forbids_something_and_says_who_takes_it(danger: Danger) -> None:
    assert set(danger.forbids) <= set(ACTS)
    assert danger.message
    assert danger.who
    assert danger.source


@pytest.mark.parametrize(
    "named",
    [
        "sealed-pressure", "spring-load", "fuel-oil", "live-rounds", "stored-charge", "pcb-oil", "mercury", "asbestos",
        "beryllium-copper", "beryllium-oxide", "cadmium", "lead-paint", "lithium-battery", "lead-acid", "refrigerant",
        "ammonia", "converter", "radioactive", "airbag", "keep-dry",
    ],
)  # fmt: skip
def test_the_dangers_of_the_trade_are_all_there(named: str) -> None:
    """Sealed, sprung, fuelled, armed, charged, poisonous, watched. Authorities: the source column of each row."""
    assert named in facts.dangers()


@pytest.mark.parametrize(
    ("said", "danger"),
    [
        ("shock absorber; sealed bearing on the end", "sealed-pressure"),
        ("acetylene bottle; next to an engine cylinder", "sealed-pressure"),
        ("laptop; no battery in the mouse beside it", "lithium-battery"),
        ("cordless drill; battery out of the charger, still in the drill", "lithium-battery"),
        ("battery: phone no 0123 456", "lithium-battery"),
        ("car battery and a lithium pack", "lithium-battery"),
        ("old transformer, electronic ballast beside it", "pcb-oil"),
    ],
)
def test_a_phrase_about_something_else_lifts_nothing(said: str, danger: str) -> None:
    assert danger in ids(said=said)


@pytest.mark.parametrize("said", ["cordless drill, battery out", "laptop, no battery and clean", "drill (battery out)"])
def test_a_condition_at_the_end_of_a_clause_lifts(said: str) -> None:
    assert "lithium-battery" not in ids(said=said)


def test_ballasts_are_closed_unless_they_say_no_pcbs() -> None:
    """US ballasts made since 1979 are labelled so: 40 CFR 761, from memory."""
    assert "pcb-oil" in ids(said="lamp ballast")
    assert "pcb-oil" not in ids(said="lamp ballast, marked 'No PCBs'")
    assert "pcb-oil" not in ids(said="electronic ballast")


@pytest.mark.parametrize(
    "said",
    [
        "ballast, marked: does not say No PCBs", "ballast, no 'No PCBs' mark", "ballast, PCB free?",
        "ballast, the No PCBs label is missing", "ballast, it says nothing about No PCBs",
    ],
)  # fmt: skip
def test_a_lifting_word_that_is_turned_round_or_doubted_lifts_nothing(said: str) -> None:
    assert "pcb-oil" in ids(said=said)


SAID = [
    ("artillery shell", "explosive"),
    ("unexploded bomb", "explosive"),
    ("hand grenade", "explosive"),
    ("bullets", "live-rounds"),
    ("a cartridge", "live-rounds"),
    ("scuba tank", "sealed-pressure"),
    ("oxygen bottle", "sealed-pressure"),
    ("helium tank", "sealed-pressure"),
    ("jerry can", "fuel-oil"),
    ("lawn mower", "fuel-oil"),
    ("laser printer", "stored-charge"),
    ("thoriated welding rods", "radioactive"),
    ("old fridge", "refrigerant"),
    ("Li-Ion drill", "lithium-battery"),
    ("SMOKE DETECTOR", "radioactive"),
    ("gas-bottle from camping", "sealed-pressure"),
    ("microwave_oven", "stored-charge"),
    ("microwave", "beryllium-oxide"),
    ("brake shoes", "asbestos"),
    ("room thermostat", "mercury"),
    ("catalytic converter", "converter"),
    ("gas struts of a boot lid", "sealed-pressure"),
    ("caravan fridge", "ammonia"),
    ("bucket of empty cases, shell casings", "live-rounds"),
    ("carburettor of a mower", "fuel-oil"),
    ("railing with old paint", "lead-paint"),
    ("under pressure", "sealed-pressure"),
    ("a spring inside", "spring-load"),
    ("LPG tank", "sealed-pressure"),
    ("CO2 bottle", "sealed-pressure"),
    ("beer keg", "sealed-pressure"),
    ("Propangas", "sealed-pressure"),
    ("office chair", "sealed-pressure"),
    ("cigarette lighter", "sealed-pressure"),
    ("hydraulic ram", "sealed-pressure"),
    ("WW2 shell", "explosive"),
    ("dynamite", "explosive"),
    ("shotgun shells", "live-rounds"),
    ("seatbelt pretensioner", "airbag"),
    ("steering wheel", "airbag"),
    ("18650 cells", "lithium-battery"),
    ("neon sign", "mercury"),
    ("gas meter", "mercury"),
    ("exit sign", "radioactive"),
    ("Cs-137", "radioactive"),
    ("freon", "refrigerant"),
    ("R134a", "refrigerant"),
    ("engine block", "fuel-oil"),
    ("brakepads", "asbestos"),
    ("tank with gas", "sealed-pressure"),
    ("sealed, don't know what is in it", "sealed-pressure"),
    ("Gasflasche", "sealed-pressure"),
    ("bouteille de gaz", "sealed-pressure"),
    ("Kühlschrank", "refrigerant"),
    ("Akku-Bohrer", "lithium-battery"),
    ("distress flare", "explosive"),
    ("forklift battery", "lead-acid"),
    ("hybrid car battery", "stored-charge"),
    ("cathode ray tube", "stored-charge"),
    ("old telly", "stored-charge"),
    ("tailgate struts", "sealed-pressure"),
    ("compressor tank", "sealed-pressure"),
    ("nicad battery", "cadmium"),
    ("CFL bulb", "mercury"),
    ("glow in the dark clock", "radioactive"),
    ("strimmer", "fuel-oil"),
    ("clutch", "asbestos"),
]


@pytest.mark.parametrize(("said", "danger"), SAID)
def test_words_are_found_as_people_type_them(said: str, danger: str) -> None:
    assert danger in ids(said=said)


@pytest.mark.parametrize(
    "said",
    [
        "", "kitchen tap", "tap cartridge", "printer ink cartridge", "cylinder head of a pump", "lock cylinder",
        "sealed bearing", "phone number +49 30 0", "flare nut", "flare fitting of an air line", "mortar and pestle",
        "bullet connector", "cartridge fuse", "cartridge heater", "tv aerial", "tv bracket", "monitor stand",
        "brake master cylinder", "wheel cylinder", "phone socket", "laptop stand", "kick scooter",
        "brake disc", "door hinge", "window frame", "drainpipe", "consumer tvs2000x", "ceiling lamp, painted",
    ],
)  # fmt: skip
def test_harmless_things_bring_no_danger(said: str) -> None:
    assert ids(said=said) == set()


def test_a_car_battery_is_no_lithium_battery() -> None:
    assert ids(said="car battery") == {"lead-acid"}


def test_a_wrong_act_is_refused_by_row(spoil: Callable[[str, str, str, str], tuple[Path, int]]) -> None:
    path, line = spoil("do-not.csv", "mercury", "forbids", "lick")
    with pytest.raises(TableError, match=f"do-not.csv, row {line}, column forbids"):
        facts.read_dangers(path)
