"""A model and its card on disk: NAME.npz without pickled objects, and NAME.json that says what it is."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

from idkit import facts
from idkit.decide.classifier import Model, materials_of
from idkit.decide.own import Own, Spread, Sums
from idkit.errors import CallError, ModelError
from idkit.vocabulary import SURFACES, Floats, Material

FORMAT = 1
ARRAYS = ("centre", "spread", "share", "mixture_weights", "mixture_means", "mixture_roots")
RETRAIN = "train it again: python -m idkit.swatches model"
MOST_BYTES = 32_000_000  # of all arrays as they lie in memory: what is larger is no model of these
BROKEN = (ValueError, LookupError, TypeError, AttributeError, EOFError, OSError, zipfile.BadZipFile, CallError)
OWN = ("count", "total", "square")  # of Sums
DENSITY = ("density_low", "density_typical", "density_high")


def save(model: Model, folder: Path) -> Path:
    """Write NAME.npz and NAME.json into the folder; returns the card's path."""
    arrays = {name: getattr(model, name) for name in ARRAYS}
    arrays |= {f"weight_{i}": layer for i, layer in enumerate(model.weights)}
    arrays |= {f"bias_{i}": layer for i, layer in enumerate(model.biases)}
    arrays |= _spread_arrays(model.spread_of) | _own_arrays(model.own)
    path = folder / f"{model.name}.npz"
    np.savez(path, **arrays)
    described = [_plain(row) for row in model.described]
    card = {
        "format": FORMAT,
        "name": model.name,
        "digest": digest_of(path.read_bytes(), described),
        "cues": list(model.cues),
        "labels": [list(label) for label in model.labels],
        "layers": len(model.weights),
        "sharpness": model.sharpness,
        "farthest": model.farthest,
        "unknown": model.unknown,
        "thresholds": dict(model.thresholds),
        **({"described": described} if described else {}),
        **({"own k": None if np.isinf(model.own.k) else model.own.k} if model.own else {}),
        **model.card,
    }
    target = folder / f"{model.name}.json"
    target.write_text(json.dumps(card, indent=1, sort_keys=True) + "\n", encoding="utf-8")
    return target


def load(folder: Path, name: str, cues: Sequence[str], materials: Sequence[str], remedy: str = RETRAIN) -> Model:
    """Read a model; ModelError where it is missing, changed, or made for other cues or materials than these.

    It may be a stranger's: nothing in it is run (no pickles), and what would swell beyond MOST_BYTES is not unpacked.
    `remedy` is what to do about one that is refused.
    """
    card = _card(folder / f"{name}.json", remedy)
    path = folder / f"{name}.npz"
    thing = str(path)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise ModelError(thing, f"can't be read ({error.strerror})", "", remedy) from None
    if digest_of(data, card.get("described", ())) != card.get("digest"):
        raise ModelError(thing, "does not match its card", "the file that the card was written for", remedy)
    try:
        _refuse_other(thing, card, cues, materials, remedy)
        _refuse_swelling(data)
        with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
            return _model(card, {key: np.asarray(arrays[key], float) for key in arrays.files})
    except BROKEN as error:
        raise ModelError(thing, f"is broken ({error})", "", remedy) from error


def digest_of(data: bytes, described: Sequence[Any]) -> str:
    """SHA-256 of a model's arrays, and of what the user described, which its verdicts hang on as well."""
    told = json.dumps(described, sort_keys=True).encode() if described else b""
    return hashlib.sha256(data + told).hexdigest()


def _plain(row: Material) -> dict[str, Any]:
    """What a described material has of its own; the rest is its row's."""
    density = [getattr(row, name) for name in DENSITY]
    return {"name": row.name, "like": facts.kin(row.id), "family": row.family, "density": density} | {
        "magnet": dict(row.magnet)
    }


def _described(told: dict[str, Any]) -> Material:
    low, typical, high = (float(value) for value in told["density"])
    found = facts.described(told["name"], told["like"], told["family"], typical)
    pulls = {pull: float(told["magnet"][pull]) for pull in found.magnet}
    if not 0 < low <= typical <= high < np.inf or min(pulls.values()) <= 0 or abs(sum(pulls.values()) - 1) > 1e-9:
        reason = f"{found.name} can't be so"
        raise ValueError(reason)
    return replace(found, density_low=low, density_high=high, magnet=MappingProxyType(pulls))


