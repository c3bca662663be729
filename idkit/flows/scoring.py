"""How right and how sure idkit is on parts whose answer is known."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context

import numpy as np

from idkit import facts
from idkit.decide.classifier import Model
from idkit.decide.evidence import pattern
from idkit.decide.intervals import Share, at_most, share_of
from idkit.decide.scoring import Cover, Score, covers, score
from idkit.errors import PhotoError
from idkit.flows.identifying import identify
from idkit.flows.labels import Labelled
from idkit.flows.models import model_in_use
from idkit.flows.piling import pile_of
from idkit.vocabulary import FAMILIES, Answer, Answers, Evidence

FEW = 8  # parts from which a second process is worth its start
PROCESSES = 2
THIN, THICK = 0.0001, 0.3  # m: between them lies every line of thickness


@dataclass(frozen=True)
class Told:
    """What idkit said of one part, beside what it truly is ('' where that is not known).

    `chances` of materials, piles and colour families (of the photos alone; empty without any), by question.
    """

    part: str
    group: str
    truth: Mapping[str, str]
    chances: Mapping[str, Mapping[str, float]]
    likely: tuple[str, ...]
    pattern: str
    sure: bool
    unlike: bool
    simulated: bool
    photos: tuple[str, ...] = ()  # SHA-256 of each that could be read


@dataclass(frozen=True)
class Sure:
    """Parts called sure of all whose pile is known, those of them on a wrong pile, and the most that share may be."""

    count: int
    of: int
    wrong: tuple[str, ...]
    at_most: float


@dataclass(frozen=True)
class Scored:
    """The whole score. `scores` holds material, pile and family where some part's answer to it is known."""

    told: tuple[Told, ...]
    unread: tuple[str, ...]  # one line a photo
    scores: Mapping[str, Score]
    covers: tuple[Cover, ...]
    sure: Sure
    unlike: Share
    furthest: tuple[tuple[str, str, str, str, float], ...]  # part, question, truth, first answer, chance of the truth
    model: tuple[str, str]
    simulated: bool
    again: tuple[tuple[str, str], ...] = ()  # parts with a photo of an earlier part, and that part


QUESTIONS = ("material", "pile", "family")
SHOWN = 5  # parts whose truth was given the least chance


def score_parts(
    parts: Sequence[Labelled], *, even: bool = False, progress: Callable[[int], None] | None = None
) -> Scored:
    """Identify every part and set it against the truth. Photos that can't be read are lines, their parts left out.

    PhotoError where nothing could be read. `progress` is told how many parts are done.
    """
    told: list[Told] = []
    unread: list[str] = []
    for done, (found, lines) in enumerate(_told_of_all([(part, even) for part in parts]), start=1):
        told += [found] if found else []
        unread += lines
        if progress:
            progress(done)
    if not told:
        raise PhotoError("score", f"could read none of {len(unread)} photos ({unread[0]})", "photos in the folder")
    return summed(told, unread)


def summed(told: Sequence[Told], unread: Sequence[str] = (), model: Model | None = None) -> Scored:
    """The score of parts that were identified; groups count where every part has one."""
    by = model or model_in_use()
    scores = {name: found for name in QUESTIONS if (found := _score(name, told))}
    known = [each for each in told if each.truth["material"]]
    piled = [each for each in told if each.truth["pile"]]
    sure = [each for each in piled if each.sure]
    wrong = tuple(each.part for each in sure if _first(each, "pile") != each.truth["pile"])
    seen = [each for each in told if each.pattern.startswith("photo")]
    return Scored(
        tuple(told),
        tuple(unread),
        scores,
        covers([e.pattern for e in known], [e.likely for e in known], [e.truth["material"] for e in known]),
        Sure(len(sure), len(piled), wrong, at_most(len(wrong), len(sure))),
        share_of(sum(each.unlike for each in seen), len(seen)),
        tuple(_furthest(told))[:SHOWN],
        (by.name, by.digest),
        any(each.simulated for each in told),
        tuple(_again(told)),
    )


