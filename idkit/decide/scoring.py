"""The score of one question (which material, which pile, which colour) put to many parts whose answer is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from idkit.decide import measures
from idkit.decide.intervals import Mean, Share, bootstrap, share_of
from idkit.decide.measures import Answered, Bin, Numbers
from idkit.vocabulary import Floats


@dataclass(frozen=True)
class Score:
    """How right and how sure the answers to one question were.

    `names` are those that were true or came first; `confusion` is names x names, true in rows, first answers in
    columns; `by_name` holds how often each true name came first. `grouped` says that the intervals of the whole draw
    groups; those of parts of it are Wilson's.
    """

    of: str
    names: tuple[str, ...]
    right: Share
    log_loss: Mean
    brier: Mean
    calibration_error: float
    bins: tuple[Bin, ...]
    selective: tuple[Answered, ...]
    by_name: Mapping[str, Share]
    confusion: Numbers
    grouped: bool


@dataclass(frozen=True)
class Cover:
    """Likely sets under one pattern of evidence: how many held the truth, and how many materials are in one."""

    pattern: str
    held: Share
    size: float


def score(
    of: str, chances: Sequence[Mapping[str, float]], truth: Sequence[str], groups: Sequence[str] | None = None
) -> Score | None:
    """The score of one question; None where no part has a known answer.

    `chances` holds those of each part by name, a name that is missing having none; `truth` the true names. Without
    `groups` every part stands for itself.
    """
    if not truth:
        return None
    table, column = _table(chances, truth)
    true = np.array([column[name] for name in truth])
    said, sureness = measures.first_answers(table)
    right = said == true
    bins = measures.reliability(sureness, right)
    order = list(column)
    names = tuple(sorted({*truth, *(order[i] for i in said)}))
    places = [column[name] for name in names]
    matrix = measures.confusion_matrix(true, said, len(column))[np.ix_(places, places)]
    alone = [str(number) for number in range(len(truth))]
    return Score(
        of,
        names,
        _whole(right.astype(float), groups),
        _mean(measures.log_losses(table, true), groups or alone),
        _mean(measures.brier_scores(table, true), groups or alone),
        measures.calibration_error(bins),
        bins,
        measures.selective(sureness, right),
        {name: share_of(int(matrix[i, i]), int(matrix[i].sum())) for i, name in enumerate(names) if name in truth},
        matrix,
        groups is not None,
    )


def covers(patterns: Sequence[str], likely: Sequence[Sequence[str]], truth: Sequence[str]) -> tuple[Cover, ...]:
    """Cover and size of the likely sets by pattern of evidence, in the patterns' order of first meeting."""
    found = []
    for pattern in dict.fromkeys(patterns):
        mine = [i for i, name in enumerate(patterns) if name == pattern]
        held = sum(truth[i] in likely[i] for i in mine)
        found.append(Cover(pattern, share_of(held, len(mine)), float(np.mean([len(likely[i]) for i in mine]))))
    return tuple(found)


def _table(chances: Sequence[Mapping[str, float]], truth: Sequence[str]) -> tuple[Floats, dict[str, int]]:
    """Chances as an array, and the column of each name."""
    column = {name: i for i, name in enumerate(dict.fromkeys([*(n for row in chances for n in row), *truth]))}
    table = np.zeros((len(truth), len(column)))
    for row, named in zip(table, chances, strict=True):
        for name, chance in named.items():
            row[column[name]] = chance
    return table, column


def _whole(right: Floats, groups: Sequence[str] | None) -> Share:
    """The share over all parts; where there are groups its interval draws them, and is never narrower than Wilson's:
    a few groups that are all right alike would leave none."""
    plain = share_of(int(right.sum()), len(right))
    if groups is None:
        return plain
    low, high = bootstrap(right, groups)
    return Share(plain.right, plain.count, float(np.fmin(low, plain.low)), float(np.fmax(high, plain.high)))


def _mean(values: Floats, groups: Sequence[str]) -> Mean:
    return Mean(float(values.mean()), *bootstrap(values, groups))
