"""Weights as a person types them, exact: with one unit, as two ('1 lb 4 oz') or as a difference."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from idkit import ask, yard
from idkit.errors import AmountError
from idkit.flows.yards import in_use
from idkit.vocabulary import Answers, Weighed

_SEVERAL = re.compile(r"[^\W\d_]\.?\s*-?\s*[\d.]")
_FINE = Decimal("1e-9")  # kg: far below any scale, far above what a float loses


def weighed(typed: str, thing: str, tons: Mapping[str, str] | None = None) -> Weighed:
    """A weight in kg with the step of its scale; AmountError, which names `thing`, where it is none.

    A bare ton is what `tons` say, else what it is at the yard in use.

    >>> weighed("1 lb 4 oz", "--weight").kg
    Decimal('0.566990462')
    >>> weighed("3500 kg - 1400 kg", "--weight").kg
    Decimal('2100')
    """
    if both := ask.both_weights(typed):
        whole, bare = (weighed(each, thing, tons) for each in both)
        if bare.kg >= whole.kg:
            raise AmountError(thing, f"got {typed!r}, which leaves nothing", "the heavier weight first")
        return Weighed(whole.kg - bare.kg, whole.step + bare.step, typed.strip())
    if not _SEVERAL.search(typed):
        try:
            return yard.weight(typed, thing)
        except AmountError:
            return yard.weight(typed, thing, in_use().yard.tons if tons is None else tons)
    amount = ask.parse_mass(typed, thing)
    return Weighed(_decimal(amount.value), _decimal(amount.step), typed.strip())


def weight_of(answers: Answers) -> Weighed | None:
    """What a kept part was said to weigh, its step no finer than its scale's; None where nobody said."""
    if "weight" not in answers:
        return None
    told = weighed(answers["weight"].typed, "weight")
    step = _decimal(float(answers["scale"].value)) if "scale" in answers else told.step
    return replace(told, step=max(step, told.step))


def _decimal(value: float) -> Decimal:
    return Decimal(repr(value)).quantize(_FINE).normalize()
