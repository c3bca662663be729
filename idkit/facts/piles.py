"""Which pile one part goes on, and why."""

from __future__ import annotations

from functools import lru_cache
from math import isnan, nan

from idkit.errors import CallError
from idkit.facts.categories import categories
from idkit.facts.forms import form
from idkit.facts.materials import kin, material
from idkit.facts.phrases import says
from idkit.vocabulary import Category, Pile

STATES = {None: "unknown", "none": "clean", "steel": "dirty", "plastic": "dirty", "other": "dirty"}
INCH = 0.0254
THIN = ("sheet", "wire", "cable", "fastener")
"""Forms that lie under every line of thickness by their very name. Common practice, no source."""

ROUNDING = 1e-9
"""Share of a line by which a length may miss it in binary: 6.35 mm and 1/4 in are the same."""


@lru_cache(maxsize=8192)
def category_of(
    material: str,
    form: str | None,
    thickness: float | None,
    attached: str | None,
    line: float | None = None,
    said: str = "",
) -> Pile:
    """The pile of a part of that material and form; thickness in m, None where it was not measured.

    `line` is where thick begins at a yard of its own, in m, for every row that has such a line; `said` is what the part
    came out of and its marks, for rows that a word is needed for.

    `attached` is none, steel, plastic or other, None where nobody said. The form decides alone for boards, cables,
    motors and sealed units; else the first row of categories.csv whose conditions hold.

    >>> category_of("carbon-steel", "plate", 0.008, "none").category.id
    'heavy-steel'
    """
    _refuse_unknown(material)
    state = _state(attached)
    decided = _by_form(form)
    if decided is not None:
        return Pile(
            decided,
            state,
            f"The form decides: whatever metal is inside, it goes with {decided.name}. {decided.belongs}",
        )
    measured = nan if thickness is None else thickness
    if measured <= 0.0:
        thing = "thickness"
        raise CallError(thing, f"got {measured:g} m", "more than 0 m")
    goes_as = kin(material)
    words = words_met(said)
    fitting = [row for row in categories().values() if _fits(row, goes_as, form or "unknown", words)]
    chosen = next(row for row in fitting if _thick_enough(row, measured, line))
    return Pile(chosen, state, _reason(chosen, fitting, measured, line))


def _state(attached: str | None) -> str:
    if attached not in STATES:
        thing = "attached"
        raise CallError(thing, f"got {attached!r}", "none, steel, plastic or other")
    return STATES[attached]


@lru_cache(maxsize=8192)
def words_met(said: str) -> frozenset[str]:
    """The piles for which a word is needed that is in what the part came out of and its marks.

    >>> words_met("an old door")
    frozenset()
    """
    return frozenset(row.id for row in categories().values() if row.words and says(said, row.words))


def thickness_is_open(form: str | None) -> bool:
    """Whether a part of this form may be thick or thin as long as nobody measured it."""
    return form not in THIN


def _by_form(name: str | None) -> Category | None:
    category = form(name).category if name else ""
    return categories()[category] if category else None


def _refuse_unknown(name: str) -> None:
    material(name)


def _fits(row: Category, material: str, form: str, met: frozenset[str]) -> bool:
    """Whether material, form and words meet a row; one without any condition is only ever named."""
    if not (row.materials or row.forms) or (row.words and row.id not in met):
        return False
    return (not row.materials or material in row.materials) and (not row.forms or form in row.forms)


def _thick_enough(row: Category, thickness: float, line: float | None) -> bool:
    """Whether a thickness meets the row's conditions; one that was not measured meets none."""
    measured = thickness * (1.0 + ROUNDING)
    from_here = isnan(row.thickness_from) or measured >= (line or row.thickness_from)
    to_here = isnan(row.thickness_below) or measured < row.thickness_below
    return from_here and to_here


def _reason(chosen: Category, fitting: list[Category], thickness: float, own: float | None) -> str:
    """What belongs there, and the line of thickness where one was in play."""
    passed = fitting[: fitting.index(chosen)]
    lined = next((row for row in (chosen, *passed) if not isnan(row.thickness_from)), None)
    if lined is None:
        return chosen.belongs
    line = f"{own * 1000:g} mm" if own else f"{lined.thickness_from * 1000:g} mm ({_inches(lined.thickness_from)} in)"
    if isnan(thickness):
        return f"Thickness not measured; from {line} it would be {lined.name}. {chosen.belongs}"
    side = "is at or over" if lined is chosen else "is under"
    return f"{thickness * 1000:.3g} mm {side} the {line} line for {lined.name}. {chosen.belongs}"


def _inches(metres: float) -> str:
    """A length as a fraction of an inch in sixteenths, lowest terms.

    >>> _inches(0.00635)
    '1/4'
    """
    sixteenths, whole = round(metres / INCH * 16), 16
    while sixteenths % 2 == 0 and whole > 1:
        sixteenths, whole = sixteenths // 2, whole // 2
    return f"{sixteenths}/{whole}" if whole > 1 else f"{sixteenths}"
