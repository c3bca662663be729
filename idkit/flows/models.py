"""Which model judges: the one that came with idkit, or one that was trained on one's own parts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from idkit import facts, keep
from idkit.decide import modelfile
from idkit.decide.classifier import Model
from idkit.errors import CallError
from idkit.flows.judging import JUDGED
from idkit.flows.shipped import STARTER, starter

REMEDY = "train it again with idkit train; until then: idkit models use starter"


def model_in_use() -> Model:
    """The model that judges now; ModelError, with what to do, where it does not fit this version."""
    name = keep.model_in_use()
    return model_named(name) if name else starter()


def model_named(name: str) -> Model:
    """A model by its name; CallError for an unknown one."""
    if name == STARTER:
        return starter()
    if name not in keep.models():
        known = ", ".join((STARTER, *keep.models()))
        raise CallError("models", f"got {name!r}, which is no model here", known, "idkit models list tells of each")
    return _loaded(keep.models_folder() / name, name)


def known_models() -> tuple[Model, ...]:
    """The starter and every one of one's own that fits this version, the oldest first."""
    return (starter(), *(model_named(name) for name in keep.models()))


def name_in_use() -> str:
    """Its name, read or not."""
    return keep.model_in_use() or STARTER


def folder_of(model: Model) -> Path | None:
    """Where a model of one's own lies with its report; None for the starter."""
    return None if model.name == STARTER else keep.models_folder() / model.name


def use_model(name: str) -> Model:
    """Switch to a model, which is read first; at once or not at all."""
    model = model_named(name)
    keep.use_model("" if name == STARTER else name)
    return model


def keep_model(model: Model, beside: Callable[[Path, Model], None]) -> Model:
    """Keep a model of one's own under the next free name, all of it or nothing; `beside` writes what goes with it."""

    def write(folder: Path, name: str) -> None:
        named = replace(model, name=name)
        modelfile.save(named, folder)
        beside(folder, named)

    return model_named(keep.new_model(write))


@lru_cache(maxsize=4)
def _loaded(folder: Path, name: str) -> Model:
    return modelfile.load(folder, name, [cue.name for cue in JUDGED], list(facts.materials()), REMEDY)
