"""Origins: words as people write them find the most specific row, and words of nothing known find none."""

from __future__ import annotations

from collections import Counter

import pytest

from idkit import facts
from idkit.facts.wording import joined, words_of

ORIGINS = facts.origins()
of_each_origin = pytest.mark.parametrize("origin", ORIGINS.values(), ids=lambda origin: origin.id)

# What a person writes, and the row it is. UK and US spelling, plurals, hyphens, one word or two.
FOUND = [
    ("kitchen tap", "kitchen-tap"), ("kitchen faucet", "kitchen-tap"), ("Faucets", "kitchen-tap"),
    ("the handle of an old kitchen faucet", "kitchen-tap-handle"), ("mixer tap spout", "kitchen-tap-spout"),
    ("shower-head", "shower-head"), ("radiator valve", "ball-valve"), ("valve handle", "valve-handle"),
    ("hand wheel? handwheel of a gate valve", "valve-handle"), ("water meter", "water-meter"),
    ("doorhandles", "door-handle"), ("door knobs", "door-handle"), ("door handle spindle", "door-handle-spindle"),
    ("letterbox", "letter-plate"), ("hinges", "hinge"), ("door lock cylinder", "lock-cylinder"), ("padlock", "padlock"),
    ("aluminum door corner", "window-corner"), ("window frames", "window-frame"), ("sash weights", "window-weight"),
    ("rain gutters", "gutter"), ("roof lead", "lead-sheet"), ("step-ladder", "ladder"), ("house wiring", "house-wire"),
    ("mains cable", "house-wire"), ("coax centre conductor", "coax"), ("coax center conductor", "coax"),
    ("wiring harness of a car", "wiring-loom"), ("microwave transformer core", "transformer-core"),
    ("windings of a washing machine motor", "motor-winding"), ("ceiling fan", "ceiling-fan"),
    ("ceiling fan blade bracket", "ceiling-fan-arm"), ("table lamp base", "table-lamp-base"),
    ("flashlight", "torch"), ("pump impeller", "pump-impeller"), ("bicycle pump", "bicycle-pump"),
    ("spades and rakes", "garden-tool"), ("patio chair", "garden-furniture"), ("bbq", "barbecue"),
    ("lawnmower engine", "mower-engine"), ("lawn mower deck", "mower-deck"), ("carburetor", "carburettor"),
    ("chain-saw", "chainsaw"), ("angle grinder gearbox", "power-tool-head"), ("wrenches", "hand-tool"),
    ("washing machine drum", "washing-machine-drum"), ("washing machine", "washing-machine"),
    ("dish washer", "dishwasher"), ("dryer door", "washing-machine-panel"), ("gas hob burner", "oven-burner"),
    ("oven knob", "oven-knob"), ("oven door handle", "oven-knob"), ("refrigerator", "fridge"),
    ("fridge compressor", "fridge-compressor"), ("microwave oven", "microwave-oven"), ("PC case", "computer-case"),
    ("laptop lid", "laptop-frame"), ("hard disk", "hard-disk"), ("hard disk platters", "hard-disk-platter"),
    ("motherboards", "circuit-board"), ("monitor stand", "screen-stand"), ("printer shaft", "printer-shaft"),
    ("toy cars", "toy-car"), ("bike frame", "bicycle-frame"), ("car radiator", "car-radiator"),
    ("radiator", "radiator-house"), ("alternator", "alternator"), ("starter windings", "motor-winding"),
    ("alloy wheel", "car-wheel"), ("brake disks", "brake-disc"), ("engine block", "engine-block"),
    ("exhaust pipe", "exhaust"), ("car door handle", "door-handle"), ("steering-wheel", "steering-wheel"),
    ("tire weights", "wheel-weight"), ("battery terminals", "car-battery-terminal"), ("copper pipe", "copper-pipe"),
    ("boat propeller", "boat-propeller"), ("deck fitting", "boat-fitting"), ("frying pan", "saucepan"),
    ("cutlery", "cutlery"), ("knives", "cutlery"), ("trumpet", "instrument-brass"), ("flute keys", "instrument-key"),
    ("trophy", "trophy"), ("zippers", "zip"), ("house keys", "key"), ("kitchen sink", "sink"), ("shelves", "shelving"),
    ("bolts", "bolt"), ("washers", "bolt"), ("fishing weight", "fishing-weight"), ("curtain rod", "curtain-rail"),
    ("candlesticks", "candlestick"), ("picture frame", "picture-frame"), ("clock movement", "clock-movement"),
    ("sewing machine", "sewing-machine"), ("golf clubs", "golf-club"), ("camping stove", "camping-stove"),
    ("bronze bearing bush", "bushing"), ("bearing bush", "bushing"), ("radiator fin", "radiator-fins"),
    ("saw housing", "power-tool-head"), ("hand saw", "hand-tool"),
    ("fire extinguisher valve", "fire-extinguisher"), ("gas meter", "gas-meter"), ("road sign", "sign"),
]  # fmt: skip

