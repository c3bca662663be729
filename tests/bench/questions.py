"""How many questions until the pile is settled, and how often it settled wrong: python tests/bench/questions.py [PARTS]

Simulated parts (300 unless said): a form, each as common as another but those that decide the pile by themselves; a
material by that form's prior, mild as it is, so that odd parts are many; a photo, which is a row of simulated
photographs under a white that is known (7 in 10) or not; every answer drawn from the check's own table, slips too.
Asked is what identify asks on a terminal. Beside it: the same parts with everything answered.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import median

import numpy as np

from idkit import ask, facts, flows
from idkit.decide.asking import Allowed, next_check
from idkit.decide.fuse import log_prior
from idkit.decide.known import Known
from idkit.decide.tables import Tables
from idkit.flows.piling import pile_of
from idkit.flows.shipped import simulated_photos
from idkit.vocabulary import Answer, Answers, Check, Evidence, Material

ROWS = Path(__file__).resolve().parents[2] / "models" / "starter-rows.npz"
Random = np.random.Generator


@dataclass(frozen=True)
class Part:
    """One simulated part: its material, form and pile, and what the photo says before anything is asked."""

    material: Material
    form: str
    thickness: Answer
    evidence: Evidence


@dataclass(frozen=True)
class Outcome:
    """How one part went: questions put, whether the pile was settled, and whether the pile it went on was its own."""

    questions: tuple[str, ...]
    settled: bool
    right: bool


def drawn(count: int, seed: int) -> list[Part]:
    """Parts to ask about."""
    random, materials = np.random.default_rng(seed), flows.known_materials()
    photo_of = simulated_photos(flows.starter(), ROWS)
    forms = [form for form in facts.forms().values() if form.id != "unknown" and not form.category]
    parts = []
    for _ in range(count):
        form = forms[int(random.integers(len(forms)))]
        prior = np.exp(log_prior(materials, form))
        material = materials[int(random.choice(len(materials), p=prior / prior.sum()))]
        thickness = answered(ask.checks()["thickness"], material, {}, random)
        assert thickness is not None
        parts.append(
            Part(material, form.id, thickness, Evidence(photo_of(material.id, "as-found", random), {}, "as-found"))
        )
    return parts


def answered(check: Check, material: Material, answers: Answers, random: Random) -> Answer | None:
    """One answer drawn from the check's own table; None where it can't be made."""
    outcomes = check.outcomes(answers)
    if not outcomes:
        return None
    weights = np.array([check.likelihood(material, each.answer, answers) * each.width for each in outcomes])
    return outcomes[int(random.choice(len(outcomes), p=weights / weights.sum()))].answer


def told(part: Part, check: Check, answers: Answers, random: Random) -> Answer | None:
    """What the person says: the form and the thickness are what they are, the rest is drawn."""
    known: Mapping[str, Answer] = {"form": Answer("form", part.form), "thickness": part.thickness}
    return known.get(check.name) or answered(check, part.material, answers, random)


def asked(part: Part, known: Known, random: Random) -> Outcome:
    """The part as identify asks about it."""
    evidence, put = part.evidence, []
    while True:
        form = evidence.answers["form"].value if "form" in evidence.answers else "unknown"
        may = Allowed(flows.forbidden_by(facts.dangers_of(str(form))))
        owed = [check.name for check in may.of(known, evidence) if check.name in facts.form(str(form)).always]
        sure = not owed and known.is_sure(evidence)
        wanted = None if sure else next_check(known, evidence, may, owed)
        if wanted is None:
            return Outcome(tuple(put), sure, went_right(part, known, evidence))
        answer = told(part, known.checks[wanted.check], evidence.answers, random)
        assert answer is not None
        evidence = replace(evidence, answers={**evidence.answers, wanted.check: answer})
        put.append(wanted.check)


def everything(part: Part, known: Known, random: Random) -> Outcome:
    """The part with every check answered that can be made without a tool and is not forbidden."""
    evidence = replace(part.evidence, answers={"form": Answer("form", part.form), "thickness": part.thickness})
    for check in Allowed(flows.forbidden_by(facts.dangers_of(part.form))).of(known, evidence):
        answer = told(part, check, evidence.answers, random)
        if answer is not None:
            evidence = replace(evidence, answers={**evidence.answers, check.name: answer})
    return Outcome(tuple(evidence.answers), known.is_sure(evidence), went_right(part, known, evidence))


def went_right(part: Part, known: Known, evidence: Evidence) -> bool:
    """Whether the likeliest pile is the one its true material, form and thickness belong on."""
    found, piles = known.chances(evidence), known.piles(evidence.answers)
    truth = {"form": Answer("form", part.form)}
    if "thickness" in evidence.answers or facts.thickness_is_open(part.form):
        truth["thickness"] = part.thickness
    return piles.ids[int(piles.chances(found).argmax())] == pile_of(part.material.id, truth).category.id


def table(name: str, outcomes: list[Outcome]) -> str:
    """One line of figures."""
    settled = [each for each in outcomes if each.settled]
    wrong = sum(not each.right for each in settled)
    return (
        f"{name:12} questions: median {median(len(each.questions) for each in outcomes):g}, mean "
        f"{np.mean([len(each.questions) for each in outcomes]):.1f}; settled {len(settled)} of {len(outcomes)}, "
        f"of them wrong {wrong} ({100 * wrong / max(len(settled), 1):.1f} in 100); on the right pile in all "
        f"{sum(each.right for each in outcomes)}"
    )


def say(line: str) -> None:
    """One line of the table."""
    sys.stdout.write(line + "\n")


def main(count: int) -> None:
    """Print both tables."""
    model, random = flows.starter(), np.random.default_rng(2)
    known = Known(Tables(flows.known_materials(), ask.checks(), pile_of), model.thresholds)
    parts = drawn(count, seed=1)
    short = [asked(part, known, random) for part in parts]
    say(f"{count} simulated parts, answers drawn from the checks' own tables")
    say(table("asked", short))
    say(table("everything", [everything(part, known, random) for part in parts]))
    settled = [len(each.questions) for each in short if each.settled]
    say(f"median until settled, of those that settled: {median(settled):g}")
    put = Counter(name for each in short for name in each.questions)
    say("put to a part, in 100: " + ", ".join(f"{name} {100 * n / count:.0f}" for name, n in put.most_common()))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
