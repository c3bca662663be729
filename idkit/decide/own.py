"""What was learnt from one's own confirmed parts, laid over the starter model: plain arrays, closed forms.

The cues of a material's parts are taken as normal, their mean and covariance not known. All its starter rows together
weigh as much as `k` of one's own parts; what a photo says of a material is then raised or lowered by how the predictive
density (Student's t) at its cues has moved since the starter. Murphy 2007, "Conjugate Bayesian analysis of the
Gaussian distribution", equations 250 to 258; Gelman et al., Bayesian Data Analysis, 3rd edition, section 3.6.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import lgamma, log, pi

import numpy as np

from idkit.vocabulary import SURFACES, Floats, PhotoEvidence

TABLE_PARTS = 20.0  # own parts that what the facts say of an answer weighs as much as; from memory
SEEN_OFTEN = 3.0  # own parts of a material and surface from which a photo like them is no more unlike anything known


@dataclass(frozen=True)
class Sums:
    """Own parts by material and surface, in standardised cues: how many (weights), their sum and sum of squares.

    `count` is M x S, `total` M x S x C, `square` M x S x C x C.
    """

    count: Floats
    total: Floats
    square: Floats

    def less(self, other: Sums) -> Sums:
        """Without those parts."""
        return Sums(self.count - other.count, self.total - other.total, self.square - other.square)


@dataclass(frozen=True)
class Spread:
    """Mean and covariance of the starter's rows by material and surface, in standardised cues: M x S x C (x C)."""

    mean: Floats
    covariance: Floats


@dataclass(frozen=True)
class Own:
    """What was learnt. `lift` is added to the log of how common each material is, M; `offset` is how far the cues of
    one's own photos lie from the starter's, whatever the material, standardised, C: the model's centre is moved by it.

    `told` holds the own parts of each material by what was answered, outcomes x M, by check; `k` is inf where photos
    taught nothing.
    """

    materials: tuple[str, ...]
    k: float
    sums: Sums
    lift: Floats
    offset: Floats
    told: Mapping[str, Floats] = field(default_factory=dict)
    forms: Mapping[str, Floats] = field(default_factory=dict)  # own parts of each material by form, M


def nothing(materials: tuple[str, ...], cues: int) -> Own:
    """Nothing learnt yet."""
    shape = (len(materials), len(SURFACES))
    sums = Sums(np.zeros(shape), np.zeros((*shape, cues)), np.zeros((*shape, cues, cues)))
    return Own(materials, np.inf, sums, np.zeros(len(materials)), np.zeros(cues))


def moved(own: Own, spread: Spread, rows: Floats, surface: str) -> tuple[Floats, Floats]:
    """Log of how far each material's density at standardised rows has moved since the starter, and the highest density
    there of what was seen often; n x M, and n.

    A material without own parts of that surface has not moved.
    """
    shift = np.zeros((len(rows), len(own.materials)))
    highest = np.full(len(rows), -np.inf)
    if not np.isfinite(own.k) or surface not in SURFACES:
        return shift, highest
    at = SURFACES.index(surface)
    for number in np.flatnonzero(own.sums.count[:, at] > 0).tolist():
        mean, covariance = spread.mean[number, at], spread.covariance[number, at]
        count, total, square = own.sums.count[number, at], own.sums.total[number, at], own.sums.square[number, at]
        now = predictive(rows, own.k, mean, covariance, count, total, square)
        shift[:, number] = now - predictive(rows, own.k, mean, covariance, 0.0, 0 * total, 0 * square)
        if count >= SEEN_OFTEN:
            highest = np.maximum(highest, now)
    return shift, highest


def predictive(
    rows: Floats, k: float, mean: Floats, covariance: Floats, count: float, total: Floats, square: Floats
) -> Floats:
    """Log density at n x C rows of the next part, after `count` parts of that sum and sum of squares; n.

    Before any part it is Student's t about the starter's mean with k + 2 degrees of freedom.

    >>> one = np.eye(1)
    >>> float(predictive(np.zeros((1, 1)), 1e9, np.zeros(1), one, 0.0, np.zeros(1), 0 * one).round(3)[0])
    -0.919
    """
    size = rows.shape[1]
    weight, freedom = k + count, k + count + 2  # Murphy's kappa, and nu - C + 1 where nu is k + C + 1
    about = (k * mean + total) / weight
    scatter = k * covariance + square + k * np.outer(mean, mean) - weight * np.outer(about, about)
    scale = scatter * (weight + 1) / (weight * freedom)
    root = np.linalg.cholesky(scale)
    away = np.linalg.solve(root, (rows - about).T)
    constant = lgamma((freedom + size) / 2) - lgamma(freedom / 2) - 0.5 * size * log(freedom * pi)
    far = np.log1p((away**2).sum(axis=0) / freedom)
    return np.asarray(constant - np.log(np.diagonal(root)).sum() - 0.5 * (freedom + size) * far)


def corrected(
    photo: PhotoEvidence,
    shift: Floats,
    whites: Floats,
    share: Mapping[str, float],
    materials: tuple[str, ...],
    *,
    hidden: float,
    known: bool,
) -> PhotoEvidence:
    """What a photo says with what was learnt: `shift` is n x M under each white, `whites` how likely each is.

    `share` is how common each material was in training: over it photo(m) still averages 1, something-else as it was.
    `hidden` is the chance that a surface is not what it seems, under which no material falls. `known` where own parts
    were like it: it is then no more unlike anything known, and rests on more than simulation.
    """
    if not shift.any():
        return photo
    raised = np.exp([photo.log_photo[name] for name in materials]) * (whites @ np.exp(shift))
    raised /= raised @ np.array([share[name] for name in materials])
    log_photo = dict(zip(materials, np.log((1 - hidden) * raised + hidden).tolist(), strict=True))
    said = {**photo.log_photo, **log_photo}
    return replace(photo, log_photo=said, unlike=photo.unlike and not known, simulated=photo.simulated and not known)


def learnt(given: Floats, told: Floats) -> Floats:
    """P(outcome | material) where own parts are added to what the facts say, outcomes x materials.

    >>> learnt(np.array([[0.9], [0.1]]), np.array([[0.0], [20.0]]))[:, 0].round(2).tolist()
    [0.45, 0.55]
    """
    return np.asarray((told + TABLE_PARTS * given) / (told.sum(axis=0) + TABLE_PARTS))
