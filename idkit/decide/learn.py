"""Samples to a calibrated classifier and its honest score. The only file that needs scikit-learn."""

from __future__ import annotations

import hashlib
import warnings
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from idkit.decide.classifier import Model, class_chances, log_density, materials_of, standardised
from idkit.decide.evidence import surface_columns
from idkit.decide.own import Spread
from idkit.vocabulary import SURFACES, Floats

HIDDEN = (48,)  # small on purpose: a larger network learns the simulation, not the metal
MEMBERS = 5  # networks whose chances are averaged, so that no one start decides
EPOCHS = 60
DROPPED = 0.25  # share of training rows that hide their surface
FITTED, TUNED = 6, 8  # tenths of the groups that train, and that train or set the temperature; the rest is held out
FALSE_ALARMS = 0.01  # of held-out rows that may be called unlike anything known
LEAST_SPREAD = 0.01  # variance added to each standardised cue, so that no material is a point
UNKNOWN_PERCENTILE = 5.0  # of held-out log photo(truth), given to something-else

_Samples = tuple[Floats, Any, Floats]  # inputs, targets, weights


def train(
    cues: Sequence[str],
    values: Floats,
    materials: Sequence[str],
    surfaces: Sequence[str],
    families: Sequence[str],
    name: str,
    seed: int = 1,
    weights: Floats | None = None,
    groups: Sequence[str] | None = None,
) -> tuple[Model, NDArray[np.intp], dict[str, float]]:
    """A model without conformal thresholds, the numbers of the rows held out from it, and its scores on them.

    `values` is n x cues, `weights` how often each row is met (all alike where None); rows of one of the `groups` (each
    its own where None) stay together. Six groups in ten train, two set the temperature, two are held out. The
    networks are scikit-learn's MLPClassifier, voting softly, their temperature that of CalibratedClassifierCV (Guo et
    al. 2017), the density its GaussianMixture.
    """
    labels = sorted(set(zip(materials, families, strict=True)))
    code = {label: number for number, label in enumerate(labels)}
    target = np.array([code[label] for label in zip(materials, families, strict=True)])
    met = np.ones(len(values)) if weights is None else weights * len(weights) / weights.sum()
    random = np.random.default_rng(seed)
    part = tenths(groups or [str(number) for number in range(len(values))], random)
    fit, tune, held = part < FITTED, (part >= FITTED) & (part < TUNED), part >= TUNED
    centre, spread = scale_of(values[fit])
    inputs = _inputs(values, surfaces, centre, spread, random)
    networks, sharpness = _networks((inputs[fit], target[fit], met[fit]), (inputs[tune], target[tune], met[tune]), seed)
    mixture = _mixture(inputs[fit][:, : len(cues)], met[fit], seed)
    model = Model(
        name=name,
        digest="",
        cues=tuple(cues),
        labels=tuple(labels),
        centre=centre,
        spread=spread,
        weights=tuple(np.array(layers) for layers in zip(*(network.coefs_ for network in networks), strict=True)),
        biases=tuple(np.array(layers) for layers in zip(*(network.intercepts_ for network in networks), strict=True)),
        sharpness=sharpness,
        share=np.bincount(target[fit], met[fit], len(labels)) / met[fit].sum(),
        mixture_weights=mixture.weights_,
        mixture_means=mixture.means_,
        mixture_roots=mixture.precisions_cholesky_,
        farthest=-np.inf,
        unknown=0.0,
        thresholds={},
        card={},
    )
    return (
        model,
        np.flatnonzero(held),
        _score(model, values[held], [surfaces[i] for i in np.flatnonzero(held).tolist()], target[held], met[held]),
    )


