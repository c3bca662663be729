"""Cues and surface to chances: a few small networks and a mixture, as plain arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from idkit.decide.evidence import surface_columns
from idkit.decide.own import Own, Spread, corrected, moved
from idkit.facts import kin
from idkit.vocabulary import FAMILIES, Floats, Material, PhotoEvidence

REACH = 4.0  # standardised cues are cut off here, so that nothing grows without bound

# A surface may not be what it seems: paint, plating and lacquer on what is found, a scratch that stopped short.
NOT_AS_IT_SEEMS = {"as-found": 0.02, "scratched": 0.005}

# What shows no metal is called filed to bare metal a fifth as often as what does: a file tells plastic at once; from
# memory.
CALLED_BARE = 0.2


@dataclass(frozen=True, eq=False)
class Model:
    """A trained model, itself and no other's equal. `labels` is one (material, family) a class.

    `weights` and `biases` hold one array a layer, its first axis the networks that vote: networks x inputs x outputs.
    """

    name: str
    digest: str
    cues: tuple[str, ...]
    labels: tuple[tuple[str, str], ...]
    centre: Floats
    spread: Floats
    weights: tuple[Floats, ...]
    biases: tuple[Floats, ...]
    sharpness: float  # the one temperature, as its inverse
    share: Floats  # of each class in training
    mixture_weights: Floats
    mixture_means: Floats
    mixture_roots: Floats  # Cholesky factors of the precisions
    farthest: float  # log density under which a photo is unlike anything known
    unknown: float  # log photo(m) of something-else
    thresholds: Mapping[str, float]  # least chance of the likely set, by evidence pattern
    card: Mapping[str, Any]
    spread_of: Spread | None = None  # of the rows by material, for learning on
    own: Own | None = None  # what was learnt from one's own parts
    described: tuple[Material, ...] = ()  # by the user; a photo says of one what it says of its row until parts teach


def standardised(rows: Floats, centre: Floats, spread: Floats) -> Floats:
    """n x cues, centred and scaled, cut off at REACH, missing as 0."""
    return np.asarray(np.clip(np.nan_to_num((rows - centre) / spread, nan=0.0), -REACH, REACH))


def class_chances(model: Model, rows: Floats, surface: str) -> Floats:
    """p(material, family | cues, surface), n x classes, under the training mix."""
    known = np.repeat(surface_columns(surface)[None], len(rows), axis=0)
    layer = np.hstack([standardised(rows, model.centre, model.spread), known])[None]
    for weight, bias in zip(model.weights[:-1], model.biases[:-1], strict=True):
        layer = np.maximum(layer @ weight + bias[:, None], 0)
    voted = _softmax(layer @ model.weights[-1] + model.biases[-1][:, None]).mean(axis=0)
    return _softmax(model.sharpness * np.log(np.maximum(voted, 1e-300)))


def _softmax(scores: Floats) -> Floats:
    raised = np.exp(scores - scores.max(axis=-1, keepdims=True))
    return np.asarray(raised / raised.sum(axis=-1, keepdims=True))


def log_density(model: Model, rows: Floats) -> Floats:
    """Log density of each row under the mixture of training rows; n."""
    return _log_mixture(model.mixture_weights, model.mixture_roots, _from_means(model, rows))


def explained(model: Model, rows: Floats, weights: Floats) -> Floats:
    """How likely each white is, given the part: its weight times how common parts of that colour are; sums to 1.

    p(m | photo) is the sum over whites of p(white) p(cues under it) p(m | cues under it): a white under which the part
    would have a colour that hardly anything has is an unlikely white. Only the cues that move with white are asked, by
    the mixture's margin over them: how a coloured ground makes grey metal look uneven is not simulated, and evenness
    would take aluminium on wood for brass.
    """
    moving = np.flatnonzero(np.ptp(rows, axis=0) > 0)
    if not len(moving):
        return np.asarray(weights / weights.sum())
    roots = _margin_roots(model, tuple(moving.tolist()))
    logs = _log_mixture(model.mixture_weights, roots, _from_means(model, rows)[..., moving])
    raised = weights * np.exp(logs - logs.max())
    return np.asarray(raised / raised.sum())


@lru_cache(maxsize=16)
def _margin_roots(model: Model, moving: tuple[int, ...]) -> Floats:
    """Cholesky factors of the precisions of the mixture's margin over those cues."""
    precisions = model.mixture_roots @ model.mixture_roots.transpose(0, 2, 1)
    columns = np.array(moving)
    margins = np.linalg.inv(precisions)[:, columns[:, None], columns]
    return np.asarray(np.linalg.cholesky(np.linalg.inv(margins)))


def _from_means(model: Model, rows: Floats) -> Floats:
    """Standardised rows less each mean of the mixture, n x means x cues."""
    return standardised(rows, model.centre, model.spread)[:, None, :] - model.mixture_means