NOT_FOUND = [
    "", "?", "gubbins", "a thing", "tape", "stapler", "keyboarding", "unlocked", "no idea", "carpet", "tapestry",
    "12345", "found it in a skip", "handle", "brassica", "penguin",
]  # fmt: skip


@pytest.mark.parametrize(("typed", "id"), FOUND)
def test_words_as_people_write_them(typed: str, id: str) -> None:
    found = facts.origin_of(typed)
    assert found is not None
    assert found.id == id


@pytest.mark.parametrize("typed", NOT_FOUND)
def test_words_of_nothing_known_find_no_row(typed: str) -> None:
    assert facts.origin_of(typed) is None


@of_each_origin
def test_each_row_is_found_by_its_own_words(origin) -> None:
    """By some object with some part, or by some object alone: a row that nothing finds is dead."""
    said = [f"{part} of {thing}" for thing in origin.objects for part in origin.parts or ("it out",)]
    assert any(facts.origin_of(words) is origin for words in said)


@of_each_origin
def test_weights_are_mild_and_name_at_least_two_materials(origin) -> None:
    assert len(origin.likely) >= 2 or origin.id in SURE_ENOUGH
    assert all(1 < weight <= 20 for weight in origin.likely.values())


SURE_ENOUGH = {"chainsaw-bar"}
"""Rows with one material: tool steel and nothing else."""


def test_there_are_enough_rows_and_every_material_is_in_one() -> None:
    assert len(ORIGINS) >= 120
    named = Counter(name for origin in ORIGINS.values() for name in origin.likely)
    assert set(named) == set(facts.materials())


def test_no_words_for_an_object_alone_stand_in_two_rows() -> None:
    """The later of two could never be found by them."""
    alone = [joined(thing) for origin in ORIGINS.values() if not origin.parts for thing in origin.objects]
    assert [words for words, count in Counter(alone).items() if count > 1] == []


def test_object_and_part_go_before_a_longer_object() -> None:
    longer = facts.origin_of("kitchen tap")
    both = facts.origin_of("tap handle")
    assert longer is not None
    assert both is not None
    assert (longer.parts, both.id) == ((), "kitchen-tap-handle")


def test_part_and_object_do_not_share_a_word() -> None:
    """'Drum' alone is a drum; a washing machine's drum needs the machine named."""
    found = facts.origin_of("drum")
    assert found is not None
    assert found.id == "drum-kit"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("aluminum", "aluminium"), ("Faucet", "taps"), ("tires", "tyre"), ("batteries", "battery"), ("boxes", "box"),
        ("switches", "switch"), ("pipes", "pipe"), ("fuses", "fuse"), ("dish-washers", "dishwasher"),
        ("lawn mower", "lawnmowers"), ("shelves", "shelf"), ("brass", "Brass"),
    ],
)  # fmt: skip
def test_spelling_plurals_and_hyphens_do_not_matter(one: str, other: str) -> None:
    assert joined(one) == joined(other)


@pytest.mark.parametrize(("one", "other"), [("tape", "tap"), ("plane", "plan"), ("glass", "gla"), ("pane", "pan")])
def test_other_words_stay_other_words(one: str, other: str) -> None:
    assert words_of(one) != words_of(other)
