"""One line of a stranger's package, taken only where every field of it is what it should be."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from idkit.vocabulary import BY, SURFACES, Answer, Entry, KeptPhoto, Label

UID, SHA256 = re.compile(r"[0-9a-f]{32}"), re.compile(r"[0-9a-f]{64}")
NAME = re.compile(r"[a-z0-9_-]{1,40}")
KINDS = ("paper", "card", "other", "none")
PHOTOS, LABELS, CUES, GRID = 40, 20, 200, 400  # how many of each at the most
LONG = 400  # letters of a text
LARGE = 1e9

Fields = Mapping[str, Any]


def read_sample(
    line: bytes, materials: Sequence[str], piles: Sequence[str], checks: Sequence[str]
) -> tuple[str, str, Entry, tuple[Label, ...], bool]:
    """Name, moment, entry, labels and whether it was picked at random; ValueError says what is wrong and where.

    What is not asked for is left out, so nothing strange comes in beside it.
    """
    row = _fields(json.loads(line), "a sample")
    uid, day = _match(row, "uid", UID), _day(row)
    chances = _numbers(row, "chances", len(materials), low=0.0, high=1.0)
    _refuse_others("chances", chances, materials)
    if not chances or any(math.isnan(chance) for chance in chances.values()):
        raise ValueError("chances: got none, or one that is missing")
    model = _list(row, "model", 2)
    entry = Entry(
        part=f"imported-{uid[:6]}",
        origin="imported",
        surface=_one_of(row, "surface", SURFACES),
        answers=_answers(row, checks),
        chances=dict(sorted(chances.items(), key=lambda item: -item[1])),
        pile=_one_of(row, "category", piles),
        sure=_bool(row, "sure"),
        model=(_text(model[0], "model"), _text(model[-1], "model")) if model else ("", ""),
        document={},
        photos=tuple(_photo(_fields(each, "photos")) for each in _list(row, "photos", PHOTOS)),
    )
    labels = tuple(_label(_fields(each, "labels"), materials, piles) for each in _list(row, "labels", LABELS))
    if not labels:
        raise ValueError("labels: got none")
    return uid, f"{day}T00:00:00Z", entry, labels, _bool(row, "at_random")


def _photo(row: Fields) -> KeptPhoto:
    return KeptPhoto(
        file="",
        sha256=_match(row, "sha256", SHA256),
        cues=_numbers(row, "cues", CUES),
        white=_white(_fields(row.get("white"), "white")),
        log_photo=_numbers(row, "log_photo", CUES),
        likeness=b"",
    )


def _white(row: Fields) -> dict[str, Any]:
    grid = [[_number(value, "grid") for value in _listed(each, "grid", 3)] for each in _list(row, "grid", GRID)]
    if any(len(each) != 3 for each in grid):
        raise ValueError("grid: got rows that are not of three numbers")
    plain = {name: _number(row.get(name), name) for name in ("red_green", "blue_green", "uncertainty")}
    return {"kind": _one_of(row, "kind", KINDS), **plain, "grid": grid}


def _label(row: Fields, materials: Sequence[str], piles: Sequence[str]) -> Label:
    named = tuple(_text(each, "materials") for each in _list(row, "materials", len(materials)))
    _refuse_others("materials", dict.fromkeys(named, 0.0), materials)
    pile = _one_of(row, "category", piles)
    yard, note = _text(row.get("yard", ""), "yard"), _text(row.get("note", ""), "note")
    return Label(0, f"{_day(row)}T00:00:00Z", _one_of(row, "by", BY), yard, named, pile, note)


def _answers(row: Fields, checks: Sequence[str]) -> dict[str, Answer]:
    found = {}
    for name, each in _fields(row.get("answers"), "answers").items():
        if name not in checks:
            raise ValueError(f"answers: got {name[:40]!r}, which is no check")
        fields = _fields(each, "answers")
        value = fields.get("value")
        told = _text(value, name) if isinstance(value, str) else _number(value, name)
        unit, typed = _text(fields.get("unit", ""), name), _text(fields.get("typed", ""), name)
        found[name] = Answer(name, told, unit, abs(_number(fields.get("uncertainty", 0.0), name)), typed)
    return found


def _fields(value: Any, name: str) -> Fields:
    if not isinstance(value, dict):
        raise ValueError(f"{name}: got {_shown(value)}; right is fields by name")
    return value


def _list(row: Fields, name: str, most: int) -> list[Any]:
    return _listed(row.get(name), name, most)


def _listed(value: Any, name: str, most: int) -> list[Any]:
    if not isinstance(value, list) or len(value) > most:
        raise ValueError(f"{name}: got {_shown(value)}; right is a list of at most {most}")
    return value


def _numbers(row: Fields, name: str, most: int, low: float = -LARGE, high: float = LARGE) -> dict[str, float]:
    """Numbers by name, NaN for null."""
    fields = _fields(row.get(name), name)
    if len(fields) > most or not all(NAME.fullmatch(each) for each in fields):
        raise ValueError(f"{name}: got {len(fields)} names or one that is none")
    return {each: math.nan if value is None else _number(value, name, low, high) for each, value in fields.items()}


def _number(value: Any, name: str, low: float = -LARGE, high: float = LARGE) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise ValueError(f"{name}: got {_shown(value)}; right is a number from {low:g} to {high:g}")
    return float(value)


def _text(value: Any, name: str) -> str:
    if not isinstance(value, str) or len(value) > LONG or not value.isprintable():
        raise ValueError(f"{name}: got {_shown(value)}; right is a text of at most {LONG} letters")
    return value


def _bool(row: Fields, name: str) -> bool:
    if not isinstance(row.get(name), bool):
        raise ValueError(f"{name}: got {_shown(row.get(name))}; right is true or false")
    return bool(row[name])


def _match(row: Fields, name: str, pattern: re.Pattern[str]) -> str:
    value = row.get(name)
    if not isinstance(value, str) or not pattern.fullmatch(value):
        raise ValueError(f"{name}: got {_shown(value)}; right is {pattern.pattern}")
    return value


def _one_of(row: Fields, name: str, right: Sequence[str]) -> str:
    value = row.get(name)
    if not isinstance(value, str) or value not in right:
        raise ValueError(f"{name}: got {_shown(value)}, which is not known here")
    return value


def _day(row: Fields) -> str:
    text = _text(row.get("day"), "day")
    return datetime.strptime(text, "%Y-%m-%d").date().isoformat()


def _refuse_others(name: str, given: Mapping[str, float], known: Sequence[str]) -> None:
    if strange := [each for each in given if each not in known]:
        hint = "; describe it first: idkit material new" if "/" in strange[0] else ""
        raise ValueError(f"{name}: got {strange[0][:40]!r}, which is not known here{hint}")


def _shown(value: Any) -> str:
    return repr(value)[:40]