def _log_mixture(weights: Floats, roots: Floats, away: Floats) -> Floats:
    """Log density of normal distributions at `away` from their means, n; `roots` are factors of their precisions."""
    spread = np.einsum("nkc,kcd->nkd", away, roots)
    root = np.log(np.diagonal(roots, axis1=1, axis2=2)).sum(axis=1)
    logs = np.log(weights) + root - 0.5 * (spread**2).sum(axis=2)
    top = logs.max(axis=1)
    constant = 0.5 * away.shape[2] * np.log(2 * np.pi)
    return np.asarray(top + np.log(np.exp(logs - top[:, None]).sum(axis=1)) - constant)


def photo_evidence(
    model: Model,
    rows: Floats,
    weights: Floats,
    surface: str,
    *,
    trusted: bool,
    coloured: bool = True,
    doubt: float = 0.0,
) -> PhotoEvidence:
    """What one photo says: `rows` are its cues under each possible white, `weights` how likely each white is.

    photo(m) = p(m | cues, surface) / p(m | surface), averaged over the whites, which the part itself bears on: see
    `explained`. A photo without colour, or with no cue at all, says nothing: photo(m) = 1 for every material.
    `doubt`, 0 to 1, is the chance that its faults leave nothing to see: chances are mixed with those of the training
    share, which is nothing said. That it is said to be scratched to bare metal speaks against what shows none.
    """
    blind = not coloured or doubt >= 1 or bool(np.isnan(rows).all())
    chances = model.share
    if not blind:
        seen = explained(model, rows, weights) @ class_chances(model, rows, surface) * _called(model, surface)
        seen /= seen.sum()
        chances = (1 - doubt) * seen + doubt * model.share
    hidden = NOT_AS_IT_SEEMS.get(surface, NOT_AS_IT_SEEMS["as-found"])
    log_photo = {}
    for material in materials_of(model):
        mine = np.array([label[0] == kin(material) for label in model.labels])
        ratio = chances[mine].sum() / model.share[mine].sum()
        log_photo[material] = float(np.log((1 - hidden) * ratio + hidden))
    log_photo["something-else"] = 0.0 if blind else float(np.log((1 - doubt) * np.exp(model.unknown) + doubt))
    unlike = not blind and bool(log_density(model, rows).max() < model.farthest)
    said = PhotoEvidence(log_photo, _families(model, chances), unlike, simulated=True, trusted_colour=trusted)
    if blind or model.own is None or model.spread_of is None:
        return said
    shift, near = moved(model.own, model.spread_of, standardised(rows, model.centre, model.spread), surface)
    known = bool(near.max() >= model.farthest)
    share, names, unsure = share_of_each(model), model.own.materials, max(hidden, doubt)
    return corrected(said, shift, explained(model, rows, weights), share, names, hidden=unsure, known=known)


def _called(model: Model, surface: str) -> Floats:
    """How readily a part of each class is said to have that surface, those that show metal being 1."""
    return np.array(
        [CALLED_BARE if (surface, family) == ("scratched", "not-metal") else 1.0 for _, family in model.labels]
    )


def materials_of(model: Model) -> tuple[str, ...]:
    """The materials that it tells apart, in its order, those that the user described last."""
    return tuple(dict.fromkeys([*(material for material, _ in model.labels), *(row.id for row in model.described)]))


def share_of_each(model: Model) -> dict[str, float]:
    """How common each material was in training; what the user described was not in it."""
    found = dict.fromkeys(materials_of(model), 0.0)
    for (material, _), share in zip(model.labels, model.share.tolist(), strict=True):
        found[material] += share
    return found


def joined(model: Model, described: Sequence[Material]) -> Model:
    """The same model, without own parts, that also tells these materials: each spread as the row it is like."""
    if model.spread_of is None or not described:
        return model
    names = materials_of(model)
    rows = [*range(len(names)), *(names.index(kin(each.id)) for each in described)]
    spread = Spread(model.spread_of.mean[rows], model.spread_of.covariance[rows])
    return replace(model, described=(*model.described, *described), spread_of=spread, own=None)


def agreement(one: PhotoEvidence, other: PhotoEvidence) -> float:
    """How much likelier two photos are where they show one material than where each shows any, all as common: the
    mean over materials of the product of what both say."""
    both = [one.log_photo[name] + other.log_photo[name] for name in one.log_photo if name != "something-else"]
    return float(np.mean(np.exp(both)))


def together(photos: list[PhotoEvidence]) -> PhotoEvidence:
    """Photos of one part: the mean, not the sum, of log photo(m); one that can be trusted is trusted."""
    names = photos[0].log_photo
    log_photo = {name: float(np.mean([photo.log_photo[name] for photo in photos])) for name in names}
    families = {name: float(np.mean([photo.families[name] for photo in photos])) for name in FAMILIES}
    return PhotoEvidence(
        log_photo,
        families,
        all(photo.unlike for photo in photos),
        any(photo.simulated for photo in photos),
        any(photo.trusted_colour for photo in photos),
        any(photo.guessed_bare for photo in photos),
    )


def _families(model: Model, chances: Floats) -> dict[str, float]:
    """Chances of the colour families, with every material as common as any other."""
    return {name: float(chances[[label[1] == name for label in model.labels]].sum()) for name in FAMILIES}
