"""Load lists and tickets from the command line: filled, refused, shown, reconciled."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pytest

from idkit import flows, keep
from idkit.show.cli import run
from idkit.vocabulary import Answer, Entry

Captured = pytest.CaptureFixture[str]
# Invented prices.
PRICES = """category,state,price,unit,currency
yellow brass,clean,4.00,kg,EUR
yellow brass,dirty,2.50,kg,EUR
zinc,,1.10,kg,EUR
copper,,7.00,kg,EUR
"""
TICKET = "category,state,gross,tare,net,price,paid,step\nyellow brass,clean,5.2 kg,1.2 kg,4.0 kg,4.00,16.00,0.1 kg\n"


@pytest.fixture(autouse=True)
def at_the_yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    monkeypatch.chdir(tmp_path)
    Path("prices.csv").write_text(PRICES, encoding="utf-8")
    for call in (["yard", "new", "Old Quay Metals"], ["prices", "use", "prices.csv"], ["load", "new", "May"]):
        assert run(call) == 0
    capsys.readouterr()


def kept(part: str, pile: str, weight: str, chances: dict[str, float] | None = None) -> int:
    answers = {"weight": Answer("weight", float(weight.split()[0]), "kg", 0.001, weight)}
    document = {"part": part, "categories": [{"id": k, "chance": v} for k, v in (chances or {pile: 1.0}).items()]}
    entry = Entry(
        part, "identify", "as-found", answers, {"yellow-brass": 1.0}, pile, not chances, ("m", "d"), document, ()
    )
    return keep.add(entry, None)


def shown(capsys: Captured, name: str = "May") -> dict:
    capsys.readouterr()
    assert run(["load", "show", name, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_records_a_pile_and_a_weighed_line_go_on_and_come_off(capsys: Captured) -> None:
    first, second = (
        kept("tap", "yellow-brass", "0.650 kg"),
        kept("hinge", "zinc", "0.240 kg", {"zinc": 0.6, "tin": 0.4}),
    )
    run(["pile", "new", "brass bucket", "--category", "yellow-brass", "--state", "clean", "--tare", "1 kg"])
    run(["pile", "add", "brass bucket", "--what", "valves", "--pieces", "9", "--weight", "3 kg"])
    assert run(["load", "add", "May", "--records", f"{first},{second}"]) == 0
    assert run(["load", "add", "May", "--pile", "brass bucket"]) == 0
    assert run(["load", "add", "May", "--category", "copper", "--gross", "6 kg", "--tare", "1 kg"]) == 0
    found = shown(capsys)
    assert found["kg"] == "8.890"
    by = {(row["category"], row["state"]): row for row in found["categories"]}
    assert by["copper", None]["value"] == {"low": "35.00", "high": "35.00", "currency": "EUR"}
    assert by["yellow-brass", "clean"]["expected"] == "12.00"
    assert by["yellow-brass", None]["value"] == {"low": "1.62", "high": "2.60", "currency": "EUR"}  # 0.65 x 2.50, 4.00
    # Zinc 6 in 10: 0.24 x 1.10 x 0.6 = 0.1584, and tin has no price.
    assert by["zinc", None]["expected"] == "0.16"
    assert by["zinc", None]["surely"] == "0.6000"
    assert any("hinge" in question for question in found["ask"])
    assert run(["load", "take-off", "May", "3"]) == 0
    assert shown(capsys)["kg"] == "5.890"
    assert flows.list_piles("brass bucket")[0].mass.kg == 3


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        (["add", "May"], "one of --records, --pile and --category"),
        (["add", "May", "--category", "copper"], "neither a weight nor pieces"),
        (["add", "May", "--category", "coper", "--weight", "1 kg"], "copper"),
        (["add", "May", "--category", "copper", "--weight", "1"], "--weight"),
        (["add", "May", "--category", "copper", "--gross", "1 kg", "--tare", "2 kg"], "less than --gross"),
        (["add", "May", "--category", "copper", "--weight", "1 kg", "--tare", "2 kg"], "--weight for net"),
        (["add", "June", "--category", "copper", "--weight", "1 kg"], "no load"),
        (["add", "May", "--records", "99"], "99"),
        (["take-off", "May", "7"], "it is empty"),
        (["ticket", "May"], "has no ticket"),
        (["ticket", "May", "--category", "copper", "--net", "1 kg"], "--paid"),
        (["new", "x" * 80], "1 to 60 letters"),
        (["new", "May", "--payload", "heavy"], "--payload"),
    ],
)
def test_what_can_not_be_is_one_line(wrong: list[str], told: str, capsys: Captured) -> None:
    assert run(["load", *wrong]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert told in error


def test_a_record_is_on_one_load_and_a_closed_one_takes_no_more(capsys: Captured) -> None:
    number = kept("tap", "yellow-brass", "0.650 kg")
    assert run(["load", "add", "May", "--records", str(number)]) == 0
    run(["load", "new", "June"])
    assert run(["load", "add", "June", "--records", str(number)]) == 2
    assert "which is on May" in capsys.readouterr().err
    assert run(["load", "close", "May"]) == 0
    assert run(["load", "add", "May", "--category", "copper", "--weight", "1 kg"]) == 2
    assert "is closed" in capsys.readouterr().err
    assert run(["load", "close", "May", "--open"]) == 0
    assert run(["load", "add", "May", "--category", "copper", "--weight", "1 kg"]) == 0


def test_the_table_is_safe_in_a_spreadsheet_and_the_page_needs_nothing_else(capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "copper", "--weight", "1 kg", "--what", "=cmd()<script>"])
    assert run(["load", "show", "--csv", "load.csv", "--page", "load.html"]) == 0
    (row,) = csv.DictReader(Path("load.csv").read_text("utf-8").splitlines())
    assert row["what"] == "'=cmd()<script>"
    page = Path("load.html").read_text("utf-8")
    assert "&lt;script&gt;" in page
    assert "<script" not in page
    assert "http" not in page.replace("http-equiv", "")
    assert run(["load", "show", "--csv", "nowhere/load.csv"]) == 2
    assert run(["load", "show", "--csv", "load.xlsx"]) == 2
    assert run(["load", "show", "--page", "load.pdf"]) == 2
    assert not Path("load.xlsx").exists()


def test_a_ticket_confirms_what_was_taken_as_sold(capsys: Captured) -> None:
    tap, valve = kept("tap", "yellow-brass", "2.0 kg"), kept("valve", "yellow-brass", "2.0 kg")
    hinge = kept("hinge", "zinc", "1.0 kg")
    run(["load", "add", "May", "--records", f"{tap},{valve}", "--state", "clean"])
    run(["load", "add", "May", "--records", str(hinge)])
    more = "zinc,,1 kg,,,,0.50,0.1 kg\n"
    Path("ticket.csv").write_text(TICKET + more, encoding="utf-8")
    text = Path("ticket.csv").read_text("utf-8").replace("category,state,", "category,state,called,reason,")
    text = text.replace("brass,clean,", "brass,clean,,,").replace("zinc,,1 kg", "zinc,,light iron,steel in it,1 kg")
    Path("ticket.csv").write_text(text, encoding="utf-8")
    assert run(["load", "ticket", "May", "--file", "ticket.csv", "--confirm"]) == 0
    told = capsys.readouterr().out
    assert "16.50 EUR paid" in told
    assert "the yard called it light iron: steel in it" in told
    assert "2 records are confirmed" in told
    samples = {sample.record: sample for sample in keep.samples()}
    assert set(samples) == {tap, valve}
    assert samples[tap].label.by == "yard"
    assert samples[tap].label.yard == "Old Quay Metals"
    assert samples[tap].label.pile == "yellow-brass"
    assert len(samples[tap].materials) > 1  # a pile was named, not a metal
    (down,) = keep.downgrades()
    assert (down.claimed, down.paid, down.reason, down.records) == ("zinc", "light-iron", "steel in it", (hinge,))
    assert run(["load", "ticket", "May", "--confirm"]) == 2
    assert "was confirmed already" in capsys.readouterr().err


def test_wrong_cells_of_a_ticket_are_all_told_and_nothing_is_kept(capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "copper", "--weight", "1 kg"])
    Path("ticket.csv").write_text(
        "category,gross,tare,net,paid\ncoper,1 kg,,1 kg,7\ncopper,heavy,,1 kg,7\ncopper,3 kg,1 kg,1 kg,lots\n", "utf-8"
    )
    assert run(["load", "ticket", "May", "--file", "ticket.csv"]) == 2
    told = capsys.readouterr().err
    for place in ("row 2, column category", "row 3, column gross", "row 4, column paid"):
        assert place in told
    assert not flows.load_called("May").tickets


def test_net_is_gross_less_tare_less_what_was_deducted(capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "copper", "--weight", "1 kg"])
    assert run(["load", "ticket", "May", "--category", "copper", "--gross", "3 kg", "--tare", "1 kg", "--net", "1 kg"]
               + ["--paid", "7"]) == 2  # fmt: skip
    assert "gross less tare less deducted is 2 kg, net says 1 kg" in capsys.readouterr().err


def test_what_may_hurt_or_break_a_law_is_said_where_it_is_on_the_load(capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "copper", "--weight", "1 kg", "--what", "pipe"])
    told = shown(capsys)
    assert [each["id"] for each in told["cautions"]] == ["selling"]
    assert told["leave_closed"] == []
    run(["load", "add", "May", "--category", "sealed-units", "--pieces", "1", "--what", "fridge compressor"])
    run(["load", "add", "May", "--category", "lead", "--weight", "3 kg", "--what", "flashing"])
    run(["load", "add", "May", "--category", "copper", "--weight", "3 kg", "--what", "bus bar of a railway"])
    run(["load", "add", "May", "--category", "lead-acid-batteries", "--pieces", "2"])
    told = shown(capsys)
    assert {each["id"] for each in told["cautions"]} == {"selling", "lead", "restricted"}
    assert {"refrigerant", "sealed-pressure", "lead-acid"} <= {each["id"] for each in told["leave_closed"]}


def test_a_ticket_said_again_takes_the_place_of_the_one_before(capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "copper", "--weight", "1 kg"])
    line = ["load", "ticket", "May", "--category", "copper", "--net", "1 kg"]
    run([*line, "--paid", "70"])
    capsys.readouterr()
    assert run([*line, "--paid", "7"]) == 0
    assert "7.00 EUR paid" in capsys.readouterr().out
    assert run(["load", "ticket", "May", "--more", "--category", "zinc", "--net", "1 kg", "--paid", "1"]) == 0
    assert "8.00 EUR paid" in capsys.readouterr().out
    assert len([act for act in keep.acts("load") if act.act == "ticket"]) == 3  # what was said before is kept


def test_a_record_that_lies_on_a_pile_is_not_counted_twice(capsys: Captured) -> None:
    number = kept("tap", "yellow-brass", "0.650 kg")
    run(["pile", "new", "brass bucket", "--category", "yellow-brass"])
    run(["pile", "add", "brass bucket", "--records", str(number)])
    capsys.readouterr()
    assert run(["load", "add", "May", "--records", str(number)]) == 2
    assert "which lies on brass bucket" in capsys.readouterr().err
    assert run(["load", "add", "May", "--pile", "brass bucket"]) == 0
    assert run(["pile", "add", "brass bucket", "--records", str(number)]) == 2
    assert "May" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("category", "closed", "cautions"),
    [
        ("lead-acid-batteries", ["lead-acid"], []),
        ("transformers", ["pcb-oil"], []),
        ("ballasts", ["pcb-oil"], []),
        ("appliances", [], ["cooling-gas"]),
        ("radiators-aluminium-copper", [], ["cooling-gas"]),
        ("wheel-weights-lead", [], ["lead"]),
        ("insulated-cable", [], ["burning-insulation"]),
        ("copper", [], []),
    ],
)
def test_what_is_only_named_brings_its_dangers_too(
    category: str, closed: list[str], cautions: list[str], capsys: Captured
) -> None:
    assert run(["load", "add", "May", "--category", category, "--gross", "3 kg"]) == 0
    found = flows.show_load("May")
    assert [each.id for each in found.dangers] == closed
    assert [each.id for each in found.cautions] == [*cautions, "selling"]
    capsys.readouterr()


def test_the_yard_is_not_asked_what_it_pays_for_what_nobody_buys() -> None:
    for category in ("keep-or-resell", "recycling-point", "not-scrap-metal", "tin"):
        run(["load", "add", "May", "--category", category, "--gross", "3 kg"])
    told = flows.show_load("May").questions
    assert [line.partition("?")[0] for line in told] == ["What do you pay for tin and pewter"]


def test_a_deduction_in_per_cent_is_of_what_was_weighed(capsys: Captured) -> None:
    # 19 kg net after 5 % off: 20 kg were weighed, 22 kg with the tare of 2 kg.
    (line,) = flows.read_ticket(
        "ticket.csv",
        ["category", "net", "tare", "deducted", "paid"],
        [(2, {"category": "copper", "net": "19 kg", "tare": "2 kg", "deducted": "5 %", "paid": "133"})],
        flows.in_use().yard,
    )
    assert (line.gross, line.deducted, line.net) == (22, 1, 19)
    run(["load", "add", "May", "--category", "copper", "--weight", "1 kg"])
    capsys.readouterr()
    for wrong in (
        ["--gross", "3 kg", "--tare", "5 kg"],
        ["--gross", "3 kg", "--deducted", "4 kg"],
        ["--net", "3 kg", "--deducted", "100 %"],
    ):
        assert run(["load", "ticket", "May", "--category", "copper", *wrong, "--paid", "7"]) == 2
        assert capsys.readouterr().err.count("\n") == 1
    assert not flows.load_called("May").tickets


def test_a_load_stays_with_its_yard_where_something_else_is_said_of_it() -> None:
    run(["yard", "new", "Second"])
    run(["yard", "use", "Second"])
    assert run(["load", "new", "May", "--note", "ring before"]) == 0
    assert flows.load_called("May").yard == "Old Quay Metals"
    assert run(["load", "new", "May", "--yard", "Second"]) == 0
    assert flows.load_called("May").yard == "Second"
    assert run(["load", "new", "June"]) == 0
    assert flows.load_called("June").yard == "Second"
    # One that has its ticket was sold there.
    run(["load", "ticket", "May", "--category", "copper", "--net", "1 kg", "--paid", "7"])
    assert run(["load", "new", "May", "--yard", "Old Quay Metals"]) == 2
    assert flows.load_called("May").yard == "Second"


def test_records_weighed_together_are_as_sure_as_each_of_them(capsys: Captured) -> None:
    tap = kept("tap", "yellow-brass", "2.0 kg")
    doubtful = kept("knob", "yellow-brass", "2.0 kg", {"yellow-brass": 0.6, "zinc": 0.4})
    run(["load", "add", "May", "--records", f"{tap},{doubtful}", "--weight", "4 kg", "--state", "clean"])
    (row,) = shown(capsys)["categories"]
    assert row["surely"] == "0.8000"  # 1 of the tap, 0.6 of the knob
    # 3.2 kg at 4.00 = 12.80, and 0.8 kg of zinc at 1.10 = 0.88.
    assert row["expected"] == "13.68"


def test_records_behind_several_lines_of_a_ticket_are_confirmed_once_or_not_at_all(capsys: Captured) -> None:
    taps = [kept(f"tap {n}", "yellow-brass", "2.0 kg") for n in range(3)]
    hinges = [kept(f"hinge {n}", "zinc", "1.0 kg") for n in range(2)]
    run(["load", "add", "May", "--records", ",".join(map(str, taps)), "--state", "clean"])
    run(["load", "add", "May", "--records", ",".join(map(str, hinges))])
    # The yard made two lines of the taps, one of them dirty, and two of the hinges, both as zinc.
    rows = "yellow brass,clean,,4 kg,16\nyellow brass,clean,dirty,2 kg,5\nzinc,,,1 kg,1.10\nzinc,,,1 kg,1.10\n"
    Path("ticket.csv").write_text("category,state,called-state,net,paid\n" + rows, encoding="utf-8")
    assert run(["load", "ticket", "May", "--file", "ticket.csv", "--confirm"]) == 0
    assert "2 records are confirmed" in capsys.readouterr().out
    assert {sample.record for sample in keep.samples()} == set(hinges)
    assert [len(keep.show(each).labels) for each in hinges] == [1, 1]
    (down,) = keep.downgrades()  # nobody knows which of the taps it was
    assert set(down.records) == set(taps)


def test_a_record_that_was_purged_does_not_keep_a_ticket_from_confirming(capsys: Captured) -> None:
    tap, hinge = kept("tap", "yellow-brass", "2.0 kg"), kept("hinge", "zinc", "1.0 kg")
    run(["load", "add", "May", "--records", f"{tap},{hinge}", "--state", "clean"])
    assert run(["samples", "remove", str(hinge)]) == 2  # it is on a load
    keep.remove([hinge])
    run(["samples", "purge", "--yes"])
    rows = "yellow brass,clean,2 kg,8\nzinc,clean,1 kg,1.10\n"
    Path("ticket.csv").write_text("category,state,net,paid\n" + rows, encoding="utf-8")
    capsys.readouterr()
    assert run(["load", "ticket", "May", "--file", "ticket.csv", "--confirm"]) == 0
    assert {sample.record for sample in keep.samples()} == {tap}


def test_a_yard_that_puts_two_categories_together_tells_no_more_by_its_ticket(capsys: Captured) -> None:
    run(["yard", "new", "Old Quay Metals", "--merge", "copper-clad=light-iron"])
    rod, sheet = kept("rod", "copper-clad", "1.0 kg"), kept("sheet", "light-iron", "3.0 kg")
    run(["load", "add", "May", "--records", f"{rod},{sheet}"])
    line = ["--category", "copper-clad", "--called", "light iron", "--net", "4 kg", "--paid", "1", "--confirm"]
    assert run(["load", "ticket", "May", *line]) == 0
    assert keep.downgrades() == ()  # it is one and the same there
    samples = {sample.record: sample for sample in keep.samples()}
    assert {record: sample.label.pile for record, sample in samples.items()} == {
        rod: "copper-clad",
        sheet: "light-iron",
    }
    assert {"copper-clad-steel", "carbon-steel"} <= set(samples[rod].materials) == set(samples[sheet].materials)


def test_records_that_left_with_what_was_poured_out_are_not_sold_again(capsys: Captured) -> None:
    tap, valve = kept("tap", "yellow-brass", "0.650 kg"), kept("valve", "yellow-brass", "0.350 kg")
    run(["pile", "new", "brass bucket", "--category", "yellow-brass"])
    run(["pile", "add", "brass bucket", "--records", f"{tap},{valve}"])
    run(["load", "add", "May", "--pile", "brass bucket", "--weight", "0.2 kg"])
    assert run(["load", "add", "May", "--pile", "brass bucket"]) == 0  # all that was left, whichever it is
    capsys.readouterr()
    assert run(["load", "add", "May", "--records", str(tap)]) == 2
    assert "which is on May" in capsys.readouterr().err
    assert run(["pile", "add", "brass bucket", "--records", str(tap)]) == 2
    assert run(["load", "take-off", "May", "2"]) == 0  # back on the pile
    assert run(["load", "add", "May", "--records", str(tap)]) == 2
    assert "which lies on brass bucket" in capsys.readouterr().err


def test_what_was_removed_or_taken_apart_is_not_sold(capsys: Captured) -> None:
    gone, fan = kept("tap", "yellow-brass", "0.650 kg"), kept("fan", "zinc", "3.0 kg")
    run(["samples", "remove", str(gone)])
    run(["find", "new", "fan", "--record", str(fan)])
    split = ["find", "split", "fan", "--gives", "rim=zinc=2 kg", "--gives", "hub=yellow brass=1 kg", "--minutes", "5"]
    assert run([*split, "--plan"]) == 0
    assert run(["load", "add", "May", "--records", str(fan)]) == 0  # only a plan so far
    capsys.readouterr()
    assert run(split) == 2
    assert "which is on the load May" in capsys.readouterr().err
    run(["load", "take-off", "May", "1"])
    assert run(split) == 0
    run(["pile", "new", "zinc bucket", "--category", "zinc"])
    capsys.readouterr()
    for call in (["load", "add", "May"], ["pile", "add", "zinc bucket"]):
        assert run([*call, "--records", str(fan)]) == 2
        assert "which was taken apart as fan" in capsys.readouterr().err
        assert run([*call, "--records", str(gone)]) == 2
        assert "which was removed" in capsys.readouterr().err


def test_a_closed_load_keeps_the_prices_that_held(capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "zinc", "--weight", "10 kg"])
    run(["load", "close", "May"])
    Path("prices.csv").write_text(PRICES.replace("1.10", "2.00"), encoding="utf-8")
    run(["prices", "use", "prices.csv"])
    assert shown(capsys)["expected"] == "11.00"
    Path("ticket.csv").write_text("category,net,paid\nzinc,10 kg,11.00\n", encoding="utf-8")
    assert run(["load", "ticket", "May", "--file", "ticket.csv"]) == 0
    assert "0 EUR against the list" in capsys.readouterr().out
    run(["load", "new", "June"])
    run(["load", "add", "June", "--category", "zinc", "--weight", "10 kg"])
    assert shown(capsys, "June")["expected"] == "20.00"


def test_a_ticket_line_paid_by_the_piece_says_how_many(capsys: Captured) -> None:
    Path("prices.csv").write_text(PRICES + "sealed-units,,12.00,each,EUR\n", encoding="utf-8")
    assert run(["prices", "use", "prices.csv"]) == 0
    assert run(["load", "add", "May", "--category", "sealed-units", "--pieces", "5"]) == 0
    line = ["load", "ticket", "May", "--category", "sealed-units", "--unit", "each", "--paid", "44"]
    assert run(line) == 2
    assert "--pieces" in capsys.readouterr().err
    assert run([*line, "--pieces", "no"]) == 2
    assert "a number of pieces" in capsys.readouterr().err
    assert run([*line, "--pieces", "4"]) == 0
    told = capsys.readouterr().out
    assert "4 pieces, 44.00 EUR paid" in told
    assert "the yard counted 1 piece less" in told


def test_the_difference_of_a_ticket_counts_what_is_on_one_side_alone(capsys: Captured) -> None:
    for category in ("copper", "zinc"):
        run(["load", "add", "May", "--category", category, "--weight", "10 kg"])
    Path("ticket.csv").write_text("category,net,paid\ncopper,10 kg,70.00\nlead,5 kg,4.75\n", encoding="utf-8")
    capsys.readouterr()
    assert run(["load", "ticket", "May", "--file", "ticket.csv"]) == 0
    told = capsys.readouterr().out
    assert "-6.25 EUR against the list, which had 81.00 EUR" in told  # 74.75 less 70.00 and 11.00
    assert re.search(r"has no price +\+4.75 EUR", told)
    assert re.search(r"on no ticket +-11.00 EUR", told)


def test_wrong_cells_of_a_ticket_bring_no_others(capsys: Captured) -> None:
    Path("ticket.csv").write_text("category,gross,paid\nzinc,many,11.00\n", encoding="utf-8")
    assert run(["load", "ticket", "May", "--file", "ticket.csv"]) == 2
    told = capsys.readouterr().err
    assert "1 cell can't be read, so nothing of it is kept" in told
    assert "net" not in told


def test_a_pile_that_was_not_weighed_is_not_said_to_have_no_price(capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "zinc", "--pieces", "3"])
    capsys.readouterr()
    run(["load", "show", "May"])
    told = capsys.readouterr().out
    assert "1 line not weighed" in told
    assert "Without a price" not in told
    assert "What do you pay" not in told


def test_a_load_that_is_there_says_so(capsys: Captured) -> None:
    assert run(["load", "new", "may"]) == 2
    assert "May is there already" in capsys.readouterr().err


# What a load is worth must not change behind one's back, and the yard confirms only what it paid for.

OLD_QUAY = "Old Quay Metals"
RIVER = "category,state,price,unit,currency\nyellow brass,,1.00,lb,USD\nlight iron,,180,ton,USD\n"


def worth(capsys: Captured, name: str = "May") -> str:
    return str(shown(capsys, name)["expected"])


def test_a_price_stays_where_a_category_gets_another_name(capsys: Captured) -> None:
    Path("taps.csv").write_text(PRICES.replace("yellow brass", "taps"), encoding="utf-8")
    assert run(["yard", "new", OLD_QUAY, "--call", "yellow-brass=taps"]) == 0
    assert run(["prices", "use", "taps.csv"]) == 0
    run(["load", "add", "May", "--category", "taps", "--state", "clean", "--weight", "10 kg"])
    run(["load", "close", "May"])
    assert run(["yard", "new", OLD_QUAY, "--call", "yellow-brass=brass"]) == 0
    assert worth(capsys) == "40.00"
    assert run(["prices", "show"]) == 0
    assert run(["prices", "show", "brass"]) == 0
    assert capsys.readouterr().out.count("4.00 EUR") == 2


@pytest.mark.parametrize(
    "change",
    [
        ["prices", "use", "dearer.csv"],
        ["yard", "new", OLD_QUAY, "--merge", "zinc=copper"],
        ["yard", "new", OLD_QUAY, "--ton", "ton=gross-ton"],
    ],
)
def test_a_closed_load_keeps_the_day_it_was_closed_on(change: list[str], capsys: Captured) -> None:
    run(["yard", "new", OLD_QUAY, "--ton", "ton=net-ton"])
    Path("tons.csv").write_text(PRICES + "light iron,,180,ton,EUR\n", encoding="utf-8")
    Path("dearer.csv").write_text(PRICES.replace("1.10", "9.10"), encoding="utf-8")
    run(["prices", "use", "tons.csv"])
    for category, weight in (("zinc", "10 kg"), ("light iron", "2 tonne")):
        run(["load", "add", "May", "--category", category, "--weight", weight])
    run(["load", "close", "May"])
    before = worth(capsys)
    assert run(change) == 0
    assert run(["load", "close", "May"]) == 2
    assert run(["load", "new", "May", "--yard", OLD_QUAY]) == 0
    run(["yard", "new", "Riverside"])
    assert run(["load", "new", "May", "--yard", "Riverside"]) == 2
    assert worth(capsys) == before


def confirmed_by(*ticket: str) -> list[bool]:
    """Whether each of two records of clean brass, 1 kg in all, has a label after a ticket was confirmed."""
    numbers = [kept("tap", "yellow-brass", "0.500 kg"), kept("valve", "yellow-brass", "0.500 kg")]
    run(["load", "add", "May", "--records", ",".join(map(str, numbers)), "--state", "clean"])
    assert run(["load", "ticket", "May", "--category", "yellow brass", *ticket, "--confirm"]) == 0
    return [each.label is not None for each in keep.known(numbers)]


def test_a_ticket_confirms_what_it_paid_for() -> None:
    assert confirmed_by("--state", "clean", "--gross", "1.05 kg", "--paid", "4.20") == [True, True]


@pytest.mark.parametrize(
    ("ticket", "said"),
    [
        (["--state", "clean", "--net", "0 kg", "--paid", "0", "--reason", "not brass"], "not paid"),
        (["--state", "clean", "--gross", "0.15 kg", "--paid", "0.60"], "far apart"),
        (["--state", "dirty", "--gross", "1.00 kg", "--paid", "2.50"], "no part of it labelled"),
    ],
)
def test_a_ticket_confirms_nothing_that_it_refused(ticket: list[str], said: str, capsys: Captured) -> None:
    assert confirmed_by(*ticket) == [False, False]
    assert said in " ".join(capsys.readouterr().out.split())


def test_money_of_a_confirmed_ticket_can_be_put_right_but_not_what_it_says_of_records(capsys: Captured) -> None:
    sold = ["load", "ticket", "May", "--category", "yellow brass", "--state", "clean", "--gross", "1.05 kg"]
    assert confirmed_by(*sold[5:], "--paid", "42.0") == [True, True]
    assert "42.00 EUR paid" in run_and_read(capsys, "load", "show", "May")
    assert run([*sold, "--paid", "4.20"]) == 0
    assert "4.20 EUR paid" in run_and_read(capsys, "load", "show", "May")
    assert run([*sold, "--paid", "4.20", "--called", "zinc"]) == 2
    assert "says otherwise of record" in capsys.readouterr().err
    assert "4.20 EUR paid" in run_and_read(capsys, "load", "show", "May")
    assert [each.label is not None for each in keep.known([1, 2])] == [True, True]


def run_and_read(capsys: Captured, *words: str) -> str:
    """What a command prints, that went well."""
    capsys.readouterr()
    assert run(list(words)) == 0
    return capsys.readouterr().out


def test_what_the_yard_said_of_one_part_stands(capsys: Captured) -> None:
    number = kept("tap", "yellow-brass", "0.500 kg")
    run(["load", "add", "May", "--records", str(number), "--state", "clean"])
    assert run(["confirm", str(number), "zinc-die-cast", "--by", "yard", "--yard", OLD_QUAY]) == 0
    assert f"Record {number} on line 1 was since said to be zinc" in " ".join(shown(capsys)["since"])
    run(["load", "ticket", "May", "--category", "yellow brass", "--state", "clean", "--gross", "0.5 kg", "--paid", "2"])
    run(["load", "ticket", "May", "--confirm"])
    (each,) = keep.known([number])
    assert each.label is not None
    assert each.label.materials == ("zinc-die-cast",)


def test_what_has_one_price_is_paid_as_one(capsys: Captured) -> None:
    """Fee, step and least weight count once, whatever is said to be clean."""
    rows = ["zinc,1.00,kg,EUR,2,,", "yellow brass,4.00,kg,EUR,,,", "yellow brass,5.00,kg,EUR,,10 kg,"]
    rows += ["copper,7.00,kg,EUR,,,10 kg"]
    Path("plain.csv").write_text("\n".join(["category,price,unit,currency,fee,from,minimum", *rows]), encoding="utf-8")
    assert run(["prices", "use", "plain.csv"]) == 0
    for category in ("zinc", "yellow brass", "copper"):
        for state in ("clean", "dirty", ""):
            more = ["--state", state] if state else []
            run(["load", "add", "May", "--category", category, "--weight", "4 kg", *more])
    values = {group["category"]: group["expected"] for group in shown(capsys)["categories"]}
    assert values == {"zinc": "10.00", "yellow-brass": "60.00", "copper": "84.00"}
    run(["load", "ticket", "May", "--category", "zinc", "--gross", "12 kg", "--fee", "2", "--paid", "10"])
    out = capsys.readouterr().out
    assert "as the list had it" in out
    assert "ticket: zinc" not in out


def test_a_load_is_read_by_its_own_yard(capsys: Captured) -> None:
    """Its tons, its prices, where another yard is in use."""
    run(["yard", "new", OLD_QUAY, "--ton", "ton=net-ton"])
    run(["yard", "new", "Riverside", "--ton", "ton=gross-ton"])
    Path("river.csv").write_text(RIVER, encoding="utf-8")
    assert run(["prices", "use", "river.csv", "--yard", "Riverside"]) == 0
    run(["load", "new", "June", "--yard", "Riverside"])
    run(["load", "add", "June", "--category", "light iron", "--weight", "2 ton"])
    run(["load", "add", "June", "--category", "yellow brass", "--weight", "10 kg"])
    told = shown(capsys, "June")
    assert float(told["kg"]) == pytest.approx(10 + 2 * 1016.0469088)  # long tons: Weights and Measures Act 1985
    assert run(["clean", "--load", "June", "--off", "1 kg steel", "--worth", "10"]) == 0
    assert "USD" in capsys.readouterr().out
    call = ["load", "ticket", "June", "--category", "light iron", "--gross", "2 ton", "--unit", "ton", "--price", "180"]
    assert run([*call, "--paid", "360"]) == 0
    assert "own sums" not in capsys.readouterr().out


def test_buckets_ride_along(capsys: Captured) -> None:
    run(["load", "new", "May", "--payload", "20 kg"])
    run(["load", "add", "May", "--category", "zinc", "--gross", "24 kg", "--tare", "5 kg"])
    assert shown(capsys)["over_kg"] == "4"
    run(["load", "take-off", "May", "1"])
    run(["load", "add", "May", "--category", "zinc", "--pieces", "400"])
    run(["load", "show", "May"])
    assert "less what nobody weighed (1 line)" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("more", "named"),
    [
        (["--pile", "bucket", "--pieces", "5"], "--pieces"),
        (["--pile", "bucket", "--category", "zinc"], "--pile with --category"),
        (["--category", "zinc", "--weight", "1 kg", "--parts", "1"], "--parts"),
        (["--records", "1", "--pieces", "9"], "--pieces"),
    ],
)
def test_no_option_is_dropped_in_silence(more: list[str], named: str, capsys: Captured) -> None:
    kept("tap", "yellow-brass", "0.500 kg")
    run(["pile", "new", "bucket", "--category", "zinc"])
    run(["pile", "add", "bucket", "--what", "bits", "--pieces", "50", "--weight", "10 kg"])
    assert run(["load", "add", "May", *more]) == 2
    assert named in capsys.readouterr().err
    assert shown(capsys)["categories"] == []


def test_doubt_goes_along_by_way_of_a_pile(capsys: Captured) -> None:
    number = kept("hinge", "zinc", "0.240 kg", {"zinc": 0.6, "copper": 0.4})
    run(["pile", "new", "bucket", "--category", "zinc"])
    run(["pile", "add", "bucket", "--records", str(number)])
    run(["load", "add", "May", "--pile", "bucket"])
    (group,) = shown(capsys)["categories"]
    assert group["surely"] == "0.6000"


def test_records_that_are_all_clean_stay_so_when_weighed_together(capsys: Captured) -> None:
    clean = Answer("attached", "none", "", 0.0, "none")
    numbers = []
    for name in ("tap", "valve"):
        entry = Entry(
            name, "identify", "as-found", {"attached": clean}, {"yellow-brass": 1.0}, "yellow-brass", True, ("m", "d"),
            {"part": name, "categories": []}, (),
        )  # fmt: skip
        numbers.append(keep.add(entry, None))
    run(["load", "add", "May", "--records", ",".join(map(str, numbers)), "--weight", "1 kg"])
    assert [group["state"] for group in shown(capsys)["categories"]] == ["clean"]


def test_list_and_ticket_expect_the_same_of_what_costs_more_than_it_brings(capsys: Captured) -> None:
    Path("fee.csv").write_text("category,price,unit,currency,fee\nlight iron,0.18,kg,EUR,2\n", encoding="utf-8")
    run(["prices", "use", "fee.csv"])
    run(["load", "add", "May", "--category", "light iron", "--weight", "5 kg"])
    assert worth(capsys) == "0.00"
    run(["load", "ticket", "May", "--category", "light iron", "--gross", "5 kg", "--price", "0.18", "--fee", "0.90"])
    run(["load", "ticket", "May", "--category", "light iron", "--gross", "5 kg", "--paid", "0"])
    assert "+1.10" not in capsys.readouterr().out


def test_printed_lines_add_up_to_the_printed_sum(capsys: Captured) -> None:
    names = ("zinc", "copper", "lead", "light iron")
    rows = "".join(f"{name},0.335,kg,EUR\n" for name in names)
    Path("odd.csv").write_text(f"category,price,unit,currency\n{rows}", encoding="utf-8")
    run(["prices", "use", "odd.csv"])
    for name in names:
        run(["load", "add", "May", "--category", name, "--weight", "1 kg"])
    told = shown(capsys)
    assert told["expected"] == f"{sum(float(group['expected']) for group in told['categories']):.2f}"


@pytest.mark.parametrize(
    ("table", "named"),
    [
        ("category,net,price,paid,wieght\nzinc,10 kg,1.10,11.00,5\n", "wieght"),
        ("category,net,paid,currency\nzinc,10 kg,11.00,USD\n", "column currency"),
        ("category,net,paid,yard\nzinc,10 kg,11.00,Riverside\n", "column yard"),
        ("category,pile,net,paid\nzinc,copper,10 kg,11.00\n", "one column"),
        ("category,state,net,paid\nzinc,shiny,10 kg,11.00\n", "row 2, column state"),
        ("category,net,paid\n", "no line"),
        ("category;net;paid\nzinc;1.250 kg;11,00\n", "1,250 kg or 1250 kg"),
    ],
)
def test_a_ticket_that_says_something_else_is_refused(table: str, named: str, capsys: Captured) -> None:
    run(["load", "add", "May", "--category", "zinc", "--weight", "10 kg"])
    Path("odd.csv").write_text(table, encoding="utf-8")
    assert run(["load", "ticket", "May", "--file", "odd.csv"]) == 2
    assert named in capsys.readouterr().err


def test_a_net_that_the_yard_rounded_is_taken_as_printed(capsys: Captured) -> None:
    call = ["--category", "zinc", "--gross", "100.3 kg", "--deducted", "3 %", "--net", "97.3 kg", "--paid", "107.03"]
    run(["load", "add", "May", "--category", "zinc", "--weight", "100.3 kg"])
    assert run(["load", "ticket", "May", *call]) == 0
    assert "own sums" not in capsys.readouterr().out


def test_no_page_is_written_onto_a_folder(capsys: Captured) -> None:
    for option in ("--page", "--csv"):
        assert run(["load", "show", "May", option, "."]) == 2
        assert "a folder" in capsys.readouterr().err


@pytest.mark.parametrize(
    "said",
    [
        ["--came-out-of", "hand grenade", "--magnet", "strong", "--form", "casting", "--thickness", "6 mm"],
        ["--came-out-of", "hand grenade", "--magnet", "strong", "--form", "casting"],
        ["--note", "propane", "--magnet", "strong", "--form", "tube", "--scratch-colour", "grey-white"],
        ["--note", "smoke detector inside", "--magnet", "none", "--form", "casting", "--weight", "540 g"],
    ],
)
def test_what_is_left_closed_is_put_on_no_pile(said: list[str], capsys: Captured) -> None:
    assert run(["identify", *said]) == 0
    out = " ".join(capsys.readouterr().out.split())
    for advice in ("put it on", "show it to the yard", "Pile settled", "best bet", "Worth"):
        assert advice not in out
    assert run(["identify", *said, "--json"]) == 0
    (part,) = json.loads(capsys.readouterr().out)["parts"]
    assert part["category"] is None
    assert part["sure"] is False


def test_a_kept_danger_is_not_forgotten(capsys: Captured) -> None:
    run(["identify", "--came-out-of", "hand grenade", "--magnet", "strong", "--keep"])
    run(["identify", "--note", "propane bottle", "--magnet", "strong", "--form", "tube", "--keep"])
    run(["pile", "new", "iron", "--category", "light iron"])
    capsys.readouterr()
    for number, danger in (("1", "Leave it alone"), ("2", "Leave it closed")):
        run(["records", "show", number])
        assert danger in capsys.readouterr().out
    assert run(["load", "add", "May", "--records", "1"]) == 2
    assert run(["pile", "add", "iron", "--records", "1"]) == 2
    assert "live ammunition" in capsys.readouterr().err
    assert run(["load", "add", "May", "--records", "2"]) == 0
    assert "sealed-pressure" in {each["id"] for each in shown(capsys)["leave_closed"]}


def test_what_is_said_again_with_the_same_number_is_done_once(capsys: Captured) -> None:
    """As where the answer was lost on its way to the phone."""
    wanted = flows.LoadWanted(category="copper", gross="5 kg")
    for _ in range(2):
        flows.add_to_load("May", wanted, "abc")
    assert shown(capsys)["kg"] == "5"
    flows.add_to_load("May", wanted, "def")
    assert shown(capsys)["kg"] == "10"


@pytest.mark.parametrize("numbers", [["--price", "1100"], ["--price", "1.10", "--paid", "110"]])
def test_a_ticket_whose_numbers_do_not_go_together_says_so(numbers: list[str], capsys: Captured) -> None:
    """A price for a tonne read as one for a kg; a point that slipped."""
    run(["load", "add", "May", "--category", "zinc", "--weight", "10 kg"])
    paid = [] if "--paid" in numbers else ["--paid", "11"]
    assert run(["load", "ticket", "May", "--category", "zinc", "--gross", "10 kg", *numbers, *paid]) == 0
    assert "is the unit right" in " ".join(capsys.readouterr().out.split())
