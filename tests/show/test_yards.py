"""Yards and price lists from the command line: begun, used, read, shown, refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from idkit import flows
from idkit.show.cli import run

# Invented prices.
LIST = """category;state;price;unit;currency;date
taps and valves;clean;3,90-4,10;kg;EUR;2026-11-24
cast aluminium;dirty;0,40;kg;EUR;2026-11-24
light iron;;180;ton;EUR;2026-11-24
"""


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "prices.csv"
    path.write_text(LIST, encoding="utf-8-sig")
    return path


def begin() -> int:
    ways = ["--call", "yellow-brass=taps and valves", "--merge", "copper-clad=light-iron", "--ton", "ton=tonne"]
    return run(["yard", "new", "Old Quay Metals", *ways])


def test_the_first_yard_is_in_use_and_what_is_said_later_adds_to_it() -> None:
    assert begin() == 0
    assert run(["yard", "new", "old quay metals", "--thick-from", "6 mm"]) == 0
    assert run(["yard", "new", "Second Yard"]) == 0
    known, used = flows.yards()
    assert [each.name for each in known] == ["Old Quay Metals", "Second Yard"]
    assert used == "Old Quay Metals"
    assert known[0].names == {"yellow-brass": "taps and valves"}
    assert known[0].merged == {"copper-clad": "light-iron"}
    assert known[0].thick_from == 0.006
    assert run(["yard", "use", "second yard"]) == 0
    assert flows.in_use().yard.name == "Second Yard"


def test_a_list_with_the_yards_own_words_holds_once_it_is_used(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    begin()
    assert run(["prices", "check", str(table)]) == 0
    assert flows.in_use().prices is None
    assert run(["prices", "use", str(table)]) == 0
    holds = flows.in_use()
    assert holds.prices is not None
    assert {(p.category, p.unit.id) for p in holds.prices.prices} == {
        ("yellow-brass", "kg"),
        ("aluminium-cast", "kg"),
        ("light-iron", "tonne"),
    }
    capsys.readouterr()
    assert run(["prices", "show"]) == 0
    assert "taps and valves, clean" in capsys.readouterr().out


def test_what_such_a_buyer_pays_for_and_the_list_leaves_out_is_told(
    table: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    begin()
    capsys.readouterr()
    assert run(["prices", "check", str(table)]) == 0
    told = " ".join(capsys.readouterr().out.split()).partition("Without a price: ")[2].split("; ")
    assert "cast iron" in told
    for not_asked in ("light iron", "copper-clad steel", "recycling point", "circuit boards, high grade"):
        assert not_asked not in told  # priced, put with light iron, free, bought by others


def test_prices_over_time_are_what_was_paid(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    begin()
    run(["prices", "use", str(table)])
    table.write_text(LIST.replace("3,90-4,10", "4,20").replace("2026-11-24", "2026-11-25"), encoding="utf-8")
    run(["prices", "use", str(table)])
    capsys.readouterr()
    assert run(["prices", "show", "yellow brass"]) == 0
    told = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in told if line.strip().startswith("2026")] == ["2026-11-24", "2026-11-25"]
    assert [str(each.price.low) for each in flows.history("yellow-brass")[1]] == ["3.90", "4.20"]


def test_wrong_cells_are_all_told_and_nothing_is_kept(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    begin()
    table.write_text(LIST.replace("taps and valves", "tapps").replace("0,40", "cheap"), encoding="utf-8")
    for act in ("check", "use"):
        assert run(["prices", act, str(table)]) == 2
        told = capsys.readouterr().err
        assert "prices.csv, row 2, column category: got 'tapps'" in told
        assert "prices.csv, row 3, column price: got 'cheap'" in told
    assert flows.in_use().prices is None


def test_rows_are_told_as_a_spreadsheet_counts_them(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A line that says what stands between cells is no row, and a cell of two lines is in one."""
    note = 'zinc;;"nothing\nat all";kg;EUR;2026-11-24\n'
    table.write_text("sep=;\n" + LIST.replace("light iron", note + "light iron"), encoding="utf-8")
    assert begin() == 0
    assert run(["prices", "check", str(table)]) == 2
    assert "row 4, column price" in capsys.readouterr().err


