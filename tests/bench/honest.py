"""How honest the chances are on a simulated bench: python tests/bench/honest.py [PARTS]

Simulated parts (4000 unless said): a form, each as common as another but those that decide the pile by themselves; a
material, by that form's prior or each that the form names as often as another; a photo, which is a row of simulated
photographs that the model was not trained on, under a white that is known (7 in 10) or not; a thickness and answers
drawn from the checks' own tables, slips too. Then all of it with answers from worse tables than those idkit reckons
with. Nothing here was measured at a bench: it shows whether the parts hang together, not that people answer so.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from idkit import ask, facts, flows
from idkit.ask.apparent import DENSITY, apparent
from idkit.ask.bins import Bin
from idkit.ask.checks.weight_in_water import PLANNED
from idkit.ask.water import ROOM, reading_uncertainty, water_density
from idkit.decide.asking import Allowed, next_check
from idkit.decide.contradictions import contradictions
from idkit.decide.evidence import pattern
from idkit.decide.fuse import log_prior
from idkit.decide.intervals import at_most
from idkit.decide.known import Known
from idkit.decide.scoring import Score, covers, score
from idkit.decide.tables import Tables
from idkit.flows.piling import pile_of
from idkit.flows.shipped import held_out_photos
from idkit.vocabulary import Answer, Answers, Evidence, Form, Material, PhotoEvidence

ROWS = Path(__file__).resolve().parents[2] / "models" / "starter-rows.npz"
Random = np.random.Generator
PRIOR, ALIKE = "materials by the form's prior", "materials that the form names, alike"
STEPS: Mapping[str, tuple[str, ...]] = {
    "photo and form": (),
    "+ magnet": ("magnet",),
    "+ magnet, thickness": ("magnet", "thickness"),
    "+ magnet, water": ("magnet", "weight-in-water"),
    "+ magnet, thickness, water": ("magnet", "thickness", "weight-in-water"),
    "no photo: form": (),
    "no photo: magnet": ("magnet",),
    "no photo: magnet, thickness": ("magnet", "thickness"),
    "no photo: water": ("weight-in-water",),
    "no photo: magnet, thickness, water": ("magnet", "thickness", "weight-in-water"),
}
NO_PHOTO = "no photo"
ASKED_FROM = ("photo and form", "+ magnet", "+ magnet, thickness")
FEW = 30  # parts under which one line of 'N times in 10', or how often sure is wrong, says nothing
SOME = 100  # parts of one pattern of evidence from which its sets are told; water names no metal of an assembly


@dataclass(frozen=True)
class World:
    """How answers come about. `attached` and `hollow` are the chances that a part truly has steel on it, or is said to
    be hollow (which is a void 6 times in 10), None where the tables' own rates hold; `slips` times the checks' slips
    are added; `thickness` is the factor that a reading is off by, up or down."""

    name: str
    slips: float = 0.0
    thickness: float = 1.0
    hollow: float | None = None
    steel: float | None = None


AS_RECKONED = World("answers as idkit reckons with")
# Hollow: 0.224 x 0.60 + 0.776 x 0.02 = 0.15 of parts with a void, against 0.10 that idkit reckons with.
WORSE = World("answers from worse tables", slips=1.0, thickness=1.3, hollow=0.224, steel=0.10)


@dataclass(frozen=True)
class Part:
    """One simulated part: what it is, what the photo says, and all its answers by check."""

    material: int
    form: Form
    thickness: Answer
    photo: PhotoEvidence
    answers: Answers


def drawn(known: Known, world: World, mix: str, count: int, seed: int) -> list[Part]:
    """Parts with every answer of STEPS that can be given."""
    random = np.random.default_rng(seed)
    photo_of = held_out_photos(flows.starter(), ROWS)
    forms = [form for form in facts.forms().values() if not form.category]
    return [one(known, world, forms[int(random.integers(len(forms)))], mix, photo_of, random) for _ in range(count)]


def one(
    known: Known, world: World, form: Form, mix: str, photo_of: Callable[..., PhotoEvidence], random: Random
) -> Part:
    """One part of that form."""
    materials = known.materials
    prior = np.exp(log_prior(materials, form))
    named = np.array([float(material.id in form.likely) for material in materials])
    weights = prior if mix == PRIOR else named
    truth = int(random.choice(len(materials), p=weights / weights.sum()))
    said = {"form": Answer("form", form.id)}
    truly = {**said, **hidden(world, random)}
    thickness = answered(known, "thickness", truth, said, random)
    assert thickness is not None
    off = float(world.thickness ** random.choice((-1.0, 1.0)))
    answers = {**said, "thickness": replace(thickness, value=float(thickness.value) * off)}
    for name in ("magnet", "weight-in-water"):
        answer = answered(known, name, truth, truly, random, world.slips)
        answers |= {name: answer} if answer else {}
    photo = photo_of(materials[truth].id, "scratched" if random.random() < 0.25 else "as-found", random)
    return Part(truth, form, thickness, photo, answers)


def hidden(world: World, random: Random) -> dict[str, Answer]:
    """What is on or in the part and nobody says."""
    found = {}
    if world.steel is not None:
        found["attached"] = Answer("attached", "steel" if random.random() < world.steel else "none")
    if world.hollow is not None:
        found["hollow"] = Answer("hollow", "yes" if random.random() < world.hollow else "no")
    return found


def answered(known: Known, name: str, truth: int, truly: Answers, random: Random, slips: float = 0.0) -> Answer | None:
    """One answer drawn from the check's table for what the part truly is; at random with `slips` times its slip."""
    check = known.checks[name]
    outcomes = known.tables.outcomes(check, truly)
    if not outcomes:
        return None
    if name == "weight-in-water":
        return weighed(known.materials[truth], truly, random)
    chances = known.tables.given(check, truly)[:, truth]
    if random.random() < slips * check.slip:
        chances = np.full(len(outcomes), 1 / len(outcomes))
    answer = outcomes[int(random.choice(len(outcomes), p=chances))].answer
    if not isinstance(answer, Bin):
        return answer
    value = float(np.exp(random.uniform(np.log(answer.low), np.log(answer.high))))
    return Answer(name, value, answer.unit, answer.uncertainty, "")


