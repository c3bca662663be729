"""What a bucket or a box holds, in litres.

The gallon of the United States is 231 cubic inches (NIST Handbook 44, Appendix C), the British one 4.54609 L exactly
(Weights and Measures Act 1985, from memory).
"""

from __future__ import annotations

import re
from decimal import Decimal

from idkit.errors import AmountError
from idkit.yard.numbers import number

CUBIC_INCH = Decimal("0.016387064")
LITRES = {
    "l": Decimal(1), "litre": Decimal(1), "litres": Decimal(1), "liter": Decimal(1), "liters": Decimal(1),
    "us-gal": 231 * CUBIC_INCH, "uk-gal": Decimal("4.54609"), "cu-ft": 1728 * CUBIC_INCH, "m3": Decimal(1000),
}  # fmt: skip


def litres(typed: str, thing: str) -> Decimal:
    """What a bucket holds, in litres, exact.

    >>> litres("5 us gal", "--volume")
    Decimal('18.927058920')
    """
    found = re.fullmatch(r"([\d.,]+)\s*(\D.*)", typed.strip())
    right = "an amount such as '10 l', '5 us-gal' or '2 cu-ft'"
    if not found:
        raise AmountError(thing, f"got {typed[:40]!r}" if typed.strip() else "is empty", right)
    value, unit = number(found[1], thing), "-".join(found[2].lower().split()).rstrip(".").replace("³", "3")
    if unit in ("gal", "gallon", "gallons"):
        raise AmountError(thing, f"got {typed!r}, which is more than one volume", "us-gal (3.79 l) or uk-gal (4.55 l)")
    if unit not in LITRES or not value:
        raise AmountError(thing, f"got {typed!r}", right)
    return value * LITRES[unit]
