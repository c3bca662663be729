"""Marks: a designation of every standard that the table names, and what only looks like one.

Designations are from memory of the standards named beside them; their texts are not quoted.
"""

from __future__ import annotations

import pytest

from idkit import facts
from idkit.facts.marks import PIECES, PLACES

MARKS = facts.marks()

# standard, what is read on the part, row, letters
EXAMPLES = [
    ("EN 1774", "ZL0400", "en-zinc"), ("EN 1774", "ZL5", "en-zinc"), ("EN 1774", "ZnAl4Cu1", "en-zinc"),
    ("EN 12844", "ZP5", "en-zinc"), ("EN 12844", "EN 12844-ZP0410", "en-zinc"), ("EN 12844", "zp3", "en-zinc"),
    ("EN 12844", "ZP8", "en-zinc"), ("trade custom", "ZAMAK 3", "zinc-trade"), ("trade custom", "Mazak", "zinc-trade"),
    ("ASTM B86", "ZA-8", "astm-zinc"), ("ASTM B86", "AG40A", "astm-zinc"), ("JIS H 5301", "ZDC2", "astm-zinc"),
    ("none", "ZINC", "zinc-word"), ("none", ">Zn<", "zinc-word"),
    ("EN 1706", "EN AC-46000", "en-aluminium-cast"), ("EN 1706", "EN AC 42000 T6", "en-aluminium-cast"),
    ("EN 1706", "AC-AlSi9Cu3(Fe)", "en-aluminium-cast"), ("EN 1706", "GD-AlSi12", "en-aluminium-cast"),
    ("EN 1706", "EN AB-47100", "en-aluminium-cast"),
    ("ASTM B85", "A380", "national-aluminium-cast"), ("ASTM B85", "A380.0", "national-aluminium-cast"),
    ("ASTM B26", "A356-T6", "national-aluminium-cast"), ("JIS H 5302", "ADC12", "national-aluminium-cast"),
    ("BS 1490", "LM25TF", "national-aluminium-cast"), ("BS 1490", "LM6", "national-aluminium-cast"),
    ("EN 573", "EN AW-6060 T66", "en-aluminium-wrought"), ("EN 573", "AW-AlMgSi", "en-aluminium-wrought"),
    ("EN 573", "EN AW 5754", "en-aluminium-wrought"), ("ANSI H35.1", "6063-T6", "aa-aluminium-wrought"),
    ("ASTM B221", "AA6061-T6", "aa-aluminium-wrought"), ("ASTM B209", "5052-H32", "aa-aluminium-wrought"),
    ("Decision 97/129/EC", "41 ALU", "eu-aluminium"), ("none", "ALU", "aluminium-word"),
    ("none", "aluminum alloy", "aluminium-word"),
    ("EN 1753", "EN-MC21120", "en-magnesium"), ("EN 1753", "MCMgAl9Zn1", "en-magnesium"),
    ("ASTM B94", "AZ91D", "astm-magnesium"), ("ASTM B94", "AM60B", "astm-magnesium"),
    ("none", ">Mg<", "magnesium-word"), ("none", "magnesium", "magnesium-word"),
    ("EN 1412", "CW024A", "en-copper"), ("ISO 1190-1", "Cu-DHP", "en-copper"), ("EN 1057", "EN 1057", "en-copper"),
    ("UNS (ASTM E527)", "C12200", "uns-copper"), ("ASTM B88", "ASTM B88", "uns-copper"),
    ("none", "copper", "copper-word"),
    ("ASTM B33", "tinned copper", "tinned-copper"), ("ASTM B566", "CCA", "copper-clad-aluminium"),
    ("ASTM B869", "CCS", "copper-clad-steel"), ("ASTM B227", "copper clad steel", "copper-clad-steel"),
    ("EN 1982", "CC754S", "en-brass"), ("EN 1982", "CC754S-GM", "en-brass"), ("EN 1982", "CB754S", "en-brass"),
    ("EN 12164", "CW614N", "en-brass"), ("EN 12165", "CW617N", "en-brass"), ("EN 12164", "CW602N", "en-brass"),
    ("EN 12165", "CW612N", "en-brass"), ("EN 1412", "CW511L", "en-brass"), ("EN 1412", "CW724R", "en-brass"),
    ("ISO 1190-1", "CuZn39Pb3", "iso-brass"), ("ISO 1190-1", "CuZn40", "iso-brass"),
    ("UNS (ASTM E527)", "C36000", "uns-brass"), ("UNS (ASTM E527)", "C46400", "uns-brass"),
    ("JIS H 3250", "C3604", "uns-brass"), ("BS 2874", "CZ121", "national-brass"),
    ("BS 2874", "CZ132", "national-brass"),
    ("BS 1400", "DCB1", "national-brass"), ("DIN 17660", "Ms58", "national-brass"),
    ("ISO 6509", "DZR", "dzr-brass"), ("ISO 6509", "CR", "dzr-brass"), ("none", "SOLID BRASS", "brass-word"),
    ("EN 1982", "CC499K", "en-red-brass"), ("EN 1982", "CC491K-GS", "en-red-brass"),
    ("ISO 1190-1", "CuSn5Zn5Pb5-C", "en-red-brass"), ("UNS (ASTM E527)", "C83600", "national-red-brass"),
    ("ASTM B62", "85-5-5-5", "national-red-brass"), ("BS 1400", "LG2", "national-red-brass"),
    ("EN 1412", "CW502L", "en-red-brass"), ("ASTM B139", "phosphor bronze", "uns-tin-bronze"),
    ("ISO 1043-1", ">ABS+PC<", "iso-plastic-often-chromed"), ("DIN 1705", "Rg5", "national-red-brass"),
    ("EN 1982", "CC483K", "en-tin-bronze"),
    ("ISO 1190-1", "CuSn12", "en-tin-bronze"), ("ISO 1190-1", "CuSn8P", "en-tin-bronze"),
    ("EN 1412", "CW453K", "en-tin-bronze"), ("UNS (ASTM E527)", "C93200", "uns-tin-bronze"),
    ("ASTM B505", "SAE 660", "uns-tin-bronze"), ("UNS (ASTM E527)", "C51000", "uns-tin-bronze"),
    ("EN 1982", "CC333G", "en-aluminium-bronze"), ("ISO 1190-1", "CuAl10Fe5Ni5", "en-aluminium-bronze"),
    ("EN 1412", "CW307G", "en-aluminium-bronze"), ("UNS (ASTM E527)", "C95400", "national-aluminium-bronze"),
    ("ASTM B148", "C95500", "national-aluminium-bronze"), ("BS 1400", "AB2", "national-aluminium-bronze"),
    ("none", "bronze", "bronze-word"),
    ("EN 1412", "CW403J", "en-nickel-silver"), ("ISO 1190-1", "CuNi12Zn24", "en-nickel-silver"),
    ("UNS (ASTM E527)", "C75200", "uns-nickel-silver"), ("ASTM B122", "C77000", "uns-nickel-silver"),
    ("trade custom", "EPNS", "plated-nickel-silver"), ("trade custom", "E.P.N.S.", "plated-nickel-silver"),
    ("trade custom", "nickel silver", "plated-nickel-silver"), ("EN 1412", "CW352H", "en-cupronickel"),
    ("ISO 1190-1", "CuNi10Fe1Mn", "en-cupronickel"), ("EN 1982", "CC380H", "en-cupronickel"),
    ("UNS (ASTM E527)", "C71500", "uns-cupronickel"), ("ASTM B111", "C70600", "uns-cupronickel"),
    ("ASTM B160", "Nickel 200", "nickel"), ("DIN 17740", "2.4066", "nickel"),
    ("ISO 3506-1", "A2-70", "iso-stainless-fastener"), ("ISO 3506-1", "A4-80", "iso-stainless-fastener"),
    ("ISO 3506-1", "A1-50", "iso-stainless-fastener"), ("ISO 3506-1", "A2", "iso-stainless-fastener"),
    ("ISO 3506-1", "A4 bolt", "iso-stainless-fastener"), ("ISO 3506-1", "C1-70", "iso-hard-stainless-fastener"),
    ("ISO 898-1", "4.6", "iso-steel-fastener"), ("ISO 898-1", "5.6", "iso-steel-fastener"),
    ("ISO 898-1", "5.8", "iso-steel-fastener"), ("ISO 898-1", "6.8", "iso-steel-fastener"),
    ("ISO 898-1", "8.8 on the bolt", "iso-steel-fastener"), ("ISO 898-1", "8,8", "iso-steel-fastener"),
    ("ISO 898-1", "8.8 on the head", "iso-steel-fastener"), ("ISO 898-1", "stamped 8.8", "iso-steel-fastener"),
    ("ISO 898-1", "8.8 (head)", "iso-steel-fastener"), ("ISO 3506-1", "A2 on the head", "iso-stainless-fastener"),
    ("ISO 898-1", "class 10.9", "iso-steel-fastener"), ("ISO 898-1", "12.9", "iso-steel-fastener"),
    ("SAE J429", "SAE grade 8", "iso-steel-fastener"),
    ("EN 10088-1", "1.4301", "en-stainless-austenitic"), ("EN 10088-1", "1.4404", "en-stainless-austenitic"),
    ("EN 10088-1", "X5CrNi18-10", "en-stainless-austenitic"), ("EN 10088-1", "1.4016", "en-stainless-ferritic"),
    ("EN 10088-1", "X6Cr17", "en-stainless-ferritic"), ("AISI", "AISI 304", "aisi-stainless-austenitic"),
    ("AISI", "SS 316L", "aisi-stainless-austenitic"), ("JIS G 4303", "SUS304", "aisi-stainless-austenitic"),
    ("AISI", "18/8", "aisi-stainless-austenitic"), ("AISI", "inox 18/10", "aisi-stainless-austenitic"),
    ("UNS (ASTM E527)", "S31603", "aisi-stainless-austenitic"), ("ASTM A351", "CF8M", "aisi-stainless-austenitic"),
    ("AISI", "AISI 430", "aisi-stainless-ferritic"), ("AISI", "18/0", "aisi-stainless-ferritic"),
    ("JIS G 4303", "SUS430", "aisi-stainless-ferritic"), ("UNS (ASTM E527)", "S43000", "aisi-stainless-ferritic"),
    ("none", "INOX", "stainless-word"), ("none", "stainless steel", "stainless-word"),
    ("EN 1561", "EN-GJL-250", "en-cast-iron"), ("EN 1563", "EN-GJS-400-15", "en-cast-iron"),
    ("EN 1562", "EN-GJMW-400-5", "en-cast-iron"), ("DIN 1691", "GG25", "national-cast-iron"),
    ("DIN 1693", "GGG-40", "national-cast-iron"), ("JIS G 5501", "FC250", "national-cast-iron"),
    ("ASTM A48", "ASTM A48 class 30", "national-cast-iron"), ("none", "cast iron", "cast-iron-word"),
    ("EN 10025-2", "S235JR", "en-steel"), ("EN 10025-2", "S355", "en-steel"), ("EN 10025-2", "S355J2+N", "en-steel"),
    ("EN 10130", "DC01", "en-steel"), ("DIN 17100", "St37-2", "en-steel"), ("ASTM A36", "ASTM A36", "en-steel"),
    ("trade custom", "CR-V", "tool-steel"), ("ISO 4957", "HSS", "tool-steel"),
    ("Decision 97/129/EC", "40 FE", "eu-steel"), ("EN 10346", "DX51D+Z275", "en-galvanised"),
    ("EN 10346", "S250GD+Z", "en-galvanised"), ("ASTM A653", "ASTM A653", "en-galvanised"),
    ("ISO 1456", "chrome plated", "chrome-plated"), ("none", "brass plated", "brass-plated"),
    ("none", "copper-plated", "copper-plated"),
    ("EN 12659", "Pb985R", "lead"), ("EN 12588", "code 4 lead", "lead"), ("EN 12659", "Pb", "lead"),
    ("EN 611-1", "Pewter", "pewter"), ("EN 611-1", "95 % tin", "pewter"), ("EN 611-1", "Zinn 95 %", "pewter"),
    ("ASTM B348", "Ti-6Al-4V", "titanium-grade"), ("ASTM B265", "Grade 2 Ti", "titanium-grade"),
    ("ASTM B265", "ASTM B265", "titanium-grade"), ("DIN 17850", "3.7035", "titanium-grade"),
    ("none", "Titanium", "titanium-word"),
    ("ISO 11469", ">ABS<", "iso-plastic-often-chromed"), ("ISO 11469", ">PC+ABS<", "iso-plastic-often-chromed"),
    ("ISO 11469", ">PA66-GF30<", "iso-plastic"), ("ISO 1043-1", ">PP<", "iso-plastic"),
    ("ISO 1043-1", ">POM<", "iso-plastic"), ("ISO 1043-1", ">HDPE<", "iso-plastic"),
    ("ISO 11469", ">PP-TD20<", "iso-plastic"), ("ISO 11469", ">PA6-(GF15+MD15)<", "iso-plastic"),
    ("ASTM D7611", "1 PETE", "recycling-plastic"), ("Decision 97/129/EC", "02 PE-HD", "recycling-plastic"),
    ("ASTM D7611", "5 PP", "recycling-plastic"), ("ASTM D7611", "7 OTHER", "recycling-plastic"),
    ("ISO 1629", ">NBR<", "iso-rubber"), ("ISO 1629", ">EPDM<", "iso-rubber"), ("UL 94", "94V-0", "ul-94"),
    ("NEMA LI 1", "FR-4", "board-laminate"), ("IPC-4101", "IPC-4101", "board-laminate"),
    ("HD 361", "H05VV-F 3G1.5", "harmonised-cable"), ("VDE 0250", "NYM-J", "harmonised-cable"),
    ("UL 758", "AWM 1015", "harmonised-cable"), ("Vienna hallmarking convention 1972", "silver 925", "hallmark"),
    ("Vienna hallmarking convention 1972", "STERLING", "hallmark"),
]  # fmt: skip