def weighed(material: Material, truly: Answers, random: Random) -> Answer:
    """A density as 300 g on a 1 g scale read it: the metal's own, voids and steel, and what the scale's step adds."""
    attached, hollow = (str(truly[name].value) if name in truly else None for name in ("attached", "hollow"))
    chances = apparent(material.density_low, material.density_typical, material.density_high, hollow, attached)
    doubt = np.sqrt(2.0) * reading_uncertainty(PLANNED) / (PLANNED.value * water_density(ROOM))
    density = 1.0 / max(1.0 / random.choice(DENSITY, p=chances) + random.normal(0, doubt), 1 / 39000)
    return Answer("weight-in-water", float(density), "kg/m³", float(doubt * density**2), "")


def evidence_of(part: Part, step: str) -> Evidence:
    """What is known of the part at one step."""
    answers = {name: part.answers[name] for name in ("form", *STEPS[step]) if name in part.answers}
    return Evidence(None if step.startswith(NO_PHOTO) else part.photo, answers, "as-found")


def true_pile(part: Part, known: Known, evidence: Evidence) -> str:
    """The pile that its material, form and true thickness belong on; a sheet is thin by its name until measured."""
    truth = {"form": part.answers["form"]}
    if "thickness" in evidence.answers or facts.thickness_is_open(part.form.id):
        truth["thickness"] = part.thickness
    return pile_of(known.materials[part.material].id, truth).category.id


def is_sure(known: Known, evidence: Evidence) -> bool:
    """Whether the verdict would be sure, whatever the form owes."""
    return not contradictions(known.factors(evidence)) and known.is_sure(evidence)


@dataclass(frozen=True)
class Row:
    """One part at one step: chances of materials and piles, the likely set, sure or not."""

    materials: Mapping[str, float]
    piles: Mapping[str, float]
    likely: tuple[str, ...]
    pattern: str
    sure: bool
    truth: str
    pile: str