def _refuse_swelling(data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        size = sum(each.file_size for each in archive.infolist())
    if size > MOST_BYTES:
        reason = f"unpacks to {size / 1e6:.0f} MB"
        raise ValueError(reason)


def _spread_arrays(spread: Spread | None) -> dict[str, Floats]:
    return {"spread_mean": spread.mean, "spread_covariance": spread.covariance} if spread else {}


def _own_arrays(own: Own | None) -> dict[str, Floats]:
    if own is None:
        return {}
    told = {f"told_{name}": table for name, table in own.told.items()}
    forms = {f"form_{name}": row for name, row in own.forms.items()}
    return (
        {f"own_{name}": getattr(own.sums, name) for name in OWN}
        | {"own_lift": own.lift, "own_offset": own.offset}
        | told
        | forms
    )


def _own(card: dict[str, Any], arrays: dict[str, Floats], materials: tuple[str, ...]) -> Own | None:
    if "own k" not in card:
        return None
    by = {
        start: {key.removeprefix(start): array for key, array in arrays.items() if key.startswith(start)}
        for start in ("told_", "form_")
    }
    k = np.inf if card["own k"] is None else float(card["own k"])
    sums = Sums(*(arrays[f"own_{name}"] for name in OWN))
    own = Own(materials, k, sums, arrays["own_lift"], arrays["own_offset"], by["told_"], by["form_"])
    wide = [own.lift, *own.forms.values(), *(table.T for table in own.told.values())]
    if k <= 0 or np.isnan(k) or any(len(each) != len(materials) for each in wide):
        reason = "arrays of the wrong shape"
        raise ValueError(reason)
    if min(each.min(initial=0) for each in (sums.count, *own.forms.values(), *own.told.values())) < -1e-9:
        reason = "parts fewer than none"
        raise ValueError(reason)
    return own


def _card(path: Path, remedy: str) -> dict[str, Any]:
    try:
        card = json.loads(path.read_text("utf-8"))
    except OSError as error:
        raise ModelError(str(path), f"can't be read ({error.strerror})", "", remedy) from None
    except ValueError as error:
        raise ModelError(str(path), f"is not JSON ({error})", "", remedy) from error
    if not isinstance(card, dict) or card.get("format") != FORMAT:
        raise ModelError(str(path), "is not a model card of this version", f"format {FORMAT}", remedy)
    return card


def _refuse_other(thing: str, card: dict[str, Any], cues: Sequence[str], materials: Sequence[str], remedy: str) -> None:
    if list(card["cues"]) != list(cues):
        raise ModelError(thing, f"was trained on the cues {', '.join(card['cues'])}", ", ".join(cues), remedy)
    strange = sorted({material for material, _ in card["labels"]} - set(materials))
    missing = sorted(set(materials) - {material for material, _ in card["labels"]} - {"something-else"})
    if strange or missing:
        got = f"does not fit the table of materials (unknown {strange}, missing {missing})"
        raise ModelError(thing, got, "the materials of facts/materials.csv", remedy)


def _model(card: dict[str, Any], arrays: dict[str, Floats]) -> Model:
    known = {"format", "name", "digest", "cues", "labels", "layers", "sharpness", "farthest", "unknown", "thresholds"}
    known |= {"own k", "described"}
    plain: dict[str, Any] = {name: arrays[name] for name in ARRAYS}
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
        described=tuple(_described(told) for told in card.get("described", ())),
        **plain,
    )
    spread = Spread(arrays["spread_mean"], arrays["spread_covariance"]) if "spread_mean" in arrays else None
    model = replace(model, spread_of=spread, own=_own(card, arrays, materials_of(model)))
    numbers = np.array([model.sharpness, model.unknown, *model.thresholds.values()])
    finite = all(np.isfinite(array).all() for array in (numbers, *arrays.values())) and not np.isnan(model.farthest)
    if not finite or _shapes(model) != _right_shapes(model):
        reason = "arrays of the wrong shape or not finite"
        raise ValueError(reason)
    return model


def _shapes(model: Model) -> list[tuple[int, ...]]:
    learnt = [*_spread_arrays(model.spread_of).values()]
    learnt += [*(getattr(model.own.sums, name) for name in OWN), model.own.offset] if model.own else []
    every = (*(getattr(model, name) for name in ARRAYS), *model.weights, *model.biases, *learnt)
    return [array.shape for array in every]


def _right_shapes(model: Model) -> list[tuple[int, ...]]:
    """What _shapes must be, given how many networks vote, how wide their hidden layers are and what goes in and out."""
    cues, voters, mixed = len(model.cues), len(model.biases[0]), len(model.mixture_weights)
    widths = [cues + len(SURFACES), *(bias.shape[1] for bias in model.biases[:-1]), len(model.labels)]
    arrays = [(cues,), (cues,), (len(model.labels),), (mixed,), (mixed, cues), (mixed, cues, cues)]
    weights = [(voters, inputs, outputs) for inputs, outputs in pairwise(widths)]
    by = (len(materials_of(model)), len(SURFACES))
    spread = [(*by, cues), (*by, cues, cues)] if model.spread_of else []
    own = [by, (*by, cues), (*by, cues, cues), (cues,)] if model.own else []
    return [*arrays, *weights, *((voters, outputs) for outputs in widths[1:]), *spread, *own]
