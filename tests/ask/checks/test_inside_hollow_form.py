from __future__ import annotations

from collections.abc import Mapping

import pytest

from idkit.ask.checks import form, hollow, inside
from idkit.errors import AnswerError
from idkit.vocabulary import Answer, Material


def test_a_skin_shows_another_metal_inside(known: Mapping[str, Material]) -> None:
    different = inside.parse("different")
    assert inside.likelihood(known["chromed-zinc"], different, {}) == pytest.approx(0.9)
    assert inside.likelihood(known["zinc-die-cast"], different, {}) == pytest.approx(0.05)


@pytest.mark.parametrize("shape", ["board", "motor", "sealed-unit", "assembly"])
def test_what_is_not_one_piece_is_not_cut(shape: str) -> None:
    assert inside.outcomes({"form": Answer("form", shape)}) == ()


def test_a_cable_may_be_cut() -> None:
    assert len(inside.outcomes({"form": Answer("form", "cable")})) == 2


def test_hollow_is_yes_or_no() -> None:
    assert [hollow.parse(typed).value for typed in ("yes", "N", " Y ")] == ["yes", "no", "yes"]
    with pytest.raises(AnswerError, match="yes or no"):
        hollow.parse("a bit")


def test_form_is_one_of_the_table() -> None:
    assert form.parse("Sealed unit").value == "sealed-unit"
    with pytest.raises(AnswerError, match="right is .*casting.*did you mean --form casting"):
        form.parse("castin")
