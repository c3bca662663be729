"""Did it help? What yards said set against what the machine had said before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from idkit import ask, facts, keep
from idkit.flows.piling import pile_of
from idkit.flows.recording import Context, forbidden_by, said_of
from idkit.vocabulary import Answers, Check, Label, Sample

BINS = (0.0, 0.5, 0.7, 0.9, 0.95, 1.0)  # chances of the pile, from and to
DEAREST = 5  # mistakes that are told
CATCHES = 0.5  # chance of catching a mistake from which a check is named


@dataclass(frozen=True)
class Agreement:
    """How often the machine had said what one yard said, of one material or pile, in one month (2026-03).

    `named` counts the parts whose material, not only their pile, the yard named.
    """

    yard: str
    what: str
    month: str
    parts: int
    named: int
    materials: int
    piles: int


@dataclass(frozen=True)
class Outcomes:
    """Parts whose pile was given a chance from `low` to `high`: the mean of what was said, and how many were right."""

    low: float
    high: float
    parts: int
    said: float
    right: int


@dataclass(frozen=True)
class Mistake:
    """A part that was put on the wrong pile; `lost` is the chance that all wrong piles were given together.

    `check` would have taken it off that pile with the chance `catches`; None where no check would more often than not.
    """

    sample: Sample
    lost: float
    check: Check | None
    catches: float


@dataclass(frozen=True)
class Report:
    """All that is told; parts on one's own word alone are counted in `own_word` and in nothing else."""

    parts: int
    own_word: int
    agreements: tuple[Agreement, ...]
    outcomes: tuple[Outcomes, ...]
    at_random: tuple[Outcomes, ...]
    mistakes: tuple[Mistake, ...]
    wrong: int
    sure_and_wrong: int
    disputed: tuple[Sample, ...]
    downgrades: tuple[keep.Downgrade, ...]


def report() -> Report:
    """Agreement by yard, material and month; chances against outcomes; the dearest mistakes; where yards disagree."""
    every = keep.samples()
    told = [sample for sample in every if sample.tests and sample.label.pile]
    wrong = [sample for sample in told if sample.label.pile != sample.pile]
    dearest = sorted(wrong, key=lambda sample: (-_lost(sample), -sample.record))[:DEAREST]
    return Report(
        parts=len(told),
        own_word=len(every) - sum(sample.tests for sample in every),
        agreements=tuple(_agreements(every)),
        outcomes=tuple(_outcomes(told)),
        at_random=tuple(_outcomes([sample for sample in told if sample.at_random])),
        mistakes=tuple(Mistake(sample, _lost(sample), *catching(sample)) for sample in dearest),
        wrong=len(wrong),
        sure_and_wrong=sum(sample.sure for sample in wrong),
        disputed=tuple(sample for sample in every if _disputed(sample.labels)),
        downgrades=keep.downgrades(),
    )


def _agreements(samples: Iterable[Sample]) -> Iterator[Agreement]:
    rows: dict[tuple[str, str, str], list[tuple[bool, bool, bool]]] = {}
    for sample in samples:
        for label in (label for label in sample.labels if label.by == "yard"):
            named = len(label.materials) == 1
            first = next(iter(sample.chances))
            hit = named and first == label.materials[0]
            what = label.materials[0] if named else label.pile
            rows.setdefault((label.yard, what, label.said_at[:7]), []).append((named, hit, sample.pile == label.pile))
    for (yard, what, month), parts in sorted(rows.items()):
        yield Agreement(yard, what, month, len(parts), *(sum(column) for column in zip(*parts, strict=True)))


def _outcomes(samples: Sequence[Sample]) -> Iterator[Outcomes]:
    said = [(_piles(sample.chances, sample.answers).get(sample.pile, 0.0), sample) for sample in samples]
    for low, high in zip(BINS[:-1], BINS[1:], strict=True):
        inside = [(chance, one) for chance, one in said if low <= chance < high or (chance >= high == BINS[-1])]
        if inside:
            right = sum(one.label.pile == one.pile for _, one in inside)
            yield Outcomes(low, high, len(inside), sum(chance for chance, _ in inside) / len(inside), right)


def _piles(chances: Iterable[str] | dict[str, float], answers: Answers) -> dict[str, float]:
    """Chances of the piles from those of the materials, which need not sum to 1."""
    weights = dict(chances) if isinstance(chances, dict) else dict.fromkeys(chances, 1.0)
    total, found = sum(weights.values()), dict[str, float]()
    for name, chance in weights.items():
        if facts.kin(name) in facts.materials():
            pile = pile_of(name, answers).category.id
            found[pile] = found.get(pile, 0.0) + chance / total
    return found


def _lost(sample: Sample) -> float:
    return 1.0 - _piles(dict(sample.chances), sample.answers).get(sample.label.pile, 0.0)


def _disputed(labels: Sequence[Label]) -> bool:
    """Whether two yards leave no pile that both could mean."""
    piles = {label.pile for label in labels if label.by == "yard" and label.pile}
    return len(piles) > 1


def catching(sample: Sample) -> tuple[Check | None, float]:
    """The quickest check that would nearly always have taken a part off the wrong pile, else the best, and how often.

    Its answers are drawn from what it says of the materials that the part may be by its label, and weighed with the
    chances that the machine had; none is proposed that a danger forbids or that was made already.
    """
    forbidden = forbidden_by(facts.dangers_of(_form(sample), said_of(sample.answers, Context())))
    made = set(sample.answers) | {name for each in sample.answers for name in ask.checks()[each].replaces}
    checks = [each for each in ask.checks().values() if each.asked and each.name not in forbidden | made]
    rated = [(min(round(_catches(sample, each), 1), 0.9), -each.minutes, each) for each in checks if not each.tool]
    best = max((row for row in rated if row[0] >= CATCHES), key=lambda row: row[:2], default=None)
    return (best[2], best[0]) if best else (None, 0.0)


def _form(sample: Sample) -> str | None:
    return str(sample.answers["form"].value) if "form" in sample.answers else None


def _catches(sample: Sample, check: Check) -> float:
    """The chance that its answer moves the part to another pile than the wrong one."""
    answers, found = sample.answers, 0.0
    table = {n: facts.material(n) for n in (*sample.chances, *sample.materials) if facts.kin(n) in facts.materials()}
    truth = [name for name in sample.materials if name in table]
    for outcome in check.outcomes(answers):
        likely = {
            name: check.likelihood(table[name], outcome.answer, answers) for name in sample.chances if name in table
        }
        after = _piles({name: sample.chances[name] * chance for name, chance in likely.items()}, answers)
        if truth and max(after, key=after.__getitem__) != sample.pile:
            found += outcome.width * sum(likely.get(name, 0.0) for name in truth) / len(truth)
    return min(found, 1.0)
