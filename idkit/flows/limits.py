"""What the answers at hand can't tell, said with the number that would."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil, floor, log10, sqrt

from idkit import ask
from idkit.flows.piling import pile_of
from idkit.vocabulary import Answers, Material, Verdict

WORTH_A_THOUGHT = 0.05  # chance of a material, under which nobody is told that it can't be ruled out; from memory


def limits_of(answers: Answers, verdict: Verdict, rows: Mapping[str, Material]) -> tuple[str, ...]:
    """Sentences on weights too light for their scale, and on what is still on a part that was weighed in water.

    `rows` are the materials that the verdict is on, by id.
    """
    return (*_too_light(answers, verdict, rows), *_biased(answers, verdict))


def _too_light(answers: Answers, verdict: Verdict, rows: Mapping[str, Material]) -> Iterator[str]:
    """Where the scale is too coarse to part, in water, the likeliest material from one of another pile."""
    weight = answers.get("weight")
    if weight is None or verdict.sure:
        return
    first, step = rows[verdict.likely[0]], weight.uncertainty * sqrt(3.0)
    for name in _rivals(answers, verdict):
        other = rows[name]
        needed = ask.least_mass(first.density_typical, other.density_typical, step)
        if float(weight.value) < needed <= ask.HEAVIEST:
            yield (
                f"in water, this part is too light for this scale to tell {first.name} from {other.name}: "
                f"it needs {_mass(needed)} (or several alike weighed together)"
            )
            return


def _rivals(answers: Answers, verdict: Verdict) -> Iterator[str]:
    """The likely materials that go on another pile than the first, worth a thought, likeliest first."""
    pile = pile_of(verdict.likely[0], answers).category.id
    for other in verdict.likely[1:]:
        if verdict.chances[other] >= WORTH_A_THOUGHT and pile_of(other, answers).category.id != pile:
            yield other


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
