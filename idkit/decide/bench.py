"""A simulated bench: parts drawn from the priors, their answers from the tables, to calibrate the likely sets."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from idkit.decide.classifier import CALLED_BARE
from idkit.decide.evidence import PATTERNS, pattern
from idkit.decide.fuse import chances, log_prior
from idkit.decide.learn import least_chance
from idkit.vocabulary import Answer, Check, Evidence, Floats, Form, Material, PhotoEvidence

Random = np.random.Generator
PhotoOf = Callable[[str, str, Random], PhotoEvidence]  # of a material and a surface

# What is answered in each pattern beside the form: always, and each with a chance of 0.6. The fewest answers of a
# pattern count: calibrated with more, the set would be too small where less was asked.
ALWAYS = {
    "photo-and-one-answer": ("magnet",),
    "photo-and-answers": ("magnet", "thickness"),
    "photo-and-water": ("magnet", "weight-in-water"),
    "one-answer": ("magnet",),
    "answers-only": ("magnet", "thickness"),
    "answers-and-water": ("weight-in-water",),
}
SOMETIMES = {
    "photo-and-water": ("thickness",),
    "answers-and-water": ("magnet",),
}
SCRATCHED = 0.25  # share of photographed parts that are said to be scratched, those in which that shows metal


@dataclass(frozen=True)
class Part:
    """One simulated part: what it is made of, its form, and what is known of it."""

    material: int
    form: Form
    evidence: Evidence


def thresholds(
    materials: Sequence[Material],
    forms: Mapping[str, Form],
    checks: Mapping[str, Check],
    photo_of: PhotoOf,
    count: int,
    seed: int,
) -> dict[str, float]:
    """Least chance of the likely set by evidence pattern, from `count` simulated parts each (split conformal)."""
    random = np.random.default_rng(seed)
    found = {}
    for name in PATTERNS:
        parts = draw(name, materials, forms, checks, photo_of, count, random)
        mine = [part for part in parts if pattern(part.evidence) == name]  # water names no metal of an assembly
        found[name] = least_chance(np.array([chance_of_truth(part, materials, checks) for part in mine]))
    return found


def draw(
    name: str,
    materials: Sequence[Material],
    forms: Mapping[str, Form],
    checks: Mapping[str, Check],
    photo_of: PhotoOf,
    count: int,
    random: Random,
) -> Iterator[Part]:
    """Parts with the evidence of the pattern of that name: forms alike, materials by the prior of the form."""
    shapes = [form for form in forms.values() if not form.category]
    for _ in range(count):
        form = shapes[int(random.integers(len(shapes)))]
        prior = np.exp(log_prior(materials, form))
        truth = int(random.choice(len(materials), p=prior / prior.sum()))
        surface = "scratched" if random.random() < _scratched(materials[truth]) else "as-found"
        answers = {"form": Answer("form", form.id)}
        for check in (*ALWAYS.get(name, ()), *SOMETIMES.get(name, ())):
            if check in ALWAYS.get(name, ()) or random.random() < 0.6:
                answers |= _answered(checks[check], materials[truth], answers, random)
        photo = None if not name.startswith("photo") else photo_of(materials[truth].id, surface, random)
        yield Part(truth, form, Evidence(photo, answers, surface))


def _scratched(material: Material) -> float:
    """How often a photographed part of it is said to be scratched to bare metal."""
    return SCRATCHED * (CALLED_BARE if material.family == "not-metal" else 1.0)


def chance_of_truth(part: Part, materials: Sequence[Material], checks: Mapping[str, Check]) -> float:
    """The fused chance of what the part truly is."""
    return float(chances(materials, part.evidence, part.form, checks)[part.material])


def _answered(check: Check, material: Material, answers: Mapping[str, Answer], random: Random) -> dict[str, Answer]:
    """One answer drawn from the check's own table; none where the check can't be made."""
    outcomes = check.outcomes(answers)
    if not outcomes:
        return {}
    weights: Floats = np.array([check.likelihood(material, o.answer, answers) * o.width for o in outcomes])
    return {check.name: outcomes[int(random.choice(len(outcomes), p=weights / weights.sum()))].answer}
