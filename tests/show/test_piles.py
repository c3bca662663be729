"""Piles, finds and cable on the command line: read as a person at the bench would, and refused in one line."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest

from idkit import keep
from idkit.show import cli

DOCS = Path(__file__).resolve().parents[2] / "docs"
Captured = pytest.CaptureFixture[str]
MOTOR = ["--gives", "motor=electric motors=1.10 kg", "--gives", "rest=light iron=2.08 kg"]


def told(capsys: Captured, *arguments: str, status: int = 0) -> str:
    """What is printed, on both streams; the status must be the one that is expected."""
    assert cli.run([*arguments]) == status
    both = capsys.readouterr()
    assert max((len(line) for line in both.out.splitlines()), default=0) <= 80
    return both.out + both.err


def bucket(capsys: Captured) -> None:
    """A bucket of brass with two records, of which one is not brass, and forty handles; and one of zinc."""
    told(capsys, "identify", "--magnet", "none", "--form", "fitting", "--scratch-colour", "brass-yellow",
         "--weight", "651 g", "--keep")  # fmt: skip
    told(capsys, "identify", "--form", "casting", "--weight", "235 g", "--jar", "35.5 g", "--keep")
    told(capsys, "pile", "new", "brass bucket", "--category", "yellow brass", "--state", "clean",
         "--tare", "1.20 kg", "--volume", "10 l", "--place", "shelf 2")  # fmt: skip
    told(capsys, "pile", "new", "zinc", "--category", "zinc")


def test_a_bucket_from_records_to_a_check(capsys: Captured) -> None:
    bucket(capsys)
    added = told(capsys, "pile", "add", "brass bucket", "--records", "1-2")
    assert "2 parts added; 2 pieces, 0.886 kg (1.95 lb)" in added  # 651 g + 235 g
    assert "Record 2 (part) was taken for zinc" in added
    assert "yellow brass: look again" in " ".join(added.split())
    told(capsys, "pile", "add", "Brass Bucket", "--what", "door handles", "--pieces", "40", "--weight", "9.25 kg")
    weighed = told(capsys, "pile", "weigh", "brass bucket", "11.40 kg")
    assert "10.2 kg (22.49 lb) net, give or take 20 g" in weighed  # 11.40 - 1.20, a step of 10 g each
    assert "weigh 10.136 kg, 64 g less than this" in weighed
    moved = told(capsys, "pile", "move", "brass bucket", "--parts", "2", "--to", "zinc")
    assert "brass bucket: 41 pieces, 9.965 kg" in moved  # 10.200 - 0.235
    assert "zinc: 1 piece, 0.235 kg" in moved
    proposed = told(capsys, "pile", "check", "brass bucket", "10", "--seed", "7")
    assert "look at 10 of its 41 pieces (drawn at random, seed 7)" in proposed
    assert "idkit pile check 'brass bucket' 10 --seed 7 --wrong 0" in proposed
    assert proposed == told(capsys, "pile", "check", "brass bucket", "10", "--seed", "7")
    assert "none wrong among 10" in told(capsys, "pile", "check", "brass bucket", "10", "--seed", "7", "--wrong", "0")
    shown = told(capsys, "pile", "list", "brass bucket")
    assert "   1  part (record 1), 0.651 kg" in shown
    assert "0 wrong among 10" in shown
    rows = json.loads(told(capsys, "pile", "list", "--json"))["piles"]
    (row,) = [each for each in rows if each["pile"] == "brass bucket"]
    assert (row["kg"], row["pieces"], row["state"], row["value"]) == ("9.965", 41, "clean", None)
    assert [part["record"] for part in row["parts"]] == [1, None]


def test_some_by_weight_makes_the_parts_uncertain(capsys: Captured) -> None:
    bucket(capsys)
    told(capsys, "pile", "add", "brass bucket", "--what", "handles", "--pieces", "40", "--weight", "9.25 kg")
    assert "7.25 kg" in told(
        capsys, "pile", "move", "brass bucket", "--weight", "2 kg", "--out", "kept for a neighbour"
    )
    assert "nobody knows which of these" in told(capsys, "pile", "list", "brass bucket")
    assert "take 5 pieces blind" in told(capsys, "pile", "check", "brass bucket", "5")
    assert "van" in told(capsys, "pile", "move", "brass bucket", "--place", "van")


def test_a_find_is_compared_and_put_onto_piles(capsys: Captured) -> None:
    told(capsys, "pile", "new", "motors", "--category", "electric motors")
    assert "3.2 kg (7.05 lb), light iron" in told(
        capsys, "find", "new", "desk fan", "--weight", "3.20 kg", "--category", "light iron"
    )
    split = ["find", "split", "desk fan", *MOTOR, "--loss", "20 g", "--minutes", "6", "--way", "part"]
    assert "part strip, 6 minutes, a plan:" in told(capsys, *split, "--plan")
    done = told(capsys, *split, "--onto-piles")
    assert "motor: onto motors." in done
    assert "rest: there is no pile for it." in done
    assert "motors: electric motors; 1 piece, 1.1 kg" in told(capsys, "pile", "list")


def test_what_is_dangerous_to_open_is_left_whole(capsys: Captured) -> None:
    told(capsys, "yard", "new", "Old Quay Metals")
    told(capsys, "prices", "use", str(DOCS / "piles" / "prices.csv"))
    told(capsys, "find", "new", "microwave oven", "--weight", "13.3 kg", "--category", "light iron")
    said = told(
        capsys, "find", "split", "microwave oven", "--gives", "all=copper=13.3 kg=clean", "--minutes", "1", "--plan"
    )
    assert "Leave it closed" in said
    assert "Leave it whole, whatever its parts would bring." in said
    assert "Take it apart" not in said
    assert cli.run(["find", "split", "microwave oven", "--json"]) == 0
    row = json.loads(capsys.readouterr().out)
    assert row["best"] is None
    assert row["leave_closed"]
    assert row["ways"][0]["parts"][0]["kg"] == row["find"]["kg"] == "13.3"
    assert row["ways"][0]["more_than_whole"]["currency"] == row["find"]["value"]["currency"]


def test_a_sample_of_cable(capsys: Captured) -> None:
    said = told(capsys, "wire", "--whole", "42 g", "--bare", "27 g")
    assert "Recovery 64.3 %: between 60.5 and 68.3 %" in said
    assert "Strip more to know it within two points: 2 such pieces in all, 84 g" in said
    assert "Don't burn the covering off" in said
    assert cli.run(["wire", "--whole", "42 g", "--bare", "27 g", "--json"]) == 0
    row = json.loads(capsys.readouterr().out)
    assert {name: round(float(share), 3) for name, share in row["recovery"].items()} == {
        "share": 0.643,
        "low": 0.605,
        "high": 0.683,
    }
    assert (row["samples_to_strip"], row["stripping"]) == (2, None)


WRONG = [
    (["pile", "add", "brass bucket"], "got nothing to put on"),
    (["pile", "add", "brass bucket", "--what", "tap", "--weight", "-1 kg"], "which is below zero"),
    (["pile", "new", "tins"], "--category: tins is new"),
    (["pile", "new", "zinc"], "zinc is there already"),
    (["pile", "new", " ", "--category", "tin"], "name: got ' '"),
    (["pile", "new", "tins", "--category", "tinn"], "--category: got 'tinn'"),
    (["pile", "new", "tins", "--category", "tin", "--state", "shiny"], "--state: got 'shiny'"),
    (["pile", "new", "tins", "--category", "tin", "--volume", "5 gal"], "more than one volume"),
    (["pile", "add", "zink"], "got 'zink', which is no pile; right is zinc"),
    (["pile", "add", "zinc", "--records", "9"], "record: got 9, which is not kept"),
    (["pile", "add", "zinc", "--records", "x"], "record: got 'x'"),
    (["pile", "add", "zinc", "--records", "1,2", "--weight", "1 kg"], "one record at a time"),
    (["pile", "add", "zinc", "--weight", "1"], "--weight: got '1'"),
    (["pile", "add", "zinc", "--pieces", "0"], "--pieces: got 0"),
    (["pile", "weigh", "zinc", "1 kg"], "zinc is empty"),
    (["pile", "weigh", "brass bucket", "1 kg", "--part", "4"], "brass bucket has no part 4"),
    (["pile", "weigh", "brass bucket", "1 kg"], "less than the bucket"),
    (["pile", "move", "brass bucket", "--to", "zinc"], "no parts to move"),
    (["pile", "move", "brass bucket", "--parts", "all"], "no single place"),
    (["pile", "move", "brass bucket", "--parts", "a", "--to", "zinc"], "--parts: got 'a'"),
    (["pile", "move", "brass bucket", "--parts", "all", "--to", "brass bucket"], "where they lie"),
    (["pile", "move", "brass bucket", "--weight", "9 kg", "--to", "zinc"], "at most the 0.651 kg"),
    (["pile", "move", "brass bucket", "--parts", "1", "--place", "van"], "--place alone"),
    (["pile", "check", "brass bucket", "0"], "count: got 0"),
    (["pile", "check", "brass bucket", "5", "--wrong", "3"], "--wrong: got 3"),
    (["find", "new", "fan", "--weight", "3 kg"], "--category: is empty"),
    (["find", "new", "fan", "--category", "light iron"], "--weight: fan has none"),
    (["find", "split", "fan"], "which is no find"),
    (["find", "split", "fan", "--plan"], "--gives: got none"),
    (["wire", "--whole", "42 g", "--bare", "50 g"], "less than --whole"),
    (["wire", "--whole", "42 g", "--bare", "20 g", "--pile", "zinc"], "nobody knows what zinc weighs"),
]


def test_a_wrong_call_is_one_line_and_writes_nothing(capsys: Captured) -> None:
    bucket(capsys)
    told(capsys, "pile", "add", "brass bucket", "--records", "1")
    before = keep.acts()
    for arguments, words in WRONG:
        line = told(capsys, *arguments, status=2)
        assert words in line
        assert len(line.strip().splitlines()) == 1
    assert keep.acts() == before


def test_looking_writes_nothing(capsys: Captured, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("IDKIT_HOME", str(tmp_path / "none"))
    assert "No piles yet" in told(capsys, "pile", "list")
    told(capsys, "wire", "--whole", "42 g", "--bare", "27 g")
    assert not (tmp_path / "none").exists()


def guide_blocks() -> list[str]:
    """The examples of the guide that run: a command a line, what it says indented below it."""
    text = (DOCS / "guide.md").read_text("utf-8").partition("## Piles, finds and cable")[2].partition("\n## ")[0]
    return re.findall(r"<!-- runs -->\n((?:    .*\n)+)", text)


def test_the_examples_of_the_guide_run_and_say_that(capsys: Captured) -> None:
    told(capsys, "yard", "new", "Old Quay Metals")
    told(capsys, "prices", "use", str(DOCS / "piles" / "prices.csv"))
    commands = 0
    for block in guide_blocks():
        joined = re.sub(r"\n {8}--", " --", block)  # a long command goes on in the next line
        for call in re.split(r"^    (?=idkit )", joined, flags=re.MULTILINE)[1:]:
            command, *said = call.strip("\n").split("\n")
            out = " ".join(told(capsys, *shlex.split(command)[1:]).split())
            assert all(" ".join(line.split()) in out for line in said), out
            commands += 1
    assert commands == 13
