"""What a part fetches, where identify and tag say it: by the yard in use, or the one and the list that are named."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from idkit import flows
from idkit.flows.pricing import worths
from idkit.show.cli import run
from idkit.vocabulary import Answer

Captured = pytest.CaptureFixture[str]
# Invented prices.
PRICES = """category,state,price,unit,currency
yellow brass,clean,4.00,kg,EUR
yellow brass,dirty,2.50,kg,EUR
zinc,,1.10,kg,EUR
cast aluminium,clean,0.95,kg,EUR
cast aluminium,dirty,0.40,kg,EUR
magnesium,,0.80,kg,EUR
tin and pewter,,5.00,kg,EUR
lead,,1.50,kg,EUR
aluminium bronze,,3.50,kg,EUR
stainless 300,,1.20,kg,EUR
light iron,,0.17,kg,EUR
heavy steel,,0.21,kg,EUR
copper-clad steel,,0.30,kg,EUR
copper,,7.00,lb,USD
"""
BRASS = ["--magnet", "none", "--form", "fitting", "--scratch-colour", "brass-yellow", "--inside", "same"]


@pytest.fixture(autouse=True)
def at_the_yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    monkeypatch.chdir(tmp_path)
    Path("prices.csv").write_text(PRICES.replace("copper,,7.00,lb,USD\n", ""), encoding="utf-8")


def part(capsys: Captured, *arguments: str) -> dict[str, Any]:
    capsys.readouterr()
    assert run(["identify", *arguments, "--json"]) == 0
    return json.loads(capsys.readouterr().out)["parts"][0]  # type: ignore[no-any-return]


def test_without_a_yard_nothing_is_said_of_money(capsys: Captured) -> None:
    found = part(capsys, *BRASS, "--weight", "650 g")
    assert found["value"] is None
    assert found["yard"] is None
    assert "saves" not in (found["next_check"] or {})


def test_a_settled_part_is_worth_its_weight(capsys: Captured) -> None:
    run(["yard", "new", "Old Quay", "--call", "yellow-brass=taps and valves"])
    run(["prices", "use", "prices.csv"])
    clean = part(capsys, *BRASS, "--weight", "650 g", "--jar", "76.7 g", "--attached", "none")
    assert clean["category"]["id"] == "yellow-brass"
    assert clean["category"]["name"] == "taps and valves"
    assert clean["value"] == {"low": "2.60", "high": "2.60", "currency": "EUR", "per": "part"}  # 0.65 x 4.00
    # Clean or dirty nobody said: 0.65 x 2.50 = 1.625, to even 1.62.
    assert part(capsys, *BRASS, "--weight", "650 g", "--jar", "76.7 g")["value"]["low"] == "1.62"
    # Not weighed: for a kg.
    assert part(capsys, *BRASS, "--attached", "none")["value"] == {
        "low": "4.00", "high": "4.00", "currency": "EUR", "per": "kg"
    }  # fmt: skip


def test_a_list_may_be_named_for_one_call_and_is_not_kept(capsys: Captured) -> None:
    found = part(capsys, *BRASS, "--weight", "1 kg", "--attached", "none", "--prices", "prices.csv")
    assert found["value"]["low"] == "4.00"
    assert part(capsys, *BRASS, "--weight", "1 kg")["value"] is None
    Path("prices.csv").write_text(PRICES, encoding="utf-8")
    assert run(["identify", *BRASS, "--prices", "prices.csv"]) == 2
    assert "got USD beside EUR" in capsys.readouterr().err
    assert run(["identify", *BRASS, "--yard", "nowhere"]) == 2


def test_an_old_price_is_said_where_a_value_rests_on_it(capsys: Captured) -> None:
    run(["yard", "new", "Old Quay"])
    dated = (
        "category,state,price,unit,currency,date\nyellow brass,clean,4,kg,EUR,2026-01-05\nzinc,,1,kg,EUR,2026-01-06\n"
    )
    Path("prices.csv").write_text(dated, encoding="utf-8")
    run(["prices", "use", "prices.csv"])
    found = part(capsys, *BRASS, "--weight", "650 g", "--jar", "76.7 g", "--attached", "none")
    old = "the price of clean yellow brass is of 2026-01-05, more than 7 days ago: ask the yard again"
    assert found["old_prices"] == [old]
    run(["yard", "new", "Old Quay", "--stale", "other=9999"])
    assert part(capsys, *BRASS, "--weight", "650 g", "--jar", "76.7 g")["old_prices"] == []


def test_what_a_yard_merges_and_its_line_decide_the_pile(capsys: Captured) -> None:
    run(["yard", "new", "Old Quay", "--merge", "copper-clad=light-iron", "--thick-from", "3 mm"])
    run(["prices", "use", "prices.csv"])
    plate = part(capsys, "--magnet", "strong", "--form", "plate", "--thickness", "4 mm", "--weight", "2 kg")
    assert plate["categories"][0]["id"] == "heavy-steel"  # 4 mm is thick from 3 mm on, not from 1/4 in
    run(["yard", "new", "Second", "--merge", "heavy-steel=light-iron"])
    merged = part(capsys, "--magnet", "strong", "--form", "plate", "--thickness", "8 mm", "--yard", "Second")
    assert "heavy-steel" not in {row["id"] for row in merged["categories"]}


def test_an_open_part_tells_its_best_bet_and_what_a_check_saves(capsys: Captured) -> None:
    run(["yard", "new", "Old Quay"])
    run(["prices", "use", "prices.csv"])
    casting = ["--magnet", "none", "--form", "casting", "--weight", "2 kg", "--attached", "none"]
    before = part(capsys, *casting)
    assert before["category"] is None
    assert Decimal(before["value"]["low"]) < Decimal(before["value"]["high"])
    assert before["next_check"]["saves"]["currency"] == "EUR"
    assert Decimal(before["next_check"]["saves"]["amount"]) >= 0
    assert "is the best bet" in before["advice"]
    # A bucket of 30 kg of zinc is not risked for it: where the part is not zinc it would be bought at the lower price.
    run(["pile", "new", "zinc bucket", "--category", "zinc"])
    run(["pile", "add", "zinc bucket", "--what", "hinges", "--uncounted", "--weight", "30 kg"])
    after = part(capsys, *casting)
    assert "zinc die cast, pot metal is the best bet" not in after["advice"]
    assert after["advice"] != before["advice"]


def test_a_folder_tells_it_too(capsys: Captured, tmp_path: Path) -> None:
    run(["yard", "new", "Old Quay"])
    run(["prices", "use", "prices.csv"])
    folder = tmp_path / "photos"
    folder.mkdir()
    sample = Path(__file__).resolve().parents[2] / "sample_images" / "tap.jpg"
    (folder / "tap.jpg").write_bytes(sample.read_bytes())
    answers = "part,magnet,form,scratch-colour,weight,jar,attached\ntap,none,fitting,brass-yellow,651 g,76.8 g,none\n"
    Path("answers.csv").write_text(answers, encoding="utf-8")
    assert run(["tag", str(folder), "--answers", "answers.csv"]) == 0
    (line,) = (folder / "idkit-tags" / "tags.jsonl").read_text("utf-8").splitlines()
    assert json.loads(line)["value"] == {"low": "2.60", "high": "2.60", "currency": "EUR", "per": "part"}
    assert "Worth 2.60 EUR at Old Quay" in (folder / "idkit-tags" / "pictures.html").read_text("utf-8")
    capsys.readouterr()
    assert run(["tag", str(folder), "--answers", "answers.csv"]) == 0  # nothing changed, so nothing is done anew
    Path("prices.csv").write_text(PRICES.replace("copper,,7.00,lb,USD\n", "").replace("4.00", "5.00"), encoding="utf-8")
    run(["prices", "use", "prices.csv"])
    assert run(["tag", str(folder), "--answers", "answers.csv"]) == 0
    (line,) = (folder / "idkit-tags" / "tags.jsonl").read_text("utf-8").splitlines()
    assert json.loads(line)["value"]["low"] == "3.26"  # 0.651 x 5.00 = 3.255, to even


def test_a_heavy_part_is_priced_by_a_step_that_a_kg_does_not_reach(capsys: Captured) -> None:
    run(["yard", "new", "Old Quay"])
    steps = PRICES.replace("copper,,7.00,lb,USD\n", "").replace("currency\n", "currency,from\n")
    steps = steps.replace("EUR\n", "EUR,\n")
    Path("prices.csv").write_text(steps.replace("zinc,,1.10,kg,EUR,", "zinc,,1.10,kg,EUR,2 kg"), encoding="utf-8")
    run(["prices", "use", "prices.csv"])
    casting = part(capsys, "--magnet", "none", "--form", "casting", "--weight", "6 kg", "--attached", "none")
    assert "is the best bet" in casting["advice"]


def test_what_lies_on_piles_is_worth_what_all_of_it_fetches() -> None:
    # 1 kg of clean brass at 4.00 and 3 kg of dirty at 2.50 are 11.50 for 4 kg; 2 kg of copper-clad go with light iron
    # at 0.17; 10 kg of zinc in 4 pieces are paid 3.00 apiece: 1.20 a kg.
    run(["yard", "new", "Old Quay", "--merge", "copper-clad=light-iron"])
    by_piece = PRICES.replace("copper,,7.00,lb,USD\n", "").replace("zinc,,1.10,kg", "zinc,,3.00,each")
    Path("prices.csv").write_text(by_piece, encoding="utf-8")
    run(["prices", "use", "prices.csv"])
    for name, category, state, weight, pieces in (
        ("a", "yellow-brass", "clean", "1 kg", "1"),
        ("b", "yellow-brass", "dirty", "3 kg", "1"),
        ("c", "copper-clad", "", "2 kg", "1"),
        ("d", "zinc", "", "10 kg", "4"),
    ):
        assert run(["pile", "new", name, "--category", category, *(["--state", state] if state else [])]) == 0
        assert run(["pile", "add", name, "--what", "things", "--pieces", pieces, "--weight", weight]) == 0
    now = flows.holds(flows.in_use())
    assert now is not None
    found = {pile: (bucket.kg, bucket.a_kg) for pile, bucket in now.buckets.items()}
    assert found == {
        "yellow-brass": (4, Decimal("2.875")), "light-iron": (2, Decimal("0.17")), "zinc": (10, Decimal("1.2")),
    }  # fmt: skip


def test_a_part_paid_by_the_piece_is_no_price_of_a_kg() -> None:
    run(["yard", "new", "Old Quay"])
    by_piece = PRICES.replace("copper,,7.00,lb,USD\n", "").replace("zinc,,1.10,kg", "zinc,,3.00,each")
    Path("prices.csv").write_text(by_piece, encoding="utf-8")
    run(["prices", "use", "prices.csv"])
    now = flows.in_use()
    assert now.prices is not None
    weight = {"weight": Answer("weight", 6.0, "kg", 0.1, "6.0 kg")}
    # Of 6 kg: 3.00 is 0.50 a kg, beside lead at 1.50 a kg.
    a_kg = worths(("zinc", "lead"), weight, now.prices, now.yard).a_kg
    assert a_kg == {"zinc": Decimal("0.5"), "lead": Decimal("1.5")}
    # Not weighed: a piece is worth 3.00, and nothing is said of a kg.
    alone = worths(("zinc",), {}, now.prices, now.yard)
    assert (alone.per, alone.by_pile["zinc"].low) == ("part", 3)
    both = worths(("zinc", "lead"), {}, now.prices, now.yard)
    assert (both.per, both.without, [*both.by_pile]) == ("kg", ("zinc",), ["lead"])
