"""Fit what idkit/see/traits.py makes of a region's traits: python tests/bench/fit_scratches.py FOLDER [COUNT]

FOLDER keeps rendered parts (see renders.py), from other seeds than the bench's; no photograph is used. A region is bare
metal where four fifths of it and a third of the truth agree, and something else where less than a third of it does.
Prints the weights to put into WEIGHTS, and how well they tell regions of parts left out of the fit.
"""

from __future__ import annotations

import sys

import cv2
import numpy as np
from photographs import say
from renders import Render, rendered, wanted, worn

from idkit import see
from idkit.see import scratch
from idkit.vocabulary import Mask

FIRST_SEED, FIRST_WORN = 50_000, 60_000
SCRAP, BARE, OTHER = 0.3, 0.8, 0.3
EXPECTED = 0.1  # share of photos sent without a named box that show filed metal; from memory


def rows_of(render: Render) -> list[tuple[dict[str, float], float]]:
    """Traits of every region of one picture, with how far each agrees with the truth."""
    photo = see.read(render.path)
    part = see.find(photo) or see.whole(photo)
    _, inside = scratch.looked_at(photo, part)
    found = scratch.regions(*scratch.looked_at(photo, part), see.white(photo, part))
    truth = scratch.at_size(render.bare, part.mask, inside.shape)
    return [(each.traits, agreement(each.mask(inside.shape), truth)) for each in found]


def agreement(mask: Mask, truth: Mask) -> float:
    """Share of a region that is bare metal, a pixel past the truth allowed; 0.5 at most where it is a scrap of it."""
    near = cv2.dilate(truth.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    share = float((mask & near).sum() / mask.sum())
    return share if (mask & truth).sum() > SCRAP * truth.sum() else min(share, 0.5)


def main() -> int:
    """Print the weights."""
    if (asked := wanted(144)) is None:
        return 2
    folder, count = asked
    renders = [rendered(folder, FIRST_SEED, i) for i in range(count)]
    renders += [worn(folder, FIRST_WORN, i) for i in range(count // 4)]
    fit([(i, *row) for i, render in enumerate(renders) for row in rows_of(render)])
    return 0


def fit(rows: list[tuple[int, dict[str, float], float]]) -> None:
    """Logistic regression over all regions, then over the best one of each picture (Platt 1999).

    The odds are moved from those of the renders to those expected.
    """
    from sklearn.linear_model import LogisticRegression
    from sklearn.model_selection import GroupKFold, cross_val_predict

    rows = [row for row in rows if row[2] > BARE or row[2] < OTHER]
    names = list(rows[0][1])
    traits = np.array([[row[1][name] for name in names] for row in rows])
    bare = np.array([row[2] > BARE for row in rows])
    picture = np.array([row[0] for row in rows])
    learner = LogisticRegression(C=0.3, max_iter=2000)
    scored = cross_val_predict(
        learner,
        traits,
        bare,
        groups=picture,
        cv=GroupKFold(6),
        method="decision_function",
    )
    slope, offset = by_picture(picture, scored, bare)
    learner.fit(traits, bare)
    for name, value in zip(names, slope * learner.coef_[0], strict=True):
        say(f'    "{name}": {value:.3f},')
    say(f"BIAS = {slope * float(learner.intercept_[0]) + offset:.3f}")


def by_picture(picture: np.ndarray, scored: np.ndarray, bare: np.ndarray) -> tuple[float, float]:
    """Slope and offset that make the best region's score of a left-out picture an honest chance."""
    from sklearn.linear_model import LogisticRegression

    best = [max(np.flatnonzero(picture == number), key=lambda i: scored[i]) for number in np.unique(picture)]
    top, right = scored[best], bare[best]
    honest = LogisticRegression(C=100).fit(top[:, None], right)
    share = float(np.mean(right))
    moved = np.log(EXPECTED / (1 - EXPECTED)) - np.log(share / (1 - share))
    slope, offset = float(honest.coef_[0, 0]), float(honest.intercept_[0]) + moved
    chances = 1 / (1 + np.exp(-(slope * top + offset)))
    say(
        f"{len(best)} pictures left out in turn: {right.sum()} best regions are bare metal; at 0.5 or more "
        f"{(chances[right] >= 0.5).sum()} of these and {(chances[~right] >= 0.5).sum()} of the {(~right).sum()} others"
    )
    return slope, offset


if __name__ == "__main__":
    sys.exit(main())
