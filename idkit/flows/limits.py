"""What the answers at hand can't tell, said with the number that would."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor, log10, sqrt

from idkit import ask, facts
from idkit.flows.piling import pile_of
from idkit.vocabulary import Answers, Verdict

HEAVIEST = 30.0  # kg: beyond it no one hangs a part in a jar


def limits_of(answers: Answers, verdict: Verdict) -> tuple[str, ...]:
    """Sentences on weights too light for their scale, and on what is still on a part that was weighed in water."""
    return (*_too_light(answers, verdict), *_biased(answers, verdict))


def _too_light(answers: Answers, verdict: Verdict) -> Iterator[str]:
    """Where the scale is too coarse to part the two likeliest materials of different piles in water."""
    weight, pair = answers.get("weight"), _rivals(answers, verdict)
    if weight is None or pair is None or verdict.sure:
        return
    step = weight.uncertainty * sqrt(3.0)
    one, other = (facts.material(name) for name in pair)
    needed = ask.least_mass(one.density_typical, other.density_typical, step)
    if float(weight.value) < needed <= HEAVIEST:
        yield (
            f"in water, this part is too light for this scale to tell {one.name} from {other.name}: "
            f"it needs {_mass(needed)} (or several alike weighed together)"
        )


def _rivals(answers: Answers, verdict: Verdict) -> tuple[str, str] | None:
    """The likeliest material and the next likely one that goes on another pile."""
    first, *others = verdict.likely
    pile = pile_of(first, answers).category.id
    return next(((first, other) for other in others if pile_of(other, answers).category.id != pile), None)


def _biased(answers: Answers, verdict: Verdict) -> Iterator[str]:
    attached = answers.get("attached")
    if attached and attached.value != "none" and "weight-in-water" in answers and not verdict.sure:
        yield f"what is still on it ({attached.typed}) moves the jar reading: take it off and weigh again"


def _mass(kilograms: float) -> str:
    """Two digits, rounded up, so that what is said is enough.

    >>> _mass(0.1941), _mass(1.2061)
    ('200 g', '1.3 kg')
    """
    grain = 10.0 ** (floor(log10(kilograms)) - 1)
    value = ceil(kilograms / grain) * grain
    return f"{value * 1000:.3g} g" if value < 1.0 else f"{value:.2g} kg"
