"""Amounts as people type them, to SI, or a refusal that helps.

An amount is a number with its unit, or several in falling order ("1 lb 4 oz"). Numbers may be decimal with point or
comma, in groups of three, or fractions ("1 1/2", "3/16", "½"). What could be read in two ways is refused with both
readings named, because a silent wrong guess is a wrong pile.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import hypot

from idkit.ask.choices import listed
from idkit.errors import AmountError
from idkit.vocabulary import Amount

_INCH, _POUND, _OUNCE = Fraction(254, 10000), Fraction(45359237, 10**8), Fraction(45359237, 16 * 10**8)
_MILLI, _CENTI, _MICRO = Fraction(1, 1000), Fraction(1, 100), Fraction(1, 10**6)


@dataclass(frozen=True)
class _Kind:
    """One kind of amount: its units in SI, the units it refuses and why, and what can be true of a part."""

    noun: str
    units: Mapping[str, Fraction]
    refused: Mapping[str, str]
    examples: tuple[str, str]
    units_to_add: tuple[str, ...]
    low: Fraction
    high: Fraction
    between: str


def _named(size: Fraction, *names: str) -> dict[str, Fraction]:
    return dict.fromkeys(names, size)


_LENGTH = _Kind(
    noun="a length",
    units=_named(_MILLI, "mm", "millimetre", "millimetres", "millimeter", "millimeters")
    | _named(_CENTI, "cm", "centimetre", "centimetres", "centimeter", "centimeters")
    | _named(_MICRO, "um", "μm", "micron", "microns", "micrometre", "micrometres")
    | _named(Fraction(1), "m", "metre", "metres", "meter", "meters")
    | _named(_INCH, "in", "in.", "inch", "inches", '"', "''")
    | _named(12 * _INCH, "ft", "ft.", "foot", "feet", "'")
    | _named(_INCH / 1000, "thou"),
    refused={
        "mil": "'mil' is 0.001 in to some and a millimetre to others: write thou or mm",
        "mils": "'mils' are 0.001 in to some and millimetres to others: write thou or mm",
        "ga": "a gauge number means another thickness for every metal: measure it in mm or in",
        "gauge": "a gauge number means another thickness for every metal: measure it in mm or in",
    },
    examples=("3.2 mm", "1/8 in"),
    units_to_add=("mm", "in"),
    low=_MICRO,
    high=Fraction(2),
    between="between 0.001 mm and 2 m",
)
_MASS = _Kind(
    noun="a weight",
    units=_named(Fraction(1), "kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes")
    | _named(_MILLI, "g", "gm", "gms", "gram", "grams", "gramme", "grammes")
    | _named(_MICRO, "mg", "milligram", "milligrams")
    | _named(Fraction(1000), "t", "tonne", "tonnes")
    | _named(_POUND, "lb", "lb.", "lbs", "lbs.", "pound", "pounds")
    | _named(_OUNCE, "oz", "oz.", "ounce", "ounces"),
    refused={
        "gr": "'gr' is grams to some and grains (0.065 g) to others: write g for grams",
        "ton": "a 'ton' is 1000, 907 or 1016 kg: write tonne for 1000 kg, or give kg or lb",
        "tons": "a 'ton' is 1000, 907 or 1016 kg: write tonne for 1000 kg, or give kg or lb",
    },
    examples=("1.20 kg", "1 lb 4 oz"),
    units_to_add=("g", "kg", "lb"),
    low=Fraction(1, 100000),
    high=Fraction(2000),
    between="between 0.01 g and 2000 kg",
)

_SIGNS = str.maketrans({"’": "'", "‘": "'", "´": "'", "”": '"', "“": '"', "⁄": "/", "∕": "/", "−": "-", "–": "-"})
_MIXED = r"(?:\d+(?: +| *- *))?\d+ */ *\d+"
_PLAIN = r"\d{1,3}(?: \d{3})+(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+"
_PIECE = re.compile(rf"(?P<number>{_MIXED}|{_PLAIN}) *(?P<unit>''|[a-zμ]+\.?|[\"'])?(?: *, *| *)(?:and +)?")
_LESS = re.compile(r"(.*[a-z.])(?: (?:-|minus|less) | ?- ?(?=\d))(.+)")  # 82.4 kg - 80.1 kg
_LONGEST = 40  # characters; nobody types a longer amount


def parse_length(typed: str, thing: str = "--thickness") -> Amount:
    """A length in m, with the size of its last digit.

    From 0.001 mm to 2 m. `thing` names what was being answered, for the error. A fraction's step is one over its
    denominator.

    >>> parse_length("3,2mm")
    Amount(value=0.0032, step=0.0001, typed='3,2mm')
    >>> parse_length('1 1/2"').value
    0.0381
    """
    return _parse(typed, thing, _LENGTH)


def parse_mass(typed: str, thing: str = "--weight") -> Amount:
    """A mass in kg, with the size of its last digit (of the ounces in '1 lb 4 oz').

    From 0.01 g to 2000 kg. `thing` names what was being answered, for the error. Two weights with a minus between are
    weighing by difference: a person with the bucket, less the person; both readings' steps count.

    >>> parse_mass("1.20 kg")
    Amount(value=1.2, step=0.01, typed='1.20 kg')
    >>> round(parse_mass("1 lb 4 oz").value, 4)
    0.567
    >>> round(parse_mass("82.4 kg - 80.1 kg").value, 4), round(parse_mass("82.4 kg-80.1 kg").value, 4)
    (2.3, 2.3)
    """
    both = both_weights(typed)
    return _difference(*both, typed, thing) if both else _parse(typed, thing, _MASS)


def both_weights(typed: str) -> tuple[str, str] | None:
    """The two weights of a difference, the whole and what is taken off; None where it is none.

    >>> both_weights("82.4 kg - 80.1 kg"), both_weights("82.4 kg")
    (('82.4 kg', '80.1 kg'), None)
    """
    both = _LESS.fullmatch(_tidy(typed))
    return (both[1], both[2]) if both else None


def _difference(whole: str, bare: str, typed: str, thing: str) -> Amount:
    """One weight less another, its step that of both readings together."""
    first, second = _parse(whole, thing, _MASS), _parse(bare, thing, _MASS)
    if second.value >= first.value:
        got = f"got {typed!r}, which leaves nothing"
        raise AmountError(thing, got, "the heavier weight first", "such as '82.4 kg - 80.1 kg'")
    return Amount(first.value - second.value, hypot(first.step, second.step), typed)


def _parse(typed: str, thing: str, kind: _Kind) -> Amount:
    pieces = _pieces(_tidy(typed), typed, thing, kind)
    sizes = [_unit(unit, number, typed, thing, kind) for number, unit in pieces]
    numbers = [_number(number, unit, typed, thing, kind) for number, unit in pieces]
    whole_but_last = all(number.denominator == 1 for number, _ in numbers[:-1])
    if not whole_but_last or any(larger <= smaller for larger, smaller in pairwise(sizes)):
        raise _unreadable(typed, thing, kind)
    parts = [number * size for (number, _), size in zip(numbers, sizes, strict=True)]
    for ((_, larger), _), ((number, unit), part) in pairwise(zip(pieces, parts, strict=True)):
        if part >= kind.units[larger]:
            got = f"got {typed!r}, where {number} {unit} is 1 {larger} or more"
            raise AmountError(thing, got, f"{kind.noun}, {_example(kind)}")
    value = sum(parts, Fraction(0))
    _require_possible(value, typed, thing, kind)
    return Amount(float(value), float(numbers[-1][1] * sizes[-1]), typed)


def _tidy(typed: str) -> str:
    """One spelling for spaces, quotes, slashes and fraction characters.

    >>> _tidy("1½″")
    "1 1/2''"
    """
    spaced = "".join(f" {char}" if "VULGAR FRACTION" in unicodedata.name(char, "") else char for char in typed)
    plain = unicodedata.normalize("NFKC", spaced.translate(_SIGNS)).translate(_SIGNS).replace("′", "'")
    return " ".join(plain.lower().split())


def _pieces(text: str, typed: str, thing: str, kind: _Kind) -> list[tuple[str, str]]:
    """Numbers with their units, in order; refused unless they are all there is."""
    if text.startswith("-"):
        raise AmountError(thing, f"got {typed!r}, which is below zero", f"{kind.noun} above zero", _example(kind))
    pieces, at = [], 0
    while len(text) <= _LONGEST and at < len(text) and (found := _PIECE.match(text, at)):
        pieces.append((found["number"], found["unit"] or ""))
        at = found.end()
    if not pieces or at < len(text) or text.endswith(","):
        raise _unreadable(typed, thing, kind)
    return pieces


def _unit(unit: str, number: str, typed: str, thing: str, kind: _Kind) -> Fraction:
    right = f"{kind.noun} with its unit"
    if not unit:
        any_of = listed(f"{number} {name}" for name in kind.units_to_add)
        raise AmountError(thing, f"got {typed!r}, which lacks a unit", right, f"say {any_of}, whichever it is")
    if unit in kind.refused:
        raise AmountError(thing, f"got {typed!r}", right, kind.refused[unit])
    if unit not in kind.units:
        raise AmountError(thing, f"got {typed!r}; {unit!r} is no unit known here", right, _example(kind))
    return kind.units[unit]


def _number(text: str, unit: str, typed: str, thing: str, kind: _Kind) -> tuple[Fraction, Fraction]:
    """The number and the size of its last digit."""
    if "/" in text:
        return _fraction(text, typed, thing, kind)
    text = text.replace(" ", "")
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", text):
        decimal, thousands = text.replace(",", "."), text.replace(",", "")
        both = f"{decimal} {unit} or {thousands} {unit}"
        raise AmountError(thing, f"got {typed!r}, which could be {both}", "a decimal point or no comma", f"say {both}")
    plain = _ungrouped(text)
    if not re.fullmatch(r"\d+\.?\d*|\.\d+", plain):
        raise _unreadable(typed, thing, kind)
    decimals = len(plain.partition(".")[2])
    return Fraction(plain), Fraction(1, 10**decimals)


def _ungrouped(text: str) -> str:
    """A number with its groups of three closed up and a decimal point; what is grouped otherwise is left alone.

    >>> _ungrouped("1.200,5"), _ungrouped("1,200,000"), _ungrouped("3,2"), _ungrouped("1,20,3")
    ('1200.5', '1200000', '3.2', '1,20,3')
    """
    for group, decimal in ((",", "."), (".", ",")):
        head, mark, tail = text.partition(decimal)
        grouped = re.fullmatch(rf"\d{{1,3}}(?:{re.escape(group)}\d{{3}})+", head)
        if grouped and (mark or head.count(group) > 1):
            return head.replace(group, "") + ("." + tail if mark else "")
    return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text


def _fraction(text: str, typed: str, thing: str, kind: _Kind) -> tuple[Fraction, Fraction]:
    *whole, over, under = (int(digits) for digits in re.findall(r"\d+", text))
    if under == 0 or (whole and over >= under):
        raise _unreadable(typed, thing, kind)
    return Fraction(over, under) + sum(whole), Fraction(1, under)


def _require_possible(value: Fraction, typed: str, thing: str, kind: _Kind) -> None:
    if value == 0:
        raise AmountError(thing, f"got {typed!r}, which is zero", f"{kind.noun} above zero", "leave it out if unknown")
    if not kind.low <= value <= kind.high:
        size = "below" if value < kind.low else "above"
        got = f"got {typed!r}, which is {size} anything a part on a bench can be"
        raise AmountError(thing, got, f"{kind.noun} {kind.between}", "check the unit")


def _example(kind: _Kind) -> str:
    return f"such as {kind.examples[0]!r} or {kind.examples[1]!r}"


def _unreadable(typed: str, thing: str, kind: _Kind) -> AmountError:
    shown = typed if len(typed) <= _LONGEST else typed[:_LONGEST] + "..."
    return AmountError(thing, f"got {shown!r}", f"{kind.noun}, {_example(kind)}")
