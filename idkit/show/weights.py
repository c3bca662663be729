"""Weights in words: in kg and in lb, so that no one has to reckon at the bench."""

from __future__ import annotations

from decimal import Decimal

POUND = Decimal("0.45359237")  # kg, exact


def weight(kg: Decimal) -> str:
    """A mass in kg and lb.

    >>> weight(Decimal("5.6699"))
    '5.67 kg (12.5 lb)'
    """
    return f"{kilos(kg)} ({plain(kg / POUND, 2)} lb)"


def kilos(kg: Decimal) -> str:
    """A mass in kg, to the gram; in g where it is under one hundred.

    >>> kilos(Decimal("0.0125")), kilos(Decimal("12.3456"))
    ('12.5 g', '12.346 kg')
    """
    return f"{plain(1000 * kg, 1)} g" if abs(kg) < Decimal("0.1") else f"{plain(kg, 3)} kg"


def plain(number: Decimal, digits: int) -> str:
    """A number without noughts at its end, in groups of three.

    >>> plain(Decimal("1200.50"), 2), plain(Decimal(40), 0)
    ('1,200.5', '40')
    """
    text = f"{number:,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