def spread_of(
    model: Model, values: Floats, surfaces: Sequence[str], materials: Sequence[str], weights: Floats
) -> Spread:
    """Mean and covariance of the rows of each material and surface, in standardised cues; of all rows where fewer than
    two are such."""
    scaled = standardised(values, model.centre, model.spread)
    named, seen = np.array(materials), np.array(surfaces)
    names, size = materials_of(model), len(model.cues)
    mean, covariance = np.zeros((len(names), len(SURFACES), size)), np.zeros((len(names), len(SURFACES), size, size))
    for row, name in enumerate(names):
        for column, surface in enumerate(SURFACES):
            mine = (named == name) & (seen == surface)
            rows = mine if mine.sum() > 1 else np.ones(len(named), bool)
            mean[row, column] = np.average(scaled[rows], axis=0, weights=weights[rows])
            covariance[row, column] = np.cov(scaled[rows].T, aweights=weights[rows]) + LEAST_SPREAD * np.eye(size)
    return Spread(mean, covariance)


def held_out_limits(
    model: Model, values: Floats, surfaces: Sequence[str], materials: Sequence[str], weights: Floats
) -> tuple[float, float]:
    """The log density that 1 in 100 held-out rows falls under, and the 5th percentile of their log photo(truth)."""
    farthest = _quantile(log_density(model, values), weights, FALSE_ALARMS)
    ratios = _log_photo_of_truth(model, values, surfaces, materials)
    return farthest, _quantile(ratios, weights, UNKNOWN_PERCENTILE / 100)


def _quantile(values: Floats, weights: Floats, share: float) -> float:
    """The value under which that share of the weight lies."""
    return float(np.quantile(values, share, weights=weights, method="inverted_cdf"))


def least_chance(chances_of_truth: Floats, cover: float = 0.9) -> float:
    """Threshold of the likely set by split conformal prediction (Sadinle, Lei and Wasserman 2019).

    `chances_of_truth` are the chances given to the truth on n calibration parts; a set of all materials with at least
    the returned chance holds the truth of a new part with probability `cover` or a little more.

    >>> least_chance(np.array([0.1, 0.5, 0.9, 0.95, 0.99]), cover=0.5)
    0.9
    """
    count = len(chances_of_truth)
    rank = int(np.floor(round((count + 1) * (1 - cover), 9)))  # 100 x (1 - 0.9) is 10, not a hair less
    return float(np.sort(chances_of_truth)[rank - 1]) if rank >= 1 else 0.0


def card(
    values: Floats,
    materials: Sequence[str],
    surfaces: Sequence[str],
    score: Mapping[str, float],
    parts: int,
    seed: int,
) -> dict[str, Any]:
    """What a model says of itself: rows by material, libraries, held-out scores, a digest of its rows."""
    import sklearn

    return {
        "what": "Starter model. Every row is simulated from published optical constants: no photograph was used.",
        "rows": dict(sorted(Counter(materials).items())),
        "rows by surface": dict(sorted(Counter(surfaces).items())),
        "rows digest": hashlib.sha256(np.ascontiguousarray(values, np.float32).tobytes()).hexdigest(),
        "held-out score (simulated)": {name: round(value, 4) for name, value in score.items()},
        "parts simulated for each likely set": parts,
        "random seed": seed,
        "libraries": {"numpy": np.__version__, "scikit-learn": sklearn.__version__},
        "borrowed optics": "tin from aluminium; nickel silver and cupronickel from nickel with copper or brass; "
        "aluminium bronze and tin bronze from copper-zinc of like hue",
        "how simulated": "parts of a dozen shapes in lit rooms, light traced with Mitsuba 3, as a phone shows them",
    }


def held_out(groups: Sequence[str], seed: int) -> NDArray[np.intp]:
    """Numbers of the rows that training with that seed holds out."""
    return np.flatnonzero(tenths(groups, np.random.default_rng(seed)) >= TUNED)


def tenths(groups: Sequence[str], random: np.random.Generator) -> NDArray[np.intp]:
    """A number from 0 to 9 for each row, the same for all rows of a group."""
    names, member = np.unique(np.asarray(groups), return_inverse=True)
    return np.asarray((random.permutation(len(names)) % 10)[member])


def scale_of(values: Floats) -> tuple[Floats, Floats]:
    """Middle and spread of each column of n x cues, by quantiles: 2.56 standard deviations hold 80 of 100."""
    centre = np.nanmedian(values, axis=0)
    low, high = np.nanpercentile(values, (10, 90), axis=0)
    return centre, np.maximum((high - low) / 2.56, 1e-3)


