"""Which photos are one part: every photo belongs to exactly one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit.batch.grouping import RULES, chosen, grouped

NAMES = st.from_regex(r"([a-c]/){0,2}[a-c](-\d{1,4})?\.(jpg|png)", fullmatch=True)


@pytest.mark.parametrize("rule", RULES)
@given(photos=st.lists(NAMES, unique=True, max_size=12).map(sorted))
def test_every_photo_belongs_to_one_part(rule: str, photos: list[str]) -> None:
    parts = grouped(photos, rule, {"row": photos[:1]} if photos else {})
    assert sorted(photo for of_part in parts.values() for photo in of_part) == photos
    assert list(parts) == sorted(parts)


@pytest.mark.parametrize(
    ("photos", "rule", "parts"),
    [
        (["tap-1.jpg", "tap-2.jpg", "tap.png"], "name", {"tap": 3}),
        (["tap - 1.jpg", "tap - 02.jpg"], "name", {"tap": 2}),
        (["IMG-0001.jpg", "IMG-0002.jpg"], "name", {"IMG-0001": 1, "IMG-0002": 1}),  # a camera counts in four digits
        (
            ["photo_2026-04-12_10-30-25.jpg", "photo_2026-04-12_10-30-41.jpg"],
            "name",
            {"photo_2026-04-12_10-30-25": 1, "photo_2026-04-12_10-30-41": 1},
        ),  # a day and a time
        (["2026-04-12.jpg", "2026-04-13.jpg"], "name", {"2026-04-12": 1, "2026-04-13": 1}),
        (["m8-bolt-1.jpg", "m8-bolt-2.jpg", "tap 2-1.jpg", "tap 2-2.jpg"], "name", {"m8-bolt": 2, "tap 2": 2}),
        (["a/tap-1.jpg", "b/tap-1.jpg"], "name", {"a/tap": 1, "b/tap": 1}),
        (["tap/1.jpg", "tap/2.jpg", "knob.jpg"], "folder", {"knob": 1, "tap": 2}),
        (["tap.jpg", "tap.png", "knob.jpg"], "photo", {"knob": 1, "tap.jpg": 1, "tap.png": 1}),
    ],
)
def test_parts_are_called_after_their_photos(photos: list[str], rule: str, parts: dict[str, int]) -> None:
    assert {part: len(of_part) for part, of_part in grouped(photos, rule).items()} == parts


def test_a_folder_of_a_days_photos_is_no_part() -> None:
    day = [f"monday/{number:04}.jpg" for number in range(40)]
    assert chosen(day, named=False) == "name"
    assert chosen([f"tap/{number}.jpg" for number in range(3)], named=False) == "folder"
    assert chosen([f"{day}/IMG_{number:04}.jpg" for day in "ab" for number in range(9)], named=False) == "name"
    assert chosen(["monday/tap.jpg", "monday/hinge.jpg", "monday/hinge-2.jpg"], named=False) == "name"
    assert chosen(["tap/front.jpg", "tap/back.jpg", "knob/front.jpg", "knob/scraped.jpg"], named=False) == "folder"
    assert chosen(["tap-1.jpg", "tap/2.jpg"], named=False) == "name"
    assert chosen(["tap-1.jpg"], named=True) == "answers"


def test_a_row_names_photos_whatever_they_are_called() -> None:
    parts = grouped(["1.jpg", "2.jpg", "3.jpg"], "answers", {"tap": ["1.jpg", "2.jpg"], "knob": ["3.jpg"]})
    assert parts == {"knob": ("3.jpg",), "tap": ("1.jpg", "2.jpg")}


def test_a_photo_that_no_row_names_does_not_join_the_row_of_its_name() -> None:
    photos = ["1.jpg", "tap-1.jpg", "tap-2.jpg", "tap.jpg"]
    assert grouped(photos, "answers", {"tap": ["1.jpg"]}) == {
        "tap": ("1.jpg",),
        **{photo: (photo,) for photo in photos[1:]},
    }