NEAR_MISSES = [
    "APPLIANCE", "PP", "A4 paper", "A4 80 gsm", "size A2 poster", "8.8 mm", "18.8", "12.8.8", "8.85", "V8.8",
    "version 5.6", "ZP55", "XZP5", "A2-700", "XA2-70", "A380-1234", "Airbus XA380", "1.43010", "11.4301", "C36000-12",
    "XC36000", "C360", "304", "model 304", "6063", "6203-2RS", "AA 1500 mAh", "LM317", "RG58", "MS580", "CZ12",
    "CR2032", "SS", "S2350", "GG250X", "BRASSERIE", "zincate", "aluvial", "inoxia", "lead free", "Pb free", "Pb-free",
    "not brass", "no zinc", "brass polish", "copper look", "chrome effect", "5/18/8", "18/8/2020", "FR-40", "194V-0",
    "CCAX", "ABS", "ABS brakes", ">FOO<", "> 5 PPM", "NR 5", "TI 84", "tin of paint", "BeCu", "No PCBs", "CE", "IP44",
    "230 V 50 Hz", "made in", "", "bronzed legs", "stainlessly", "EN 1111", "M8", "7 otters", "1 PETER", "HSSX",
    "sterlingly", "Cu later",
]  # fmt: skip


@pytest.mark.parametrize(("standard", "typed", "id"), EXAMPLES, ids=lambda value: str(value))
def test_a_designation_of_each_standard_is_read(standard: str, typed: str, id: str) -> None:
    found = facts.marks_in(typed)
    assert [each.mark.id for each in found] == [id]
    assert standard in MARKS[id].standard.split("; ")
    assert found[0].letters in typed.upper().replace(",", ".")