def _again(told: Sequence[Told]) -> Iterator[tuple[str, str]]:
    """Every part that has a photo, by its bytes, of an earlier one, with that one."""
    first: dict[str, str] = {}
    for each in told:
        earlier = [first[photo] for photo in each.photos if photo in first]
        first |= {photo: each.part for photo in each.photos if photo not in first}
        if earlier:
            yield each.part, earlier[0]


def _score(question: str, told: Sequence[Told]) -> Score | None:
    known = [each for each in told if each.truth[question] and each.chances[question]]
    groups = [each.group for each in known] if known and all(each.group for each in known) else None
    return score(question, [e.chances[question] for e in known], [e.truth[question] for e in known], groups)


def _furthest(told: Sequence[Told]) -> Iterator[tuple[str, str, str, str, float]]:
    """Parts whose answer was wrong, the truth that was given the least chance first: to look at, or labelled wrong."""
    found = []
    for each in told:
        question = next(name for name in QUESTIONS if each.truth[name])
        truth, chances = each.truth[question], each.chances[question]
        if chances and _first(each, question) != truth:
            found.append((each.part, question, truth, _first(each, question), chances.get(truth, 0.0)))
    return iter(sorted(found, key=lambda row: row[4]))


def _first(told: Told, question: str) -> str:
    chances = told.chances[question]
    return max(chances, key=chances.__getitem__)


def _told_of_all(jobs: Sequence[tuple[Labelled, bool]]) -> Iterator[tuple[Told | None, tuple[str, ...]]]:
    """What is said of every part in order, in a second process where there are enough of them."""
    if len(jobs) < FEW:
        yield from map(_told, jobs)
        return
    with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn"), initializer=_deaf) as pool:
        try:
            yield from pool.map(_told, jobs, chunksize=4)
        finally:
            pool.shutdown(cancel_futures=True)


def _deaf() -> None:
    """An interrupt is for the process that was started by a person; it ends the others."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _told(job: tuple[Labelled, bool]) -> tuple[Told | None, tuple[str, ...]]:
    """What is said of one part, and a line for each of its photos that can't be read."""
    part, even = job
    try:
        found = identify(
            part.photos,
            part.typed,
            surface=part.surface or None,
            scratch=part.scratch,
            note=part.note,
            even=even,
            every_cue=False,
        )
    except PhotoError as error:
        return None, (str(error), *(f"{path}: can't be read either" for path in part.photos[1:]))
    record = found.record
    seen = [each.evidence for each in found.seen if each.evidence is not None]
    evidence = Evidence(seen[0] if seen else None, record.answers, record.surface)
    told = Told(
        part.part,
        part.group,
        {"material": part.material, "pile": _true_pile(part, record.answers), "family": part.family},
        {
            "material": record.verdict.chances,
            "pile": record.verdict.piles,
            "family": _families(each.families for each in seen),
        },
        record.verdict.likely,
        pattern(evidence),
        record.verdict.sure,
        record.verdict.unlike_known,
        record.verdict.simulated,
        tuple(photo.sha256 for photo in record.photos),
    )
    return told, tuple(str(error) for error in found.unread)


def _families(photos: Iterable[Mapping[str, float]]) -> dict[str, float]:
    """Mean chances of the colour families over the photos; empty without any."""
    rows = list(photos)
    return {name: float(np.mean([row[name] for row in rows])) for name in FAMILIES} if rows else {}


def _true_pile(part: Labelled, answers: Answers) -> str:
    """The pile a part belongs on; '' where it hangs on a thickness that nobody gave."""
    if part.category or not part.material:
        return part.category
    form = str(answers["form"].value) if "form" in answers else None
    named = pile_of(part.material, answers).category.id
    if "thickness" in answers or not facts.thickness_is_open(form):
        return named
    ends = ({**answers, "thickness": Answer("thickness", thick, "m")} for thick in (THIN, THICK))
    return named if {pile_of(part.material, each).category.id for each in ends} == {named} else ""