def test_a_bare_ton_is_refused_until_the_yard_fixes_it(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["yard", "new", "Second Yard", "--call", "yellow-brass=taps and valves"])
    assert run(["prices", "use", str(table)]) == 2
    assert "fix it once: idkit yard new YARD --ton ton=UNIT" in capsys.readouterr().err


@pytest.mark.parametrize(
    "wrong",
    [
        ["--call", "yellow-brass"],
        ["--call", "gold=x"],
        ["--merge", "copper-clad=gold"],
        ["--ton", "ton=kg"],
        ["--stale", "iron=soon"],
        ["--stale", "iron=²"],
        ["--kind", "shop"],
        ["--thick-from", "thick"],
    ],
)
def test_what_makes_no_sense_is_one_line(wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["yard", "new", "Old Quay Metals", *wrong]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert wrong[0] in told


def test_without_a_yard_prices_can_be_checked_and_not_used(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table.write_text("category,price,unit,currency\ncopper,7,kg,EUR\n", encoding="utf-8")
    assert run(["prices", "check", str(table)]) == 0
    assert run(["prices", "use", str(table)]) == 2
    assert "idkit yard new NAME begins one" in capsys.readouterr().err


def test_names_are_told_with_what_was_meant(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pile", "new", "X", "--category", "brass"]) == 2
    assert "yellow-brass" in capsys.readouterr().err
    assert run(["prices", "show", "cast aluminum"]) in (0, 2)
    assert "no category" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("category;price;unit;currency\nlight iron;1.250;tonne;EUR\n", "1,250 or 1250"),
        ("category,price,unit,currency,yard\nzinc,0.90,kg,EUR,Riverside\n", "Old Quay Metals, whose list it is"),
        ("category,price,Price,unit,currency\nzinc,0.90,9.90,kg,EUR\n", "one column"),
        ("category,pile,price,unit,currency\nzinc,copper,0.90,kg,EUR\n", "one column"),
        ("category,price,unit,currency\n", "no price in it"),
        ('category,price,unit,currency\nzinc,"0.90,kg,EUR\n', "quotes"),
        (f"category,price,unit,currency\nzinc,{'9' * 140_000},kg,EUR\n", "no row of a table"),
        ("category,price,unit,currency\nzinc,0.9\ncopper,7,kg,EUR,x\n", "row 2, 3"),
    ],
)
def test_a_list_that_could_be_misread_does_not_take_the_place_of_one(
    table: Path, tmp_path: Path, text: str, named: str, capsys: pytest.CaptureFixture[str]
) -> None:
    begin()
    run(["prices", "use", str(table)])
    odd = tmp_path / "odd.csv"
    odd.write_text(text, encoding="utf-8")
    assert run(["prices", "use", str(odd)]) == 2
    assert named in capsys.readouterr().err
    holds = flows.in_use()
    assert holds.prices is not None
    assert holds.prices.name == "prices.csv"


def test_where_semicolons_part_the_cells_a_comma_is_the_decimal_sign(tmp_path: Path) -> None:
    begin()
    odd = tmp_path / "odd.csv"
    odd.write_text("category;price;unit;currency;note\nzinc;1,250;kg;EUR;1.250 of them\n", encoding="utf-8")
    assert run(["prices", "use", str(odd)]) == 0
    holds = flows.in_use()
    assert holds.prices is not None
    assert str(holds.prices.prices[0].low) == "1.250"


@pytest.mark.parametrize(
    "calls", [["yellow-brass=copper"], ["yellow-brass=brass", "red-brass=Brass"], ["zinc=taps and valves"]]
)
def test_one_name_is_of_one_category(calls: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    begin()
    options = [text for call in calls for text in ("--call", call)]
    assert run(["yard", "new", "Old Quay Metals", *options]) == 2
    assert "a name of its own" in capsys.readouterr().err
    assert run(["yard", "new", "Old Quay Metals", "--call", "yellow-brass=brass", "--call", "red-brass=red one"]) == 0