@pytest.mark.parametrize("typed", NEAR_MISSES, ids=repr)
def test_what_only_looks_like_one_is_not(typed: str) -> None:
    assert facts.marks_in(typed) == ()


def test_every_standard_of_every_row_has_an_example() -> None:
    shown = {(id, standard) for standard, _, id in EXAMPLES}
    assert {(id, each) for id, mark in MARKS.items() for each in mark.standard.split("; ")} == shown


def test_every_material_is_named_by_some_mark() -> None:
    """Else its unmarked parts would seem to carry every other mark."""
    assert {name for mark in MARKS.values() for name in mark.materials} == set(facts.materials())


@pytest.mark.parametrize(
    ("typed", "piece", "place"),
    [
        ("A2-70 on the screw", "screw", "fastener"),
        ("screws: A2-70", "screw", "fastener"),
        ("cap screw A2-70", "screw", "fastener"),
        ("A2-70 (bolt head)", "bolt", "fastener"),
        ("ZP5 (body)", "body", "body"),
        ("ZP5 on the body, under a cap", "body", "body"),
        ("ZP5", "", "body"),
        (">PP< on the cap", "cap", "attached"),
        ("brass, label", "", "body"),
        ("label says brass", "label", "attached"),
        ("zamak handle", "handle", "attached"),
        ("ZP5 inside, near the rim", "", "body"),
    ],
)
def test_the_piece_it_stands_on(typed: str, piece: str, place: str) -> None:
    found = facts.marks_in(typed)[0]
    assert (found.piece, found.place) == (piece, place)