def _inputs(
    values: Floats, surfaces: Sequence[str], centre: Floats, spread: Floats, random: np.random.Generator
) -> Floats:
    known = np.array([surface_columns(surface) for surface in surfaces])
    known[random.random(len(known)) < DROPPED] = 0
    return np.hstack([standardised(values, centre, spread), known])


def _networks(fit: _Samples, tune: _Samples, seed: int) -> tuple[list[Any], float]:
    """Networks trained on inputs, targets and weights, and the inverse temperature found on others."""
    from sklearn.calibration import CalibratedClassifierCV
    from sklearn.ensemble import VotingClassifier
    from sklearn.exceptions import ConvergenceWarning
    from sklearn.frozen import FrozenEstimator
    from sklearn.neural_network import MLPClassifier

    members = [
        (
            f"network {number}",
            MLPClassifier(
                HIDDEN,
                alpha=1e-3,
                batch_size=200,
                learning_rate_init=3e-3,
                max_iter=EPOCHS,
                random_state=seed + number,
            ),
        )
        for number in range(MEMBERS)
    ]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)
        warnings.filterwarnings("ignore", "Since FrozenEstimator")  # frozen: the weights are for the temperature alone
        committee = VotingClassifier(members, voting="soft").fit(fit[0], fit[1], sample_weight=fit[2])
        calibrated = CalibratedClassifierCV(FrozenEstimator(committee), method="temperature").fit(
            tune[0], tune[1], sample_weight=tune[2]
        )
    return committee.estimators_, float(calibrated.calibrated_classifiers_[0].calibrators[0].beta_)


def _mixture(scaled: Floats, weights: Floats, seed: int) -> Any:
    from sklearn.mixture import GaussianMixture

    random = np.random.default_rng(seed)
    some = scaled[random.choice(len(scaled), min(20_000, len(scaled)), p=weights / weights.sum())]
    return GaussianMixture(16, reg_covar=1e-2, random_state=seed, max_iter=200).fit(some)


def _score(model: Model, values: Floats, surfaces: Sequence[str], target: Any, weights: Floats) -> dict[str, float]:
    """On held-out rows: log loss and accuracy of the material, and accuracy of the family."""
    chances = _chances(model, values, surfaces)
    of_material = _by(model, chances, 0)
    truth = [model.labels[code] for code in target]
    of_family = _by(model, chances, 1)
    right = np.array([of_material[0].index(label[0]) for label in truth])
    family = np.array([of_family[0].index(label[1]) for label in truth])
    picked = of_material[1][np.arange(len(right)), right]
    return {
        "rows": float(len(target)),
        "log loss": float(np.average(-np.log(np.maximum(picked, 1e-12)), weights=weights)),
        "material right": float(np.average(of_material[1].argmax(axis=1) == right, weights=weights)),
        "family right": float(np.average(of_family[1].argmax(axis=1) == family, weights=weights)),
    }


def _chances(model: Model, values: Floats, surfaces: Sequence[str]) -> Floats:
    found = np.empty((len(values), len(model.labels)))
    named = np.array(surfaces)
    for surface in set(surfaces):
        found[named == surface] = class_chances(model, values[named == surface], surface)
    return found


def _by(model: Model, chances: Floats, which: int) -> tuple[list[str], Floats]:
    names = sorted({label[which] for label in model.labels})
    sums = [chances[:, [label[which] == name for label in model.labels]].sum(axis=1) for name in names]
    return names, np.stack(sums, axis=1)


def _log_photo_of_truth(model: Model, values: Floats, surfaces: Sequence[str], materials: Sequence[str]) -> Floats:
    names, chances = _by(model, _chances(model, values, surfaces), 0)
    share: Mapping[str, float] = dict(zip(names, _by(model, model.share[None], 0)[1][0], strict=True))
    picked = chances[np.arange(len(values)), [names.index(material) for material in materials]]
    return np.asarray(np.log(np.maximum(picked / [share[material] for material in materials], 1e-9)))
