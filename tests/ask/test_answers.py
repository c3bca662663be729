from __future__ import annotations

from types import MappingProxyType

import pytest

from idkit.ask import read
from idkit.errors import AnswerError, CallError


def test_everything_at_once() -> None:
    answers = read(
        {
            "thickness": "3.2 mm",
            "magnet": "none",
            "form": "casting",
            "scratch-colour": "grey-white",
            "weight": "300 g",
            "jar": "111 g",
            "attached": "steel screws",
            "hollow": "no",
            "inside": "same",
        }
    )
    assert isinstance(answers, MappingProxyType)
    assert answers["attached"].typed == "steel screws"
    assert (answers["weight"].value, answers["weight"].unit) == (0.3, "kg")
    density = answers["weight-in-water"]
    assert density.value == pytest.approx(2698, abs=1)
    assert density.unit == "kg/m³"
    assert 15 < density.uncertainty < 30
    assert density.typed == "300 g dry, 111 g in the jar"


def test_blank_is_no_answer() -> None:
    assert read({"magnet": " ", "thickness": ""}) == {}


def test_weight_alone_says_nothing_of_density() -> None:
    assert list(read({"weight": "1.2 kg"})) == ["weight"]


def test_hung_from_the_scale() -> None:
    assert read({"weight": "1.20 kg", "hung": "1.06 kg"})["weight-in-water"].value == pytest.approx(8556, abs=1)


@pytest.mark.parametrize("name", ["jar", "hung"])
def test_water_without_weight_is_refused(name: str) -> None:
    with pytest.raises(CallError) as refused:
        read({name: "180 g"})
    assert str(refused.value) == (
        f"--{name}: got '180 g' without the part's own weight; right is --weight together with --{name}; "
        "weigh the part dry as well"
    )


def test_density_twice_is_refused() -> None:
    with pytest.raises(CallError, match="one or the other"):
        read({"weight": "1 kg", "jar": "120 g", "weight-in-water": "8.5 g/cm3"})


def test_unknown_check_names_the_nearest() -> None:
    with pytest.raises(
        AnswerError, match="got 'magnt', which is no check; right is .*jar, .*magnet.*did you mean magnet"
    ):
        read({"magnt": "none"})


def test_errors_name_the_option() -> None:
    for name, text in {
        "weight": "1,200 g",
        "jar": "x",
        "hung": "0 g",
        "thickness": "3",
        "scratch-colour": "red",
    }.items():
        with pytest.raises(CallError, match=f"^--{name}: got "):
            read({name: text})
