"""A record as the JSON document that other programs read."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any

from idkit import flows
from idkit.vocabulary import Answer, Caution, Danger, NextCheck, PhotoReport, Pile, Record, Size, Sold

SCHEMA = 1
DIGITS = 12


def document(records: Iterable[Record]) -> str:
    """{"schema": 1, "parts": [...]}, one line a level, numbers in SI."""
    return json.dumps({"schema": SCHEMA, "parts": [part(record) for record in records]}, indent=1, ensure_ascii=False)


def part(record: Record) -> dict[str, Any]:
    """One part. Fields may be added, not renamed."""
    verdict = record.verdict
    return {
        "part": record.part,
        "box": list(record.box) if record.box else None,
        "size_mm": _size(record.size),
        "photos": [_photo(photo) for photo in record.photos],
        "colour": _colour(record),
        "surface": record.surface,
        "answers": {name: _answer(answer) for name, answer in record.answers.items()},
        "density": _density(record),
        "came_out_of": record.came_out_of,
        "marked": record.marked,
        "note": record.note,
        "materials": [{"material": name, "chance": _number(chance)} for name, chance in verdict.chances.items()],
        "likely": list(verdict.likely),
        "sure": verdict.sure,
        "unlike_known": verdict.unlike_known,
        "simulated": verdict.simulated,
        "reasons": list(verdict.reasons),
        "next_check": _next(verdict.next_check, record.sold),
        "category": _category(verdict.pile, record.sold),
        "categories": [{"id": name, "chance": _number(chance)} for name, chance in verdict.piles.items()],
        "value": _value(record.sold),
        "yard": record.sold.yard or None if record.sold else None,
        "without_price": list(record.sold.without) if record.sold else [],
        "advice": record.sold.advice or None if record.sold else None,
        "old_prices": list(record.sold.old) if record.sold else [],
        "leave_closed": [_danger(danger) for danger in verdict.dangers],
        "cautions": [_caution(caution) for caution in verdict.cautions],
        "confirm": verdict.confirm,
        "model": {"name": record.model[0], "digest": record.model[1]},
        "warnings": list(record.warnings),
        "record": record.kept,
    }


def _photo(photo: PhotoReport) -> dict[str, Any]:
    return {
        "file": photo.file,
        "sha256": photo.sha256,
        "white": photo.white.kind,
        "white_uncertainty": _number(photo.white.uncertainty),
        "problems": list(photo.problems),
        "bare": {"box": list(photo.bare), "certainty": _number(photo.bare_certainty)} if photo.bare else None,
        "families": {name: _number(chance) for name, chance in photo.families.items()},
        "cues": [
            {"name": cue.name, "value": _number(cue.value), "unit": cue.unit, "how": cue.how} for cue in photo.readings
        ],
    }


def _colour(record: Record) -> dict[str, Any] | None:
    if record.colour is None:
        return None
    lightness, a, b = record.colour
    return {
        "L": _number(lightness),
        "a": _number(a),
        "b": _number(b),
        "uncertainty": _number(record.colour_uncertainty),
    }


def _size(size: Size | None) -> dict[str, Any] | None:
    """Sides and their standard uncertainty in mm, area in mm²."""
    if size is None:
        return None
    names = ("length", "width", "area", "uncertainty", "area_uncertainty")
    return {**{name: _number(getattr(size, name)) for name in names}, "how": size.how}


def _answer(answer: Answer) -> dict[str, Any]:
    value = answer.value if isinstance(answer.value, str) else _number(answer.value)
    found: dict[str, Any] = {"value": value, "typed": answer.typed}
    if answer.unit:
        found |= {"unit": answer.unit, "uncertainty": _number(answer.uncertainty)}
    return found


def _density(record: Record) -> dict[str, Any] | None:
    if record.density is None:
        return None
    return {"value": _number(record.density[0]), "uncertainty": _number(record.density[1]), "unit": "kg/m3"}


def _next(check: NextCheck | None, sold: Sold | None) -> dict[str, Any] | None:
    """The check that helps most; with what it saves where it is chosen by money."""
    if check is None:
        return None
    told = {"check": check.check, "settles": _number(check.settles), "how": check.how, "limits": check.limits}
    if sold is None or sold.saves is None or sold.value is None:
        return told
    return told | {
        "saves": {"amount": str(flows.rounded(sold.saves, sold.value.currency)), "currency": sold.value.currency}
    }


def _value(sold: Sold | None) -> dict[str, str] | None:
    """What it fetches, as decimals in text; None without a price."""
    if sold is None or sold.value is None:
        return None
    low, high = (str(flows.rounded(each, sold.value.currency)) for each in (sold.value.low, sold.value.high))
    return {"low": low, "high": high, "currency": sold.value.currency, "per": sold.per}


def _category(pile: Pile | None, sold: Sold | None) -> dict[str, Any] | None:
    if pile is None:
        return None
    category = pile.category
    return {
        "id": category.id,
        "name": sold.called.get(category.id, category.name) if sold else category.name,
        "state": pile.state,
        "also": category.also or None,
        "reason": pile.reason,
    }


def _caution(caution: Caution) -> dict[str, Any]:
    return {"id": caution.id, "message": caution.message, "source": caution.source, "trust": caution.trust}


def _danger(danger: Danger) -> dict[str, Any]:
    """Why it is left closed, whole or dry; `forbids` are the acts that are not proposed."""
    return {
        "id": danger.id,
        "message": danger.message,
        "who": danger.who,
        "forbids": list(danger.forbids),
        "source": danger.source,
        "trust": danger.trust,
    }


def _number(value: float) -> float | None:
    """Twelve significant digits; None for what could not be had."""
    return float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None