def rows(known: Known, parts: Sequence[Part], step: str) -> list[Row]:
    """Every part at that step."""
    ids, found = [material.id for material in known.materials], []
    for part in parts:
        evidence = evidence_of(part, step)
        chances, piles = known.chances(evidence), known.piles(evidence.answers)
        by_pile = dict(zip(piles.ids, piles.chances(chances).tolist(), strict=True))
        likely = tuple(ids[i] for i in known.likely(chances, evidence))
        sure, kind = is_sure(known, evidence), pattern(evidence)
        named = dict(zip(ids, chances.tolist(), strict=True))
        found.append(Row(named, by_pile, likely, kind, sure, ids[part.material], true_pile(part, known, evidence)))
    return found


def table(name: str, found: Sequence[Row]) -> tuple[str, str]:
    """Two lines of figures of one step: right and calibrated; likely sets and sure answers."""
    material = score("material", [row.materials for row in found], [row.truth for row in found])
    pile = score("pile", [row.piles for row in found], [row.pile for row in found])
    assert isinstance(material, Score)
    assert isinstance(pile, Score)
    sure = [row for row in found if row.sure]
    wrong = sum(max(row.piles, key=row.piles.__getitem__) != row.pile for row in sure)
    sets = "; ".join(
        f"{each.pattern} {100 * each.held.value:.1f} ({100 * each.held.low:.1f} to {100 * each.held.high:.1f}), "
        f"{each.size:.1f} materials"
        for each in covers([r.pattern for r in found], [r.likely for r in found], [r.truth for r in found])
        if each.held.count >= SOME
    )
    most = (
        f", wrong {wrong} (at most {100 * at_most(wrong, len(sure)):.1f})" if len(sure) >= FEW else f", wrong {wrong}"
    )
    return (
        f"{name:35} pile {100 * pile.right.value:5.1f}  material {100 * material.right.value:5.1f}  "
        f"error of chances {material.calibration_error:.3f}, of piles {pile.calibration_error:.3f}  "
        f"sure {100 * len(sure) / len(found):5.1f}{most}",
        f"{'':35} sets: {sets}",
    )


def settled(known: Known, parts: Sequence[Part], world: World, seed: int) -> Iterator[str]:
    """What the next check was said to settle, in tenths, against how often it did."""
    random, groups = np.random.default_rng(seed), defaultdict[int, list[tuple[float, bool]]](list)
    for number, part in enumerate(parts):
        evidence = evidence_of(part, ASKED_FROM[number % len(ASKED_FROM)])
        if is_sure(known, evidence):
            continue
        wanted = next_check(known, evidence, Allowed(skipped=("form",)), part.form.always)
        if wanted is None:
            continue
        answer = part.answers.get(wanted.check)
        if answer is None:
            truly = {**evidence.answers, **hidden(world, random)}
            answer = answered(known, wanted.check, part.material, truly, random, world.slips)
        assert answer is not None
        after = replace(evidence, answers={**evidence.answers, wanted.check: answer})
        groups[round(10 * wanted.settles)].append((wanted.settles, is_sure(known, after)))
    for tenths, pairs in sorted(groups.items()):
        said, did = (100 * np.mean([pair[i] for pair in pairs]) for i in (0, 1))
        few = "" if len(pairs) >= FEW else "  (few)"
        yield f"  said {tenths:2} in 10: {len(pairs):5} parts, said {said:5.1f}, happened {did:5.1f} in 100{few}"


def say(line: str) -> None:
    """One line of the table."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main(count: int) -> None:
    """Print the tables."""
    known = Known(Tables(flows.known_materials(), ask.checks(), pile_of), flows.starter().thresholds)
    say(f"{count} simulated parts a table, shares in 100; 'at most': upper end of the one-sided 95 % interval")
    for world in (AS_RECKONED, WORSE):
        for mix in (PRIOR, ALIKE):
            parts = drawn(known, world, mix, count, seed=11)
            say(f"\n{world.name}; {mix}")
            for step in STEPS:
                for line in table(step, rows(known, parts, step)):
                    say(line)
            if mix == PRIOR:
                say("next check, asked after photo and form, magnet, or thickness, turn by turn")
                for line in settled(known, parts, world, seed=12):
                    say(line)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4000)
