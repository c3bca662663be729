from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit.ask import parse_length, parse_mass
from idkit.errors import AmountError, IdkitError
from idkit.vocabulary import Amount

INCH = 0.0254  # international inch and pound, 1959: exact
POUND = 0.45359237


@pytest.mark.parametrize(
    ("typed", "metres", "step"),
    [
        ("3.2 mm", 0.0032, 0.0001),
        ("3,2mm", 0.0032, 0.0001),
        (" 3.20  MM ", 0.0032, 0.00001),
        ("0.5cm", 0.005, 0.001),
        ("3.2\u00a0mm", 0.0032, 0.0001),
        ("0,125 in", INCH / 8, INCH / 1000),
        ("1/4 in", INCH / 4, INCH / 4),
        ("3/16 inch", INCH * 3 / 16, INCH / 16),
        ('1 1/2"', INCH * 1.5, INCH / 2),
        ("1-1/2 in", INCH * 1.5, INCH / 2),
        ("1½″", INCH * 1.5, INCH / 2),
        ("½ in", INCH / 2, INCH / 2),
        ("¾”", INCH * 0.75, INCH / 4),
        ("1⁄4 in.", INCH / 4, INCH / 4),
        ("1/4''", INCH / 4, INCH / 4),
        ("1′ 2″", 14 * INCH, INCH),
        ("1 ft 2 1/2 in", 14.5 * INCH, INCH / 2),
        ("35 µm", 0.000035, 0.000001),
        ("35 μm", 0.000035, 0.000001),
        ("20 thou", 0.02 * INCH, INCH / 1000),
        (".5 in", INCH / 2, INCH / 10),
        ("1 m", 1.0, 1.0),
        ("1,234.5 mm", 1.2345, 0.0001),
    ],
)
def test_lengths_as_people_type_them(typed: str, metres: float, step: float) -> None:
    amount = parse_length(typed)
    assert (amount.value, amount.step) == pytest.approx((metres, step), rel=1e-12)
    assert amount.typed == typed


@pytest.mark.parametrize(
    ("typed", "kilograms", "step"),
    [
        ("1.2 kg", 1.2, 0.1),
        ("1.20 kg", 1.2, 0.01),
        ("1,2 kg", 1.2, 0.1),
        ("1.200 kg", 1.2, 0.001),
        ("0,200 kg", 0.2, 0.001),
        ("1.200,5 g", 1.2005, 0.0001),
        ("1,200.5 g", 1.2005, 0.0001),
        ("1,200,000 g", 1200.0, 0.001),
        ("1 200 g", 1.2, 0.001),
        ("180g", 0.18, 0.001),
        ("180 grams", 0.18, 0.001),
        ("1 lb 4 oz", 1.25 * POUND, POUND / 16),
        ("1lb4oz", 1.25 * POUND, POUND / 16),
        ("1 lb, 4.5 oz", POUND * 20.5 / 16, POUND / 160),
        ("2 pounds and 1 ounce", POUND * 33 / 16, POUND / 16),
        ("12oz", 0.75 * POUND, POUND / 16),
        ("2½ lbs", 2.5 * POUND, POUND / 2),
        ("0.5 t", 500.0, 100.0),
        ("1 kg 200 g", 1.2, 0.001),
    ],
)
def test_masses_as_people_type_them(typed: str, kilograms: float, step: float) -> None:
    amount = parse_mass(typed)
    assert (amount.value, amount.step) == pytest.approx((kilograms, step), rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("3.2", "lacks a unit; right is a length with its unit; say 3.2 mm or 3.2 in"),
        ("1/4", "say 1/4 mm or 1/4 in"),
        ("1,200 mm", "could be 1.200 mm or 1200 mm"),
        ("-3 mm", "below zero"),
        ("−3 mm", "below zero"),
        ("0 mm", "zero"),
        ("0/4 in", "zero"),
        ("1/0 in", "such as '3.2 mm' or '1/8 in'"),
        ("1 3/2 in", "such as"),
        ("nan mm", "such as"),
        ("inf mm", "such as"),
        ("1e3 mm", "such as"),
        ("1,20,3 mm", "such as"),
        ("1.2.3 mm", "such as"),
        ("", "such as"),
        ("about 3 mm", "such as"),
        ("3 mm or so", "such as"),
        ("1-2 mm", "such as"),
        ("2 in 1 ft", "such as"),
        ("1.5 ft 2 in", "such as"),
        ("1 ft 12 in", "where 12 in is 1 ft or more; right is a length, such as"),
        ("3 mm,", "such as"),
        ("3 kg", "'kg' is no unit known here"),
        ("16 ga", "gauge number"),
        ("20 mil", "write thou or mm"),
        (
            "2.1 m",
            "above anything a part on a bench can be; right is a length between 0.001 mm and 2 m; check the unit",
        ),
        ("0.5 um", "below anything"),
        ("9" * 5000 + " mm", "..."),
    ],
)
def test_a_refused_length_says_what_is_right(typed: str, says: str) -> None:
    with pytest.raises(AmountError) as refused:
        parse_length(typed)
    line = str(refused.value)
    assert line.startswith("--thickness: got ")
    assert says in line
    assert len(line) < 300


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("1,200 g", "could be 1.200 g or 1200 g"),
        ("200 gr", "grains"),
        ("1 ton", "1000, 907 or 1016 kg"),
        ("2001 kg", "above anything"),
        ("0.009 g", "below anything"),
        ("1.2", "say 1.2 g, 1.2 kg or 1.2 lb"),
        ("3 mm", "'mm' is no unit known here"),
    ],
)
def test_a_refused_mass_says_what_is_right(typed: str, says: str) -> None:
    with pytest.raises(AmountError) as refused:
        parse_mass(typed, "--jar")
    line = str(refused.value)
    assert line.startswith("--jar: got ")
    assert says in line


@given(
    digits=st.integers(1, 10**6),
    decimals=st.integers(0, 4),
    unit=st.sampled_from([("mm", 1e-3), ("cm", 1e-2), ("in", INCH), ('"', INCH)]),
    space=st.sampled_from(["", " ", "\u00a0", "\u2009"]),
)
def test_what_is_written_is_read(digits: int, decimals: int, unit: tuple[str, float], space: str) -> None:
    value = digits / 10**decimals
    if not 1e-6 <= value * unit[1] <= 2.0:
        return
    amount = parse_length(f"{value:.{decimals}f}{space}{unit[0]}")
    assert (amount.value, amount.step) == pytest.approx((value * unit[1], unit[1] / 10**decimals), rel=1e-9)


@given(grams=st.integers(1, 2_000_000))
def test_units_agree(grams: int) -> None:
    kilograms = f"{grams // 1000}.{grams % 1000:03d} kg"
    assert parse_mass(f"{grams} g").value == parse_mass(kilograms).value
    assert parse_mass(f"{grams} g").step == parse_mass(kilograms).step


@given(whole=st.integers(0, 40), over=st.integers(1, 63))
def test_fractions_are_exact(whole: int, over: int) -> None:
    typed = f"{whole} {over}/64 in" if whole else f"{over}/64 in"
    assert parse_length(typed).value == pytest.approx((whole + over / 64) * INCH, rel=1e-12)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_in_one_line(typed: str) -> None:
    for parse in (parse_length, parse_mass):
        amount, line = read_or_refused(parse, typed)
        assert "\n" not in line
        assert amount is None or (amount.value > 0.0 and amount.step > 0.0)


def read_or_refused(parse: Callable[[str], Amount], typed: str) -> tuple[Amount | None, str]:
    try:
        return parse(typed), ""
    except IdkitError as refused:
        return None, str(refused)
