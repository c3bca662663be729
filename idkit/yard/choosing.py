"""Which pile when not sure: what a part brings on each, counting what a wrong one does to the whole bucket.

A yard pays for what it finds: a part on a wrong pile as the cheaper of the two, and the bucket it lies in at the lower
price. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Bucket:
    """What lies on a pile already: kg, and what a kg of it fetches."""

    kg: Decimal
    a_kg: Decimal


@dataclass(frozen=True)
class Bet:
    """What putting a part on a pile is expected to bring; `spoils` is what of it a wrong part costs the bucket."""

    pile: str
    expected: Decimal
    spoils: Decimal


def brings(
    true: str, on: str, worth: Mapping[str, Decimal], a_kg: Mapping[str, Decimal], bucket: Bucket | None
) -> Decimal:
    """What a part of one pile brings that is put on another: the cheaper of both, less what the bucket loses.

    `worth` is by pile of the part, `a_kg` by pile of a kg.

    >>> worth = {"zinc": Decimal("0.9"), "aluminium": Decimal("1.5")}
    >>> brings("zinc", "aluminium", worth, {"zinc": Decimal(1)}, Bucket(Decimal(10), Decimal(2)))
    Decimal('-9.1')
    """
    return min(worth[true], worth[on]) - lost(true, on, a_kg, bucket)


def lost(true: str, on: str, a_kg: Mapping[str, Decimal], bucket: Bucket | None) -> Decimal:
    """What a bucket loses by one such part: all of it is bought at the lower of both prices."""
    if true == on or bucket is None:
        return NOTHING
    return bucket.kg * max(bucket.a_kg - a_kg[true], NOTHING)


def bets(
    chances: Mapping[str, Decimal],
    worth: Mapping[str, Decimal],
    a_kg: Mapping[str, Decimal],
    buckets: Mapping[str, Bucket],
) -> list[Bet]:
    """What each pile is expected to bring, by the chances of the true one; the best first."""
    found = []
    for on in worth:
        expected = sum((p * brings(true, on, worth, a_kg, buckets.get(on)) for true, p in chances.items()), NOTHING)
        spoils = sum((p * lost(true, on, a_kg, buckets.get(on)) for true, p in chances.items()), NOTHING)
        found.append(Bet(on, expected, spoils))
    return sorted(found, key=lambda bet: (-bet.expected, bet.pile))


def likelier_first(bets: Sequence[Bet], chances: Mapping[str, Decimal], alike: Decimal) -> list[Bet]:
    """The same bets, those that bring less than the best by `alike` at most before the others, the likeliest first.

    >>> two = [Bet("cast-iron", Decimal("0.39"), NOTHING), Bet("heavy-steel", Decimal("0.389"), NOTHING)]
    >>> chances = {"cast-iron": Decimal("0.2"), "heavy-steel": Decimal("0.8")}
    >>> likelier_first(two, chances, Decimal("0.01"))[0].pile
    'heavy-steel'
    """
    near = [bet for bet in bets if bet.expected >= bets[0].expected - alike]
    return [*sorted(near, key=lambda bet: -chances[bet.pile]), *(bet for bet in bets if bet not in near)]


def known(chances: Mapping[str, Decimal], worth: Mapping[str, Decimal]) -> Decimal:
    """What it would bring if one knew its pile, as the yard's own analyser would say."""
    return sum((p * worth[pile] for pile, p in chances.items()), NOTHING)


def gains(
    true: Sequence[str],
    on: Sequence[str],
    worth: Mapping[str, Decimal],
    a_kg: Mapping[str, Decimal],
    buckets: Mapping[str, Bucket],
) -> list[list[Decimal]]:
    """What a part of each true pile brings on each pile, true x on."""
    return [[brings(one, other, worth, a_kg, buckets.get(other)) for other in on] for one in true]
