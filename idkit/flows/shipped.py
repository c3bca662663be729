"""The starter model that comes with idkit: loaded, and trained on simulated rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import cache, partial
from importlib import resources
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from idkit import ask, facts, see
from idkit.decide import bench, classifier, modelfile
from idkit.decide.own import Spread
from idkit.flows.judging import JUDGED
from idkit.flows.listings import beside, known_materials
from idkit.vocabulary import Floats, PhotoEvidence

STARTER = "starter"
PARTS = 20000  # simulated for each pattern of evidence, to calibrate its likely set


@cache
def starter() -> classifier.Model:
    """The model that came with idkit."""
    with resources.as_file(beside("models")) as folder:
        return modelfile.load(folder, STARTER, [cue.name for cue in JUDGED], list(facts.materials()))


def train_starter(rows: Path, folder: Path, parts: int = PARTS, seed: int = 1) -> Path:
    """Train the starter model on simulated rows and write it with its card; returns the card's path.

    Likely sets are calibrated on `parts` simulated parts for each evidence pattern, their photos held-out rows under a
    white that is known (7 in 10) or not.
    """
    from idkit.decide import learn

    with np.load(rows, allow_pickle=False) as kept:
        table = {name: kept[name].tolist() for name in ("cues", "material", "surface", "family", "scene")}
        values, weights = kept["values"].astype(float), kept["weight"].astype(float)
    named = (table["material"], table["surface"], table["family"])
    trained, held, score = learn.train(table["cues"], values, *named, STARTER, seed, weights, table["scene"])
    material, surface = ([table[name][i] for i in held] for name in ("material", "surface"))
    farthest, unknown = learn.held_out_limits(trained, values[held], surface, material, weights[held])
    spread = learn.spread_of(trained, values, table["surface"], table["material"], weights)
    model = replace(trained, farthest=farthest, unknown=unknown, spread_of=spread)
    photo_of = partial(_simulated_photo, model, values[held], np.array(material), np.array(surface), weights[held])
    thresholds = bench.thresholds(known_materials(), facts.forms(), ask.checks(), photo_of, parts, seed)
    card = learn.card(values, table["material"], table["surface"], score, parts, seed)
    card["parts traced"] = _scenes(table["material"], table["scene"])
    return modelfile.save(replace(model, thresholds=thresholds, card=card), folder)


def _scenes(materials: Sequence[str], scenes: Sequence[str]) -> dict[str, int]:
    """How many different traced parts each material was shown on."""
    shown = Counter(material for material, _ in set(zip(materials, scenes, strict=True)))
    return dict(sorted(shown.items()))


def calibrate_starter(rows: Path, folder: Path, parts: int = PARTS, seed: int = 1) -> Path:
    """The likely sets of the starter model calibrated anew, as after a change to a check; returns the card's path."""
    model = replace(starter(), spread_of=_spread_of(starter(), rows))
    photo_of = held_out_photos(model, rows)
    thresholds = bench.thresholds(known_materials(), facts.forms(), ask.checks(), photo_of, parts, seed)
    card = {**model.card, "parts simulated for each likely set": parts}
    return modelfile.save(replace(model, thresholds=thresholds, card=card), folder)


def _spread_of(model: classifier.Model, rows: Path) -> Spread:
    from idkit.decide import learn

    with np.load(rows, allow_pickle=False) as kept:
        values, weight = kept["values"].astype(float), kept["weight"].astype(float)
        return learn.spread_of(model, values, kept["surface"].tolist(), kept["material"].tolist(), weight)


def simulated_photos(model: classifier.Model, rows: Path) -> bench.PhotoOf:
    """What the model makes of a simulated photograph drawn by material and surface, trained on or not."""
    with np.load(rows, allow_pickle=False) as kept:
        values, material, surface, weight = (kept[name] for name in ("values", "material", "surface", "weight"))
    return partial(_simulated_photo, model, values.astype(float), material, surface, weight.astype(float))


def held_out_photos(model: classifier.Model, rows: Path) -> bench.PhotoOf:
    """The same of those rows alone that the model was not trained on."""
    from idkit.decide import learn

    with np.load(rows, allow_pickle=False) as kept:
        values, material, surface, weight = (kept[name] for name in ("values", "material", "surface", "weight"))
        held = learn.held_out(kept["scene"].tolist(), int(model.card["random seed"]))
    return partial(
        _simulated_photo, model, values[held].astype(float), material[held], surface[held], weight[held].astype(float)
    )


def _simulated_photo(
    model: classifier.Model,
    values: Floats,
    materials: NDArray[np.str_],
    surfaces: NDArray[np.str_],
    weights: Floats,
    material: str,
    surface: str,
    random: np.random.Generator,
) -> PhotoEvidence:
    """A held-out row of that material and surface, as seen under a white that is known only so well."""
    alike = np.flatnonzero((materials == material) & (np.asarray(surfaces) == surface))
    pool = alike if len(alike) else np.arange(len(values))
    row = values[random.choice(pool, p=weights[pool] / weights[pool].sum())]
    known = bool(random.random() < 0.7)
    spread = see.PAPER if known else see.CAMERA_LOST
    off = random.normal(0, spread) * see.MIRED
    grid = see.possible_whites(np.zeros(2), spread)
    rows = np.repeat(row[None], len(grid), axis=0)
    shades = [model.cues.index(name) for name in ("redness", "yellowness")]
    rows[:, shades] = see.under_another_white(row[shades], off - grid[:, :2])
    return classifier.photo_evidence(model, rows, grid[:, 2], surface, trusted=known)
