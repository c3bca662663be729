"""Is this photo fit to judge: its faults, and how much less it then says."""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

from idkit.see.faults import FAULTS
from idkit.vocabulary import Fault, Part, Photo, Scene, White


@dataclass(frozen=True)
class Fitness:
    """What is wrong with a photo, in words; how much less it says, 0 to 1; whether its colour can be trusted."""

    problems: tuple[str, ...]
    doubt: float
    trusted_colour: bool


def judge(photo: Photo, part: Part | None, white: White | None) -> Fitness:
    """Measure every fault. Doubts of several combine as 1 - prod(1 - doubt)."""
    scene = Scene(photo, part, white)
    values = {fault.name: fault.measure(scene) for fault in FAULTS}
    found = [fault for fault in FAULTS if values[fault.name] > fault.limit]
    doubts = (doubt_of(fault, values[fault.name]) for fault in found)
    return Fitness(
        (*photo.problems, *(fault.message for fault in found)),
        1 - prod(1 - doubt for doubt in doubts) if photo.coloured else 1.0,
        photo.coloured and not photo.problems and not any(fault.colour for fault in found),
    )


def problems(photo: Photo, part: Part | None, white: White | None) -> tuple[str, ...]:
    """What keeps this photo from being judged well, each with what to do."""
    return judge(photo, part, white).problems


def doubt_of(fault: Fault, value: float) -> float:
    """Doubt that a fault of that size brings: from 0 at its limit to the row's own at its worst, in a straight line."""
    if not value > fault.limit:
        return 0.0
    return fault.doubt * min(1.0, (value - fault.limit) / (fault.worst - fault.limit))