@pytest.mark.parametrize(
    "typed",
    ["A2-70 on the screw; ZP5 (body)", "A2-70 on the screw, ZP5 body", "A2-70 on the screw and ZP5 on the body",
     "A2-70 on the screw\nZP5 on the body", "  a2-70   on the screw ;zp5 body"],
)  # fmt: skip
def test_several_marks_each_with_its_piece(typed: str) -> None:
    found = [(each.letters, each.piece) for each in facts.marks_in(typed)]
    assert found == [("A2-70", "screw"), ("ZP5", "body")]


@pytest.mark.parametrize("dash", "-\u2010\u2011\u2013\u2014\u2212")
def test_any_dash_is_a_hyphen(dash: str) -> None:
    assert [each.letters for each in facts.marks_in(f"EN AC{dash}46000")] == ["EN AC-46000"]


@pytest.mark.parametrize(
    "typed", ["inox 18/10", "stainless steel 18/8", "brass plated", "zinc plated", "aluminium bronze"]
)
def test_of_two_that_overlap_the_longer_is_taken(typed: str) -> None:
    assert [each.letters for each in facts.marks_in(typed)] == [typed.upper()]


def test_pieces_are_places_that_exist() -> None:
    assert set(PIECES.values()) == set(PLACES)


def test_tables_of_designations_are_long_enough() -> None:
    assert len(EXAMPLES) >= 60
    assert len(NEAR_MISSES) >= 30
