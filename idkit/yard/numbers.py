"""Numbers as price lists and tickets write them, exact; what could be read in two ways is refused."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal

from idkit.errors import AmountError
from idkit.vocabulary import Weighed
from idkit.yard.units import unit_of

MOST = 10**12  # beyond any price or weight; so that sums stay exact to the coin
COARSEST = Decimal("0.01")  # step of a weighbridge, as a share of what is on it, at the most; from memory
_NUMBER = re.compile(r"\d+(?:\.\d*)?|\.\d+")
_RANGE = re.compile(r"(.*[\d.,])\s*(?:-|–|—|to|bis|\.\.)\s*([\d.,].*)", re.IGNORECASE)
_MASS = re.compile(r"([\d.,\s]*[\d.,])\s*([^\d.,\s].*)?")


def number(typed: str, thing: str, right: str = "a number, such as 1.20 or 1,20") -> Decimal:
    """A number above or at zero, exact, with decimal point or comma, in groups of three or not.

    >>> number("1.234,50", "price"), number("1,20", "price"), number("1,250.00", "price")
    (Decimal('1234.50'), Decimal('1.20'), Decimal('1250.00'))
    """
    text = re.sub(r"(?<=\d)[\s']+(?=\d{3}(?!\d))", "", typed.strip())
    if re.fullmatch(r"[1-9]\d{0,2}[,]\d{3}", text):
        both = f"{text.replace(',', '.')} or {text.replace(',', '')}"
        raise AmountError(thing, f"got {typed!r}, which could be {both}", "a decimal point or no comma", f"say {both}")
    plain = _ungrouped(text)
    if len(text) > 24 or not _NUMBER.fullmatch(plain) or Decimal(plain) >= MOST:
        below = ", which is below zero" if text.startswith(("-", "−", "–")) else ""
        raise AmountError(thing, f"got {typed[:40]!r}{below}" if typed.strip() else "is empty", right)
    return Decimal(plain)


def _ungrouped(text: str) -> str:
    """A number with its groups of three closed up and a decimal point; what is grouped otherwise is left alone."""
    for group, decimal in ((",", "."), (".", ",")):
        head, mark, tail = text.partition(decimal)
        grouped = re.fullmatch(rf"\d{{1,3}}(?:{re.escape(group)}\d{{3}})+", head)
        if grouped and (mark or head.count(group) > 1):
            return head.replace(group, "") + ("." + tail if mark else "")
    return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text


def low_to_high(typed: str, thing: str) -> tuple[Decimal, Decimal]:
    """A number, or a range of them, low first.

    >>> low_to_high("0,55 - 0,70", "price")
    (Decimal('0.55'), Decimal('0.70'))
    """
    both = _RANGE.fullmatch(typed.strip())
    low, high = (number(part, thing) for part in (both.groups() if both else (typed, typed)))
    if low > high:
        raise AmountError(thing, f"got {typed!r}", "the lower number first", f"such as {high} to {low}")
    return low, high


def weight(typed: str, thing: str, tons: Mapping[str, str] | None = None) -> Weighed:
    """A weight with its unit in kg, exact, and the size of its last digit in kg; zero is a weight.

    In tons and hundredweights that is a hundredth of the weight at the most: who says 2 tons has seen more digits.

    >>> weight("12.5 lb", "gross")
    Weighed(kg=Decimal('5.669904625'), step=Decimal('0.045359237'), typed='12.5 lb')
    >>> weight("3 tonne", "gross").kg
    Decimal('3000')
    """
    if re.match(r"\s*[-−–]\s*[\d.,]", typed):
        raise AmountError(thing, f"got {typed[:40]!r}, which is below zero", "a weight with its unit, such as 12 kg")
    found = _MASS.fullmatch(typed.strip())
    if not found or not found[2]:
        raise AmountError(
            thing, f"got {typed[:40]!r}" if typed else "is empty", "a weight with its unit, such as 12 kg"
        )
    value = number(found[1], thing)
    unit = _grams(found[2]) or unit_of(found[2], thing, tons).kg
    if unit is None:
        raise AmountError(thing, f"got {typed!r}", "a weight, such as 12 kg or 26 lb")
    step = Decimal(1).scaleb(int(value.as_tuple().exponent)) * unit
    return Weighed(value * unit, min(step, value * unit * COARSEST) if unit > 1 and value else step, typed.strip())


def _grams(unit: str) -> Decimal | None:
    """Small parts are weighed in g, though no price is for one."""
    return Decimal("0.001") if unit.strip().lower() in ("g", "gram", "grams", "gramme", "grammes") else None
