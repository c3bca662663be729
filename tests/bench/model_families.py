"""Which family of models tells materials best from simulated photographs: python tests/bench/model_families.py

Log loss of the material on held-out parts of models/starter-rows.npz (simulated; no part is on both sides), with every
model's temperature set on parts of its own. The rows, inputs, weights and split are those of the starter model.
"""

from __future__ import annotations

import time
import warnings
from pathlib import Path
from typing import Any

import numpy as np
from photographs import say

from idkit.decide import learn
from idkit.decide.classifier import standardised
from idkit.decide.evidence import surface_columns

ROWS = Path(__file__).resolve().parents[2] / "models" / "starter-rows.npz"


def families(seed: int) -> dict[str, Any]:
    """Models of scikit-learn by name, settings as they come or as small as helps."""
    from sklearn.discriminant_analysis import LinearDiscriminantAnalysis, QuadraticDiscriminantAnalysis
    from sklearn.ensemble import HistGradientBoostingClassifier, RandomForestClassifier
    from sklearn.linear_model import LogisticRegression
    from sklearn.neural_network import MLPClassifier

    network = {"alpha": 1e-3, "batch_size": 200, "learning_rate_init": 3e-3, "max_iter": learn.EPOCHS}
    return {
        "linear discriminant": LinearDiscriminantAnalysis(),
        "quadratic discriminant": QuadraticDiscriminantAnalysis(reg_param=0.05),
        "logistic regression": LogisticRegression(max_iter=1000),
        "random forest, 300 trees": RandomForestClassifier(300, min_samples_leaf=8, random_state=seed),
        "boosted trees": HistGradientBoostingClassifier(max_iter=60, learning_rate=0.08, random_state=seed),
        "one network of 48": MLPClassifier(learn.HIDDEN, random_state=seed, **network),
    }


def main() -> int:
    """Print the table; 0 always."""
    warnings.simplefilter("ignore")  # networks are stopped after their epochs on purpose
    with np.load(ROWS, allow_pickle=False) as kept:
        values, weight = kept["values"].astype(float), kept["weight"].astype(float)
        material, surface, scene = (kept[name] for name in ("material", "surface", "scene"))
    truth = np.unique(material, return_inverse=True)[1]
    part = np.random.default_rng(1).permutation(np.unique(scene).size)[np.unique(scene, return_inverse=True)[1]] % 10
    fit, tune, held = part < 6, (part == 6) | (part == 7), part > 7
    known = np.array([surface_columns(name) for name in surface.tolist()])
    inputs = np.hstack([standardised(values, *learn.scale_of(values[fit])), known])
    say(f"{fit.sum()} rows to train on, {tune.sum()} for the temperature, {held.sum()} held out")
    of_all = np.bincount(truth, weight)
    say(f"  {-np.log(of_all / of_all.sum()) @ (of_all / of_all.sum()):.3f} log loss of the material by its share alone")
    committee = [families(seed)["one network of 48"] for seed in range(learn.MEMBERS)]
    for name, model in {**families(1), "five such networks": committee}.items():
        began = time.perf_counter()
        members = model if isinstance(model, list) else [model]
        logs = [_log_chances(member, inputs, truth, weight, fit) for member in members]
        chances = np.log(np.mean(np.exp(logs), axis=0))
        sharp = min(np.linspace(0.3, 1.6, 66), key=lambda beta: _loss(beta * chances[tune], truth[tune], weight[tune]))
        loss = _loss(sharp * chances[held], truth[held], weight[held])
        say(f"  {loss:.3f} {name}, inverse temperature {sharp:.2f}, {time.perf_counter() - began:.0f} s to train")
    return 0


def _log_chances(model: Any, inputs: Any, truth: Any, weight: Any, fit: Any) -> Any:
    """Log chances of all rows by a model trained on some of them, drawn by weight, for not all models take weights."""
    random = np.random.default_rng(2)
    drawn = random.choice(np.flatnonzero(fit), fit.sum(), p=weight[fit] / weight[fit].sum())
    model.fit(inputs[drawn], truth[drawn])
    return np.log(np.maximum(model.predict_proba(inputs), 1e-6))


def _loss(logs: Any, truth: Any, weight: Any) -> float:
    """Weighted mean of minus the log chance of the truth, the logs made chances."""
    norm = np.log(np.exp(logs).sum(axis=1))
    return float(np.average(norm - logs[np.arange(len(truth)), truth], weights=weight))


if __name__ == "__main__":
    raise SystemExit(main())
