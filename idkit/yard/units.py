"""Units of weight as yards trade in them, in kg, exact.

The avoirdupois pound is 0.45359237 kg exactly, the ounce a sixteenth of it, the net (short) ton 2000 lb, the gross
(long) ton 2240 lb, the hundredweight 100 lb in the United States and 112 lb in Britain: NIST Handbook 44, Appendix C.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from idkit.errors import AmountError
from idkit.vocabulary import Unit

POUND = Decimal("0.45359237")

UNITS: Mapping[str, Unit] = {
    unit.id: unit
    for unit in (
        Unit("kg", Decimal(1), "a kg"),
        Unit("lb", POUND, "a lb"),
        Unit("oz", POUND / 16, "an oz"),
        Unit("tonne", Decimal(1000), "a tonne"),
        Unit("net-ton", 2000 * POUND, "a net ton"),
        Unit("gross-ton", 2240 * POUND, "a gross ton"),
        Unit("cwt-100", 100 * POUND, "a cwt of 100 lb"),
        Unit("cwt-112", 112 * POUND, "a cwt of 112 lb"),
        Unit("each", None, "each"),
    )
}

_ALSO = {
    "kilo": "kg", "kilos": "kg", "kgs": "kg", "kilogram": "kg", "kilogramme": "kg",
    "lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz",
    "tonnes": "tonne", "metric-ton": "tonne", "short-ton": "net-ton", "long-ton": "gross-ton",
    "piece": "each", "pieces": "each", "pc": "each",
}  # fmt: skip

TON_OR_CWT = {"t": ("tonne", "net-ton", "gross-ton"), "ton": ("net-ton", "gross-ton", "tonne")} | {
    "tons": ("net-ton", "gross-ton", "tonne"),
    "cwt": ("cwt-100", "cwt-112"),
}
"""What a bare word may mean; the yard's own file fixes it, or it is refused."""


def unit_of(typed: str, thing: str, tons: Mapping[str, str] | None = None) -> Unit:
    """The unit of that name; `tons` says what a bare t, ton or cwt means at this yard.

    >>> unit_of("lbs", "unit").id
    'lb'
    >>> unit_of("cwt", "unit", {"cwt": "cwt-112"}).kg
    Decimal('50.80234544')
    """
    asked = "-".join(typed.lower().replace("per", " ").replace("/", " ").split()).rstrip(".")
    name = (tons or {}).get(asked, _ALSO.get(asked, asked))
    if name in UNITS:
        return UNITS[name]
    if name in TON_OR_CWT:
        may_be = TON_OR_CWT[name]
        meant = f"{', '.join(may_be[:-1])} or {may_be[-1]}"
        got = f"got {typed!r}, which is more than one weight"
        raise AmountError(thing, got, meant, f"write which, or fix it once: idkit yard new YARD --ton {name}=UNIT")
    known = [*UNITS]
    raise AmountError(thing, f"got {typed!r}" if typed else "is empty", f"{', '.join(known[:-1])} or {known[-1]}")


def amount_in(kg: Decimal, unit: Unit) -> Decimal:
    """How many of a unit a mass in kg is; AmountError for pieces, which have no mass.

    >>> amount_in(Decimal("0.45359237"), UNITS["lb"])
    Decimal('1')
    """
    if unit.kg is None:
        raise AmountError(unit.id, "is no weight", "a number of pieces")
    return kg / unit.kg
