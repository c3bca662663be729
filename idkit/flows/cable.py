"""Cable: recovery from a sample, and whether stripping pays by the prices in use."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from idkit import facts, keep, yard
from idkit.errors import CallError
from idkit.flows.weighing import weighed
from idkit.flows.yards import InUse, in_use
from idkit.vocabulary import Caution, Yard

BURNING = "burning-insulation"
CABLE, CLEAN = "insulated-cable", "clean"


@dataclass(frozen=True)
class Coil:
    """How much cable there is, as typed: a weight, or a pile of it; and what it is sold as, '' for what is usual."""

    weight: str = ""
    pile: str = ""
    cable: str = ""
    metal: str = "copper"


@dataclass(frozen=True)
class Wire:
    """A sample's recovery, what the coil brings as it is and stripped, or why nobody knows, and what to beware of.

    `times` is how many times the sample would have to be stripped, in all, until the scale can tell: 1 where it can,
    None where no more would do.
    """

    sample: yard.Sample
    recovery: yard.Recovery
    times: int | None
    stripping: yard.Stripping | None
    why: str
    caution: Caution


def wire(
    whole: str,
    bare: str,
    covering: str,
    coil: Coil,
    minutes: str = "",
    worth: str = "",
    holds: InUse | None = None,
) -> Wire:
    """What a sample of cable, weighed whole and bare, tells of the coil; `minutes` is what the sample took to strip."""
    holds = holds or in_use()
    sample = yard.Sample(
        weighed(whole, "--whole"), weighed(bare, "--bare"), weighed(covering, "--covering") if covering else None
    )
    found = yard.recovery(sample)
    work = yard.Work(
        yard.number(minutes, "--minutes", "minutes, such as 4") / sample.whole.kg if minutes else None,
        yard.number(worth, "--worth") if worth else Decimal(0),
    )
    if worth and not minutes:
        raise CallError("--worth", "got it without --minutes", "how long the sample took to strip, too")
    kg, cable = _coil(coil, holds.yard)
    metal = yard.category_named(coil.metal, "--metal", holds.yard), CLEAN
    told, why = None, "no price list is in use"
    if holds.prices:
        told, why = yard.stripping(found, kg, cable, metal, holds.prices, holds.yard, work)
    times = yard.times_as_much(sample, told.even if told else None)
    return Wire(sample, found, times, told, why, facts.cautions()[BURNING])


def _coil(coil: Coil, at: Yard) -> tuple[Decimal, tuple[str, str]]:
    """How much cable there is in kg, 1 where nobody said, and its category and state."""
    if coil.weight and coil.pile:
        raise CallError("--pile", f"got it with --weight {coil.weight}", "one of the two")
    if not coil.pile:
        category = yard.category_named(coil.cable, "--cable", at) if coil.cable else CABLE
        return (weighed(coil.weight, "--weight").kg if coil.weight else Decimal(1)), (category, "")
    heap = yard.pile_called(coil.pile, yard.piles_in(keep.acts("pile")), "--pile")
    kg = yard.mass(heap.held).kg
    if not kg:
        raise CallError("--pile", f"nobody knows what {heap.name} weighs", "", "idkit pile weigh it first")
    return kg, (heap.category, heap.state)
