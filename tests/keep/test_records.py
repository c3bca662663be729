"""Records, labels, removals, picks and downgrades: nothing is overwritten, and what is asked for comes back."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path

import pytest

from idkit import keep
from idkit.errors import CallError
from idkit.keep import likeness, records, store
from idkit.vocabulary import Answer, Entry, Label

MakeEntry = Callable[..., Entry]


def label(record: int, material: str, by: str = "yard", yard: str = "", pile: str = "lead", **more: object) -> Label:
    return Label(record, "", by, yard, (material,), pile, **more)  # type: ignore[arg-type]


def add_many(make_entry: MakeEntry, count: int) -> None:
    """Records 1 to `count` in one change."""
    with store.writing() as database:
        for seed in range(count):
            records.insert(database, make_entry(seed))


def test_what_is_kept_comes_back_as_it_was(make_entry: MakeEntry) -> None:
    answers = {"thickness": Answer("thickness", 0.0032, "m", 0.0001, "3.2 mm"), "magnet": Answer("magnet", "none")}
    entry = make_entry(1, 2, answers=answers, document={"part": "tap", "reasons": ["naïve — ½"]})
    whole = keep.show(keep.add(entry))
    assert (whole.answers, whole.document, whole.model) == (answers, entry.document, entry.model)
    assert whole.chances == {"yellow-brass": 0.75, "lead": 0.25}
    assert [photo.sha256 for photo in whole.photos] == [photo.sha256 for photo in entry.photos]
    assert whole.photos[0].cues["redness"] == 1.25
    assert math.isnan(whole.photos[0].cues["hollows"])
    assert whole.photos[0].thumbnail == b"small 1"
    assert whole.photos[0].white == entry.photos[0].white
    assert whole.kept.label is None


def test_an_unknown_record_is_refused() -> None:
    with pytest.raises(CallError, match="record: got 7, which is not kept"):
        keep.show(7)


def test_a_correction_is_a_new_row_and_the_surest_voice_counts(make_entry: MakeEntry) -> None:
    number = keep.add(make_entry(1))
    for said in (
        label(number, "tin", "self"),
        label(number, "lead", "yard", "north"),
        label(number, "zinc-die-cast", "yard", "south", pile="zinc"),
        label(number, "titanium", "yard", "north", pile="titanium"),
    ):
        keep.confirm([said])
    assert keep.show(number).kept.label.yard == "north"  # type: ignore[union-attr]
    keep.confirm([label(number, "nickel", "analyser", pile="nickel")])
    keep.confirm([label(number, "copper", "self")])
    whole = keep.show(number)
    assert [said.materials[0] for said in whole.labels] == [
        "tin",
        "lead",
        "zinc-die-cast",
        "titanium",
        "nickel",
        "copper",
    ]
    assert whole.kept.label == whole.labels[4]
    (sample,) = keep.samples()
    assert (sample.materials, sample.weight, sample.tests) == (("nickel",), 1.0, True)
    assert {said.materials[0] for said in sample.labels} == {"nickel", "titanium", "zinc-die-cast", "copper"}
    assert sample.chances["yellow-brass"] == 0.75  # what the machine said stays beside it
    keep.confirm([Label(number, "", "analyser", "", (), "", withdrawn=True)])
    assert keep.samples()[0].materials == ("titanium",)
    assert len(keep.show(number).labels) == 7


@pytest.mark.parametrize(
    ("by", "weight", "tests"), [("analyser", 1.0, True), ("yard", 0.9, True), ("self", 0.3, False)]
)
def test_what_a_label_is_worth(make_entry: MakeEntry, by: str, weight: float, tests: bool) -> None:
    keep.add(make_entry(1), label(0, "lead", by))
    (sample,) = keep.samples()
    assert (sample.weight, sample.tests) == (weight, tests)


def test_lists_are_filtered_and_come_in_pages(make_entry: MakeEntry) -> None:
    for seed in range(25):
        keep.add(make_entry(seed, material="lead" if seed % 5 == 0 else "tin", part=f"part {seed}"))
    keep.confirm([label(3, "copper", "analyser", pile="copper-1"), label(7, "lead", "yard", "north")])
    first = keep.page(keep.Filter(rows=10))
    second = keep.page(keep.Filter(rows=10, before=first.before))
    third = keep.page(keep.Filter(rows=10, before=second.before))
    assert [kept.record for page in (first, second, third) for kept in page.rows] == list(range(25, 0, -1))
    assert third.before is None
    assert [kept.part for kept in keep.page(keep.Filter(material="lead")).rows] == [
        f"part {n}" for n in (20, 15, 10, 5, 0)
    ]
    assert [kept.record for kept in keep.page(keep.Filter(material="lead", confirmed=True)).rows] == [7]
    assert [kept.record for kept in keep.page(keep.Filter(by="analyser", confirmed=True)).rows] == [3]
    assert [kept.record for kept in keep.page(keep.Filter(yard="north")).rows] == [7]
    assert [kept.record for kept in keep.page(keep.Filter(wrong=True)).rows] == [7, 3]
    assert len(keep.page(keep.Filter(confirmed=False, rows=100)).rows) == 23
    assert keep.page(keep.Filter(since="2999-01-01")).rows == ()


def test_what_is_removed_can_be_had_back_until_it_is_purged(make_entry: MakeEntry, own_home: Path) -> None:
    for seed in (1, 2, 3):
        keep.add(make_entry(seed, document={"secret": f"word{seed}" * 20}), label(0, "lead"))
    assert keep.remove([1, 2]) == 2
    assert keep.remove([1]) == 0
    assert [sample.record for sample in keep.samples()] == [3]
    assert [kept.record for kept in keep.page(keep.Filter(removed=True)).rows] == [2, 1]
    assert keep.remove([1], undo=True) == 1
    assert [sample.record for sample in keep.samples()] == [1, 3]
    assert keep.purge().records == 1
    with pytest.raises(CallError, match="got 2, which is not kept"):
        keep.remove([2], undo=True)
    left = b"".join(path.read_bytes() for path in own_home.iterdir())
    assert b"word1" in left
    assert b"word2" not in left
    assert b"small 2" not in left
    assert keep.add(make_entry(4)) == 4  # a number is never given twice


def test_a_part_of_several_confirmed_at_once_is_all_or_nothing(make_entry: MakeEntry) -> None:
    keep.add(make_entry(1))
    with pytest.raises(Exception, match="FOREIGN KEY|None"):
        keep.confirm([label(1, "lead"), label(99, "lead")])
    assert keep.samples() == ()


def test_picks_are_drawn_evenly_stay_open_and_count_what_is_confirmed_already(make_entry: MakeEntry) -> None:
    add_many(make_entry, 40)
    keep.add(make_entry(90, origin="added"), label(0, "lead"))
    keep.confirm([label(number, "lead") for number in range(1, 21)])
    drawn = keep.pick(5, seed=3)
    assert len(drawn) == 5
    assert all(kept.record > 20 for kept in drawn)  # the confirmed ones are not asked for again
    assert keep.pick(5, seed=4) == drawn  # no drawing until one likes what comes
    already = {sample.record for sample in keep.samples() if sample.at_random}
    assert already <= set(range(1, 21))
    assert already  # some of the confirmed half were drawn on the way: they count
    keep.confirm([label(drawn[0].record, "lead", "self")])
    assert keep.pick(5) == keep.pick(5)
    assert drawn[0].record in {kept.record for kept in keep.pick(5)}  # one's own word does not close it
    keep.confirm([label(drawn[0].record, "lead")])
    assert drawn[0].record not in {kept.record for kept in keep.pick(4)}
    assert drawn[0].record in {sample.record for sample in keep.samples() if sample.at_random}


def test_a_downgraded_line_labels_its_culprit_alone(make_entry: MakeEntry) -> None:
    add_many(make_entry, 60)
    line = keep.Downgrade("north", "yellow-brass", "zinc", "zinc in it", tuple(range(1, 61)), 17)
    keep.downgrade(line, label(17, "zinc-die-cast", pile="zinc"))
    assert [(sample.record, sample.materials) for sample in keep.samples()] == [(17, ("zinc-die-cast",))]
    (kept,) = keep.downgrades()
    assert (kept.records, kept.culprit, kept.reason) == (line.records, 17, "zinc in it")
    with pytest.raises(CallError, match="culprit: got 99"):
        keep.downgrade(keep.Downgrade("north", "a", "b", "c", (1, 2), 99))


def test_the_same_photo_again_shares_a_group_and_a_chain_of_them_does(make_entry: MakeEntry) -> None:
    keep.add(make_entry(1), label(0, "lead"))
    keep.add(make_entry(2), label(0, "lead"))
    keep.add(make_entry(3, 2), label(0, "lead"))
    keep.add(make_entry(1, 3), label(0, "lead"))
    keep.add(make_entry(9), label(0, "lead"))
    assert [sample.group for sample in keep.samples()] == [1, 1, 1, 1, 5]
    assert keep.show(1).same == (4,)


def test_a_likeness_is_known_laid_any_way_and_within_its_limit(make_entry: MakeEntry) -> None:
    entry = make_entry(1)
    keep.add(entry)
    drawn, mine = random.Random(5), entry.photos[0].likeness
    for way in likeness.turned(mine):
        for flipped in (0, 7, likeness.APART):
            changed = way
            for place in drawn.sample(range(256), flipped):
                changed ^= 1 << place
            assert keep.find(changed.to_bytes(32)) == (entry.photos[0].sha256,)
    far = int.from_bytes(mine)
    for place in drawn.sample(range(256), likeness.APART + 1):
        far ^= 1 << place
    assert keep.find(far.to_bytes(32)) == ()
