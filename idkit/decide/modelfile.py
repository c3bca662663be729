"""A model and its card on disk: NAME.npz without pickled objects, and NAME.json that says what it is."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from idkit.decide.classifier import Model
from idkit.errors import ModelError
from idkit.vocabulary import SURFACES, Floats

FORMAT = 1
ARRAYS = ("centre", "spread", "share", "mixture_weights", "mixture_means", "mixture_roots")
RETRAIN = "train it again: python -m idkit.swatches model"


def save(model: Model, folder: Path) -> Path:
    """Write NAME.npz and NAME.json into the folder; returns the card's path."""
    arrays = {name: getattr(model, name) for name in ARRAYS}
    arrays |= {f"weight_{i}": layer for i, layer in enumerate(model.weights)}
    arrays |= {f"bias_{i}": layer for i, layer in enumerate(model.biases)}
    path = folder / f"{model.name}.npz"
    np.savez(path, **arrays)
    card = {
        "format": FORMAT,
        "name": model.name,
        "digest": hashlib.sha256(path.read_bytes()).hexdigest(),
        "cues": list(model.cues),
        "labels": [list(label) for label in model.labels],
        "layers": len(model.weights),
        "sharpness": model.sharpness,
        "farthest": model.farthest,
        "unknown": model.unknown,
        "thresholds": dict(model.thresholds),
        **model.card,
    }
    target = folder / f"{model.name}.json"
    target.write_text(json.dumps(card, indent=1, sort_keys=True) + "\n", encoding="utf-8")
    return target


def load(folder: Path, name: str, cues: Sequence[str], materials: Sequence[str]) -> Model:
    """Read a model; ModelError where it is missing, changed, or made for other cues or materials than these."""
    card = _card(folder / f"{name}.json")
    path = folder / f"{name}.npz"
    thing = str(path)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise ModelError(thing, f"can't be read ({error.strerror})", "", RETRAIN) from None
    if hashlib.sha256(data).hexdigest() != card.get("digest"):
        raise ModelError(thing, "does not match its card", "the file that the card was written for", RETRAIN)
    try:
        _refuse_other(thing, card, cues, materials)
        with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
            return _model(card, {key: np.asarray(arrays[key], float) for key in arrays.files})
    except (ValueError, LookupError, TypeError, AttributeError, EOFError, OSError, zipfile.BadZipFile) as error:
        raise ModelError(thing, f"is broken ({error})", "", RETRAIN) from error


def _card(path: Path) -> dict[str, Any]:
    try:
        card = json.loads(path.read_text("utf-8"))
    except OSError as error:
        raise ModelError(str(path), f"can't be read ({error.strerror})", "", RETRAIN) from None
    except ValueError as error:
        raise ModelError(str(path), f"is not JSON ({error})", "", RETRAIN) from error
    if not isinstance(card, dict) or card.get("format") != FORMAT:
        raise ModelError(str(path), "is not a model card of this version", f"format {FORMAT}", RETRAIN)
    return card


def _refuse_other(thing: str, card: dict[str, Any], cues: Sequence[str], materials: Sequence[str]) -> None:
    if list(card["cues"]) != list(cues):
        raise ModelError(thing, f"was trained on the cues {', '.join(card['cues'])}", ", ".join(cues), RETRAIN)
    strange = sorted({material for material, _ in card["labels"]} - set(materials))
    missing = sorted(set(materials) - {material for material, _ in card["labels"]} - {"something-else"})
    if strange or missing:
        got = f"does not fit the table of materials (unknown {strange}, missing {missing})"
        raise ModelError(thing, got, "the materials of facts/materials.csv", RETRAIN)


def _model(card: dict[str, Any], arrays: dict[str, Floats]) -> Model:
    known = {"format", "name", "digest", "cues", "labels", "layers", "sharpness", "farthest", "unknown", "thresholds"}
    model = Model(
        name=card["name"],
        digest=card["digest"],
        cues=tuple(card["cues"]),
        labels=tuple((material, family) for material, family in card["labels"]),
        weights=tuple(arrays[f"weight_{i}"] for i in range(card["layers"])),
        biases=tuple(arrays[f"bias_{i}"] for i in range(card["layers"])),
        sharpness=float(card["sharpness"]),
        farthest=float(card["farthest"]),
        unknown=float(card["unknown"]),
        thresholds={name: float(value) for name, value in card["thresholds"].items()},
        card={key: value for key, value in card.items() if key not in known},
        **{name: arrays[name] for name in ARRAYS},
    )
    numbers = np.array([model.sharpness, model.unknown, *model.thresholds.values()])
    finite = all(np.isfinite(array).all() for array in (numbers, *arrays.values())) and not np.isnan(model.farthest)
    if not finite or _shapes(model) != _right_shapes(model):
        reason = "arrays of the wrong shape or not finite"
        raise ValueError(reason)
    return model


def _shapes(model: Model) -> list[tuple[int, ...]]:
    return [array.shape for array in (*(getattr(model, name) for name in ARRAYS), *model.weights, *model.biases)]


def _right_shapes(model: Model) -> list[tuple[int, ...]]:
    """What _shapes must be, given how many networks vote, how wide their hidden layers are and what goes in and out."""
    cues, voters, mixed = len(model.cues), len(model.biases[0]), len(model.mixture_weights)
    widths = [cues + len(SURFACES), *(bias.shape[1] for bias in model.biases[:-1]), len(model.labels)]
    arrays = [(cues,), (cues,), (len(model.labels),), (mixed,), (mixed, cues), (mixed, cues, cues)]
    weights = [(voters, inputs, outputs) for inputs, outputs in pairwise(widths)]
    return [*arrays, *weights, *((voters, outputs) for outputs in widths[1:])]
