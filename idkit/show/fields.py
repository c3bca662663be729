"""Money, and what holds for it, as fields of a JSON document: decimals as text."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from idkit import flows
from idkit.vocabulary import Money

CONFIRM = "Confirm at the yard."


def money(found: Money | None) -> dict[str, str] | None:
    """A range of money; None for none."""
    if found is None:
        return None
    low, high = (str(flows.rounded(each, found.currency)) for each in (found.low, found.high))
    return {"low": low, "high": high, "currency": found.currency}


def amount(value: Decimal | None, currency: str) -> str | None:
    """An amount of that currency; None for none."""
    return None if value is None else str(flows.rounded(value, currency))


def number(value: Decimal | None) -> str | None:
    """A number as it is; None for none."""
    return None if value is None else str(value)


def document(told: Mapping[str, Any], holds: flows.InUse) -> str:
    """One JSON document, with the price list that was reckoned by and its doubts."""
    by = {"prices": holds.prices.name if holds.prices else None, "doubts": list(holds.doubts), "confirm": CONFIRM}
    return json.dumps({"schema": 1, **told, **by}, indent=1, ensure_ascii=False)
