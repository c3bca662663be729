"""What lies in a bucket: lots, their mass and how surely it is known. Every change gives a new one; mass is kept."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from idkit.errors import CallError
from idkit.vocabulary import Weighed

NOTHING = Decimal(0)


@dataclass(frozen=True)
class Lot:
    """What went in at once: one part, with its record where it has one, or so many pieces.

    `pieces` is None where nobody counted, `weighed` where nobody weighed. It lies `within` where the bucket was weighed
    as a whole with this lot in it.
    """

    number: int
    what: str = ""
    record: int | None = None
    pieces: int | None = 1
    weighed: Weighed | None = None
    within: bool = False


@dataclass(frozen=True)
class Held:
    """What lies together. `whole` is the mass in kg of the lots within, `doubt` what it may be off by, in kg.

    It is `adrift` where a lot that nobody had weighed left after the whole was weighed, so that only weighing again
    tells; `loose` where some was taken by weight, so that nobody knows which lots are left.
    """

    lots: tuple[Lot, ...] = ()
    whole: Decimal = NOTHING
    doubt: Decimal = NOTHING
    adrift: bool = False
    loose: bool = False


@dataclass(frozen=True)
class Mass:
    """A mass in kg, None where it is not known, and what it may be off by: a step for every weighing behind it."""

    kg: Decimal | None
    doubt: Decimal


def mass(held: Held) -> Mass:
    """What lies there weighs.

    >>> lots = tuple(Lot(n, weighed=Weighed(Decimal("0.2"), Decimal("0.001"), "200 g")) for n in (1, 2))
    >>> mass(Held(lots, Decimal("3.5"), Decimal("0.01")))
    Mass(kg=Decimal('3.9'), doubt=Decimal('0.012'))
    """
    outside = [lot.weighed for lot in held.lots if not lot.within]
    weighed = [each for each in outside if each is not None]
    doubt = held.doubt + sum((each.step for each in weighed), NOTHING)
    if held.adrift or len(weighed) < len(outside):
        return Mass(None, doubt)
    return Mass(held.whole + sum((each.kg for each in weighed), NOTHING), doubt)


def alone(held: Held) -> Mass:
    """What the lots weigh by themselves, added up; not known where one was never weighed by itself."""
    return mass(Held(tuple(replace(lot, within=False) for lot in held.lots)))


def pieces_of(held: Held) -> int | None:
    """How many pieces lie there; None where that can't be counted up."""
    counts = [lot.pieces for lot in held.lots if lot.pieces is not None]
    return None if held.loose or len(counts) < len(held.lots) else sum(counts)


def records_of(held: Held) -> tuple[int, ...]:
    """The records of the parts that lie there, or may."""
    return tuple(lot.record for lot in held.lots if lot.record is not None)


def is_empty(held: Held) -> bool:
    """Whether nothing lies there, as far as is known."""
    return not held.lots and not held.whole


def together(held: Held, come: Held) -> Held:
    """Both in one bucket; the lots keep their numbers, which must not clash."""
    lots = (*held.lots, *come.lots)
    if held.lots and come.lots and held.lots[-1].number > come.lots[0].number:  # what comes back lies between
        lots = tuple(sorted(lots, key=lambda lot: lot.number))
    return Held(
        lots, held.whole + come.whole, held.doubt + come.doubt, held.adrift or come.adrift, held.loose or come.loose
    )


def numbered(held: Held, last: int) -> Held:
    """The same with its lots numbered on after `last`."""
    lots = tuple(replace(lot, number=number) for number, lot in enumerate(held.lots, start=last + 1))
    return replace(held, lots=lots)


def weighed_whole(held: Held, net: Decimal, doubt: Decimal) -> Held:
    """The same after all of it was weighed together."""
    return Held(tuple(replace(lot, within=True) for lot in held.lots), net, doubt, adrift=False, loose=held.loose)


def weighed_one(held: Held, number: int, weighed: Weighed) -> Held:
    """The same after one lot was weighed by itself; the weight of the whole stands where the lot lay within."""
    lots = tuple(replace(lot, weighed=weighed) if lot.number == number else lot for lot in held.lots)
    return replace(held, lots=lots)


def parted(held: Held, numbers: Collection[int]) -> tuple[Held, Held]:
    """What is left without those lots, and what left."""
    gone = tuple(lot for lot in held.lots if lot.number in numbers)
    if len(gone) == len(held.lots) and (any(lot.within for lot in gone) or not held.whole):
        return Held(), held
    inside = [lot.weighed for lot in gone if lot.within]
    known = [each for each in inside if each is not None]
    off = sum((each.kg for each in known), NOTHING)
    left = replace(
        held,
        lots=tuple(lot for lot in held.lots if lot.number not in numbers),
        whole=max(held.whole - off, NOTHING),
        doubt=held.doubt + sum((each.step for each in known), NOTHING),
        adrift=held.adrift or len(known) < len(inside) or off > held.whole,
    )
    return left, Held(tuple(replace(lot, within=False) for lot in gone))


def poured(held: Held, weighed: Weighed, thing: str) -> tuple[Held, Held]:
    """What is left after so much was taken without saying which lots, and what left, which has lots only if it is all.

    CallError, which names `thing`, where nobody knows what lies there or it is less than that.
    """
    there = mass(held)
    if there.kg is None:
        raise CallError(thing, f"got {weighed.typed} of what nobody has weighed", "", "idkit pile weigh it first")
    if not weighed.kg:
        raise CallError(thing, f"got {weighed.typed}", "more than nothing")
    if weighed.kg > there.kg + there.doubt + weighed.step:
        raise CallError(thing, f"got {weighed.typed}", f"at most the {said_kg(there.kg)} that are there")
    lots = tuple(replace(lot, within=True) for lot in held.lots)
    if weighed.kg >= there.kg:
        return Held(), Held(lots, weighed.kg, weighed.step, loose=held.loose)
    left = Held(lots, there.kg - weighed.kg, there.doubt + weighed.step, loose=True)
    return left, Held(whole=weighed.kg, doubt=weighed.step, loose=True)


def said_kg(kg: Decimal) -> str:
    """A mass in words, to the gram.

    >>> said_kg(Decimal("5.669904625")), said_kg(Decimal("0.25"))
    ('5.67 kg', '0.25 kg')
    """
    return f"{kg.quantize(Decimal('0.001')).normalize():f} kg"


def as_body(weighed: Weighed) -> dict[str, str]:
    """A weight as the daybook keeps it."""
    return {"kg": str(weighed.kg), "step": str(weighed.step), "typed": weighed.typed}


def of_body(body: Mapping[str, str] | None) -> Weighed | None:
    """The weight that was kept so."""
    return Weighed(Decimal(body["kg"]), Decimal(body["step"]), body["typed"]) if body else None
