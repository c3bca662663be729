from __future__ import annotations

import math

import numpy as np
import pytest

from idkit import ask
from idkit.decide.evidence import PATTERNS, informative, pattern, row, surface_columns
from idkit.vocabulary import SURFACES, Evidence, Reading

READINGS = (
    Reading("hue", 95.0, "degrees"),
    Reading("chroma", math.nan, "C*ab", "no white in view"),
    Reading("gloss", 0.0, ""),
)


def test_a_row_is_named_and_ordered_whatever_the_order_of_the_readings() -> None:
    forward = row(READINGS, ["gloss", "hue"])
    assert forward.tolist() == [0.0, 95.0]
    assert row(READINGS[::-1], ["gloss", "hue"]).tolist() == forward.tolist()
    assert row(READINGS, ["hue", "gloss"]).tolist() == [95.0, 0.0]


def test_missing_is_nan_whether_unread_or_not_measured_and_zero_is_a_value() -> None:
    found = row(READINGS, ["chroma", "gloss", "never-measured"])
    assert np.isnan(found).tolist() == [True, False, True]
    assert row([], ["hue"]).shape == (1,)


def test_one_column_a_surface_and_none_set_where_it_is_not_known() -> None:
    assert [surface_columns(name).tolist() for name in SURFACES] == np.eye(len(SURFACES)).tolist()
    assert surface_columns("").tolist() == [0.0] * len(SURFACES)


@pytest.mark.parametrize(
    ("photographed", "typed", "expected"),
    [
        (True, {}, "photo"),
        (True, {"form": "casting", "weight": "1 kg", "attached": "none"}, "photo"),
        (True, {"form": "casting", "weight": "540 g"}, "photo"),
        (True, {"magnet": "none"}, "photo-and-one-answer"),
        (True, {"magnet": "none", "thickness": "2 mm"}, "photo-and-answers"),
        (True, {"magnet": "none", "weight": "540 g", "jar": "200 g"}, "photo-and-water"),
        (False, {"weight": "540 g", "jar": "200 g"}, "answers-and-water"),
        (False, {"magnet": "none", "thickness": "2 mm"}, "answers-only"),
        (False, {"magnet": "none"}, "one-answer"),
        (False, {"form": "casting"}, "form-only"),
    ],
)
def test_patterns_of_evidence(photographed: bool, typed: dict[str, str], expected: str, photo_of) -> None:
    evidence = Evidence(photo_of({}) if photographed else None, ask.read(typed), "as-found")
    assert pattern(evidence) == expected
    assert expected in PATTERNS


def test_context_is_not_informative_by_itself() -> None:
    typed = {"form": "casting", "weight": "540 g", "jar": "200 g", "attached": "none", "hollow": "no", "magnet": "none"}
    assert set(informative(ask.read(typed))) == {"magnet", "weight-in-water"}
