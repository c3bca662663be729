from __future__ import annotations

import pytest

from idkit.ask.checks.attached import parse
from idkit.errors import AnswerError


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("none", "none"),
        ("Nothing", "none"),
        ("clean, no screws", "none"),
        ("no screws or bolts", "none"),
        ("steel screws", "steel"),
        ("Screws", "steel"),
        ("two studs and a bearing", "steel"),
        ("no screws, but an iron pin", "steel"),
        ("brass screws", "other"),
        ("plastic bolt", "plastic"),
        ("rubber gasket", "plastic"),
        ("wooden handle", "plastic"),
        ("knobs", "plastic"),
        ("screw, plastic knob", "other"),
        ("brass bolt, steel nut", "other"),
        ("gubbins", "other"),
        ("not much", "other"),
        ("not clean", "other"),
        ("nothing left on it", "none"),
        ("bare", "none"),
        ("none of the screws", "none"),
        ("screw holes", "none"),
        ("a broken screw in the hole", "steel"),
        ("nothing except a screw", "steel"),
        ("old paint and grease", "plastic"),
    ],
)
def test_words_as_people_write_them(typed: str, value: str) -> None:
    answer = parse(typed)
    assert (answer.value, answer.typed) == (value, typed)


@pytest.mark.parametrize("typed", ["", "  ", "screws removed", "all screws out", "don't know", "?"])
def test_what_is_still_on_it(typed: str) -> None:
    with pytest.raises(AnswerError, match="what is still on the part"):
        parse(typed)
