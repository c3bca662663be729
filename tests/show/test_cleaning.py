"""idkit clean: records, a pile, a weight; what is refused, and what is left closed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from idkit import keep
from idkit.show.cli import run
from idkit.vocabulary import Answer, Entry

Captured = pytest.CaptureFixture[str]
# Invented prices.
PRICES = """category,state,price,unit,currency
cast aluminium,clean,0.95,kg,EUR
cast aluminium,dirty,0.40,kg,EUR
zinc,,1.10,kg,EUR
light iron,,0.17,kg,EUR
"""
SCREWS = ["--off", "5 % steel screws", "--minutes", "3", "--worth", "12"]


@pytest.fixture(autouse=True)
def at_the_yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "idkit"))
    monkeypatch.chdir(tmp_path)
    Path("prices.csv").write_text(PRICES, encoding="utf-8")
    assert run(["yard", "new", "Old Quay Metals"]) == 0
    assert run(["prices", "use", "prices.csv"]) == 0
    capsys.readouterr()


def kept(part: str, weight: str, pile: str = "aluminium-cast", **more: object) -> int:
    answers = {"weight": Answer("weight", 1.0, "kg", 0.001, weight)} if weight else {}
    document = {"part": part, "categories": [{"id": pile, "chance": 1.0}], **more}
    return keep.add(Entry(part, "tag", "as-found", answers, {pile: 1.0}, pile, True, ("m", "d"), document, ()), None)


def test_several_records_come_in_the_order_in_which_they_pay(capsys: Captured) -> None:
    small, large, zinc = kept("lamp head", "0.4 kg"), kept("gearbox", "4 kg"), kept("hinge", "0.3 kg", "zinc")
    battery = kept("hedge trimmer", "2 kg", leave_closed=[{"message": "there is a battery in it"}])
    unweighed = kept("rail", "")
    assert run(["clean", f"{small},{large},{zinc},{battery},{unweighed}", *SCREWS, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [row["part"] for row in told["parts"]] == ["record 2 (gearbox)", "record 1 (lamp head)", "record 3 (hinge)"]
    # Gearbox: 3.8 x 0.95 + 0.2 x 0.17 - 4 x 0.40 = 3.61 + 0.034 - 1.60 = 2.044; 20 times that an hour.
    assert told["parts"][0]["more"] == "2.04"
    assert told["parts"][0]["an_hour"] == "40.88"
    assert [row["pays"] for row in told["parts"]] == [True, False, False]
    assert {row["name"]: row["why"] for row in told["left"]} == {
        "record 4 (hedge trimmer)": "leave it closed: there is a battery in it",
        "record 5 (rail)": "nobody weighed it",
    }


BENCH = """what;record;category;weight;off;minutes
pump body;;cast aluminium;2,4 kg;150 g steel screws + 20 g rubber seals;4
door handle;;zinc;300 g;10 g steel spring;1
;1;;;5 % steel;3
lamp foot;;zinc;300 g;10 g flummery;1
"""


def test_a_bench_is_a_table_with_what_comes_off_each(capsys: Captured) -> None:
    kept("gearbox", "4 kg")
    Path("bench.csv").write_text(BENCH, encoding="utf-8")
    assert run(["clean", "--file", "bench.csv", "--worth", "12"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    # Gearbox 2.044 as above. Pump body: 2.23 x 0.95 + 0.15 x 0.17 - 2.4 x 0.40 = 2.1185 + 0.0255 - 0.96 = 1.184.
    assert told.index("record 1 (gearbox)") < told.index("pump body") < told.index("door handle")
    assert "1.18 EUR more for 4 minutes, 17.76 EUR an hour" in told
    assert "bench.csv, row 5: --off: got '10 g flummery'" in told
    # 2.044 + 1.184 = 3.228 in 3 + 4 minutes; the handle's 10 g fetch less as steel than as zinc.
    assert "Clean the first 2 of 3: 3.23 EUR more in 7 minutes." in told


@pytest.mark.parametrize(
    ("text", "more", "told"),
    [
        (BENCH, ["1"], "the table alone"),
        (BENCH, ["--off", "5 % steel"], "the table alone"),
        (BENCH.replace("off;", "comes off;"), [], "column 'comes off'"),
        ("what,category,weight,minutes\na,zinc,1 kg,3\n", [], "lacks off"),
        ("category,weight,off\n", [], "has no rows"),
    ],
)
def test_a_table_that_is_no_bench_is_one_line(text: str, more: list[str], told: str, capsys: Captured) -> None:
    Path("bench.csv").write_text(text, encoding="utf-8")
    assert run(["clean", "--file", "bench.csv", *more]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert told in error


def test_one_sentence_says_what_to_do(capsys: Captured) -> None:
    assert run(["clean", "--category", "cast aluminium", "--weight", "2.4 kg", "--off", "150 g steel screws"]
               + ["--minutes", "4", "--worth", "12"]) == 0  # fmt: skip
    told = " ".join(capsys.readouterr().out.split())
    assert (
        "Clean it: 1.20 EUR more for 4 minutes, 18.04 EUR an hour; yours is worth 12, so it pays up to 6 minutes."
        in told
    )
    assert "Confirm at the yard" in told


@pytest.mark.parametrize(
    ("off", "category"),
    [("40 g steel screws", "light-iron"), ("40 g rubber seals", None), ("2 % plastic", None),
     ("40 g brass bushes", "yellow-brass"),
     ("40 g sleeve=zinc", "zinc"), ("1.5 oz bearings", "light-iron")],
)  # fmt: skip
def test_what_comes_off_goes_where_its_words_say(off: str, category: str | None, capsys: Captured) -> None:
    assert run(["clean", "--category", "cast aluminium", "--weight", "2.4 kg", "--off", off, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["parts"][0]["off"][0]["category"] == category


def test_a_pile_is_cleaned_by_its_weight(capsys: Captured) -> None:
    run(["pile", "new", "alu", "--category", "aluminium-cast", "--state", "dirty", "--tare", "1 kg"])
    assert run(["clean", "--pile", "alu", *SCREWS]) == 2
    assert "idkit pile weigh 'alu' first" in capsys.readouterr().err
    run(["pile", "add", "alu", "--what", "housings", "--uncounted", "--weight", "4 kg"])
    capsys.readouterr()
    assert run(["clean", "--pile", "alu", *SCREWS, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["parts"][0]["more"] == "2.04"


def test_of_a_load_the_lines_that_are_not_clean_are_asked(capsys: Captured) -> None:
    """4 kg, 150 g of them screws: as for a pile of that weight; what is clean, or was not weighed, is left and told."""
    run(["load", "new", "Monday"])
    run(["load", "add", "Monday", "--category", "aluminium-cast", "--state", "dirty", "--weight", "4 kg"])
    run(["load", "add", "Monday", "--category", "zinc", "--state", "clean", "--weight", "2 kg"])
    run(["load", "add", "Monday", "--category", "zinc", "--state", "dirty", "--pieces", "3"])
    capsys.readouterr()
    assert run(["clean", "--load", "monday", *SCREWS, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    (part,) = told["parts"]
    assert part["part"] == "Monday, line 1 (cast aluminium)"
    of_a_weight = ["clean", "--category", "aluminium-cast", "--weight", "4 kg", *SCREWS, "--json"]
    assert run(of_a_weight) == 0
    assert json.loads(capsys.readouterr().out)["parts"][0]["more"] == part["more"]
    assert [left["why"] for left in told["left"]] == ["it is clean", "nobody weighed it"]
    assert run(["clean", "--load", "Tuesday", *SCREWS]) == 2
    assert "Tuesday" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ([], "--off"),
        (["--off", "40 g steel"], "records, or --pile, --load, or --category"),
        (["--category", "zinc", "--off", "40 g steel"], "--weight"),
        (["--category", "zinc", "--weight", "1 kg", "--off", "junk"], "--off"),
        (["--category", "zinc", "--weight", "1 kg", "--off", "40 g flummery"], "=CATEGORY"),
        (["--category", "zinc", "--weight", "1 kg", "--off", "2 kg steel"], "less than the whole"),
        (["--category", "tin", "--weight", "1 kg", "--off", "40 g steel"], "no price for tin"),
        (["--category", "zinc", "--weight", "1 kg", "--off", "40 g steel", "--minutes", "0"], "--minutes"),
        (["9", "--off", "40 g steel"], "9"),
    ],
)
def test_what_can_not_be_is_one_line(wrong: list[str], told: str, capsys: Captured) -> None:
    assert run(["clean", *wrong]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert told in error


def test_what_comes_off_may_be_weighed_in_pounds_and_ounces(capsys: Captured) -> None:
    bench = ["--category", "cast aluminium", "--weight", "10 lb", "--off", "1 lb 4 oz steel screws", "--json"]
    assert run(["clean", *bench]) == 0
    (row,) = json.loads(capsys.readouterr().out)["parts"]
    # 1 lb 4 oz are 0.566990 kg of 4.535924 kg: cleaned 3.968933 x 0.95 = 3.77, the screws 0.566990 x 0.17 = 0.10.
    assert (row["clean"]["low"], row["came_off"]["low"]) == ("3.77", "0.10")


def test_what_is_paid_by_the_piece_counts_its_pieces(capsys: Captured) -> None:
    by_piece = PRICES + "electric motors,clean,2.00,each,EUR\nelectric motors,dirty,1.50,each,EUR\n"
    Path("prices.csv").write_text(by_piece, encoding="utf-8")
    run(["prices", "use", "prices.csv"])
    run(["pile", "new", "motors", "--category", "electric motors"])
    run(["pile", "add", "motors", "--what", "motors", "--pieces", "10", "--weight", "20 kg"])
    run(["load", "new", "May"])
    run(["load", "add", "May", "--category", "electric motors", "--weight", "6 kg", "--pieces", "3"])
    for bench, dirty, clean in ((["--pile", "motors"], "15.00", "20.00"), (["--load", "May"], "4.50", "6.00")):
        capsys.readouterr()
        assert run(["clean", *bench, "--off", "100 g plastic", "--json"]) == 0
        (row,) = json.loads(capsys.readouterr().out)["parts"]
        assert (row["dirty"]["low"], row["clean"]["low"]) == (dirty, clean)
    capsys.readouterr()
    assert run(["clean", "--category", "electric motors", "--weight", "6 kg", "--off", "100 g plastic"]) == 2
    assert "paid by the piece" in capsys.readouterr().err
