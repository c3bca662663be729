"""Money: Decimal, in one currency, rounded once, at the end of a line.

Digits after the point are those of ISO 4217; the exceptions from two are from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_HALF_EVEN, Context, Decimal

from idkit.errors import CallError
from idkit.vocabulary import Money

_DIGITS = dict.fromkeys(
    ("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "VND", "VUV", "XAF", "XOF", "XPF"), 0
) | dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3)
_WIDE = Context(prec=60)  # more digits than any amount has, so that rounding one never fails
_SIGNS = {"€": "EUR", "£": "GBP"}  # a $, a ¥ and a kr are the money of several countries


def currency_of(typed: str, thing: str) -> str:
    """The three letters of a currency.

    >>> currency_of("eur", "currency")
    'EUR'
    """
    text = _SIGNS.get(typed.strip(), typed.strip().upper())
    if len(text) == 3 and text.isascii() and text.isalpha():
        return text
    got = f"got {typed.strip()[:20]!r}" if typed.strip() else "is empty"
    raise CallError(thing, got, "three letters, such as EUR, USD or GBP")


def rounded(amount: Decimal, currency: str) -> Decimal:
    """An amount to the smallest coin, half to even.

    >>> rounded(Decimal("2.345"), "EUR"), rounded(Decimal("1234.5"), "JPY")
    (Decimal('2.34'), Decimal('1234'))
    """
    return amount.quantize(Decimal(1).scaleb(-_DIGITS.get(currency, 2)), ROUND_HALF_EVEN, _WIDE)


def summed(amounts: Iterable[Money], currency: str) -> Money:
    """Their sum; CallError where one is in another currency."""
    low = high = Decimal(0)
    for each in amounts:
        if each.currency != currency:
            raise CallError("money", f"got {each.currency} beside {currency}", "one currency", "keep one list for each")
        low, high = low + each.low, high + each.high
    return Money(low, high, currency)


def said(money: Money) -> str:
    """An amount or a range of them, rounded, with its currency.

    >>> said(Money(Decimal("1.2"), Decimal("1.2"), "EUR")), said(Money(Decimal("1"), Decimal("2.5"), "USD"))
    ('1.20 EUR', '1.00 to 2.50 USD')
    """
    low, high = (rounded(each, money.currency) for each in (money.low, money.high))
    return f"{low:,} {money.currency}" if low == high else f"{low:,} to {high:,} {money.currency}"
