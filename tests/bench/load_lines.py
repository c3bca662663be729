"""How long a load of 10,000 lines takes to price: python tests/bench/load_lines.py [LINES]"""

from __future__ import annotations

import sys
import time
from datetime import date
from decimal import Decimal

import numpy as np
from photographs import say

from idkit import facts, yard
from idkit.vocabulary import Yard

LINES, AT = 10_000, Yard("Old Quay Metals")


def main() -> int:
    """Print the time, and that of only adding as many decimals; 0 where it stays under a second."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else LINES
    random, names = np.random.default_rng(1), list(facts.categories())
    header = ["category", "price", "unit", "currency"]
    rows = [(n, dict(zip(header, (name, f"{n % 7 + 1}.20", "lb", "EUR"), strict=True))) for n, name in enumerate(names)]
    prices = yard.read_prices("prices.csv", header, rows, AT, date(2026, 5, 20)).prices
    load = yard.Load("all", lines=tuple(_line(n, names, random) for n in range(count)))
    start = time.perf_counter()
    found = yard.valued(load, prices, AT)
    took = time.perf_counter() - start
    start = time.perf_counter()
    total = sum((line.kg for line in load.lines if line.kg), Decimal(0))
    floor = time.perf_counter() - start
    assert total == found.kg
    say(f"{count} lines priced in {1000 * took:.0f} ms, {took / floor:.0f} times as long as adding their weights")
    return 0 if took < 1 else 1


def _line(number: int, names: list[str], random: np.random.Generator) -> yard.Line:
    one, other = (names[int(at)] for at in random.integers(len(names), size=2))
    may_be = {one: Decimal("0.8"), other: Decimal("0.2")} if number % 3 == 0 and one != other else {}
    kg = Decimal(int(random.integers(1, 9000))) / 1000
    return yard.Line(number, "thing", one, "", kg, Decimal("0.001"), 1, may_be=may_be)


if __name__ == "__main__":
    raise SystemExit(main())
