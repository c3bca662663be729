"""The same of every cue: within its stated range or NaN with a reason, on whatever is photographed."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from idkit import see
from idkit.vocabulary import Cue, Patch

of_each_cue = pytest.mark.parametrize("cue", see.CUES, ids=lambda cue: cue.name)


@of_each_cue
def test_in_range_or_nan_with_a_reason_on_every_photo(cue: Cue, patches: Mapping[str, Patch]) -> None:
    for name, patch in patches.items():
        reading = cue.measure(patch)
        if math.isnan(reading.value):
            assert reading.how, f"{name}: NaN without a reason"
        else:
            assert cue.low <= reading.value <= cue.high, name


@of_each_cue
def test_the_reading_carries_the_name_and_unit_of_the_row(cue: Cue, patches: Mapping[str, Patch]) -> None:
    for name, patch in patches.items():
        reading = cue.measure(patch)
        assert (reading.name, reading.unit) == (cue.name, cue.unit), name
        assert isinstance(reading.value, float), name


@of_each_cue
def test_had_on_a_plain_photo_of_a_coloured_part(cue: Cue, patches: Mapping[str, Patch]) -> None:
    """A cue that is never had would pass every other check."""
    assert math.isfinite(cue.measure(patches["copper"]).value)


@of_each_cue
def test_the_same_photo_gives_the_same_number(cue: Cue, patches: Mapping[str, Patch]) -> None:
    one, two = cue.measure(patches["brass"]), cue.measure(patches["brass"])
    assert one == two


@of_each_cue
def test_moves_with_white_only_where_its_row_says_so(cue: Cue, patches: Mapping[str, Patch]) -> None:
    """Without `by_white` the very same reading under any white, and under none; with it another on some part."""
    moved = False
    for patch in patches.values():
        warmer = replace(patch.white, red_green=patch.white.red_green + 0.3, blue_green=patch.white.blue_green - 0.5)
        lost = replace(warmer, kind="none", luminance=float("nan"))
        readings = [cue.measure(replace(patch, white=white)) for white in (patch.white, warmer, lost)]
        same = {(repr(reading.value), reading.how) for reading in readings}
        assert cue.by_white or len(same) == 1
        moved |= readings[0].value != pytest.approx(readings[1].value, abs=1e-3, nan_ok=True)
    assert moved == cue.by_white


@of_each_cue
def test_what_a_patch_holds_beforehand_is_what_would_be_taken_anew(cue: Cue, patches: Mapping[str, Patch]) -> None:
    for name, patch in patches.items():
        anew = cue.measure(replace(patch, body=None, small=None))
        assert repr(anew) == repr(cue.measure(patch)), name


@of_each_cue
def test_too_few_pixels_give_nan_with_a_reason_or_a_number_in_range(cue: Cue, patches: Mapping[str, Patch]) -> None:
    """Everything clipped or in shadow: no pixel is fit to judge."""
    empty = replace(patches["copper"], colours=np.empty((0, 3)), used=0.0)
    reading = cue.measure(empty)
    assert reading.how
    assert math.isnan(reading.value) or cue.low <= reading.value <= cue.high


@of_each_cue
def test_tells_two_painted_parts_apart(cue: Cue, patches: Mapping[str, Patch]) -> None:
    """A cue that is the same for every part would be no cue."""
    values = {round(cue.measure(patch).value, 6) for patch in patches.values()}
    assert len({value for value in values if not math.isnan(value)}) >= 2


@of_each_cue
def test_says_what_it_sees_and_where_it_comes_from(cue: Cue) -> None:
    assert cue.sees
    assert cue.source
    assert cue.unit
    assert cue.low < cue.high
    assert cue.measure.__doc__


def test_names_are_all_different_and_some_are_judged() -> None:
    assert max(Counter(cue.name for cue in see.CUES).values()) == 1
    assert any(cue.judged for cue in see.CUES)


def test_what_is_judged_does_not_need_white_in_view(patches: Mapping[str, Patch]) -> None:
    """Without white the doubt is in the grid of whites, so a judged cue is still had."""
    lost = replace(patches["copper"], white=replace(patches["copper"].white, luminance=float("nan"), kind="none"))
    for cue in see.CUES:
        if cue.judged:
            assert math.isfinite(cue.measure(lost).value), cue.name


@pytest.mark.parametrize("cue", [cue for cue in see.CUES if cue.under], ids=lambda cue: cue.name)
def test_under_many_whites_at_once_as_under_each(cue: Cue, patches: Mapping[str, Patch]) -> None:
    assert cue.under is not None
    for patch in patches.values():
        whites = patch.white.grid[:, :2]
        each = [replace(patch.white, red_green=red, blue_green=blue) for red, blue in whites.tolist()]
        one_by_one = [cue.measure(replace(patch, white=white)).value for white in each]
        assert cue.under(patch, whites) == pytest.approx(one_by_one, abs=1e-9, nan_ok=True)
