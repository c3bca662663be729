"""A model on disk: read back exactly, and refused in one line that names the remedy where anything is wrong."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from idkit.decide import modelfile
from idkit.decide.classifier import Model, class_chances
from idkit.errors import ModelError

CUES = ("red_green", "blue_green", "contrast")
MATERIALS = ("copper", "yellow-brass", "zinc-die-cast", "something-else")
REMEDY = "train it again: python -m idkit.swatches model"


@pytest.fixture
def folder(tiny: Model, tmp_path: Path) -> Path:
    """A folder that holds the tiny model and its card."""
    modelfile.save(tiny, tmp_path)
    return tmp_path


def refusal(folder: Path, cues: tuple[str, ...] = CUES, materials: tuple[str, ...] = MATERIALS) -> str:
    """The one line in which the model is refused."""
    with pytest.raises(ModelError) as refused:
        modelfile.load(folder, "tiny", cues, materials)
    line = str(refused.value)
    assert "\n" not in line
    assert line.startswith(str(folder / "tiny"))
    assert line.endswith(REMEDY)
    return line


def rewrite(folder: Path, arrays: Mapping[str, Any]) -> None:
    """Other arrays under a card that fits them, so that the digest is not what refuses them."""
    path = folder / "tiny.npz"
    with np.load(path) as kept:
        np.savez(path, allow_pickle=True, **{**kept, **arrays})
    renew_digest(folder)


def renew_digest(folder: Path) -> None:
    change_card(folder, lambda card: card.update(digest=hashlib.sha256((folder / "tiny.npz").read_bytes()).hexdigest()))


def change_card(folder: Path, change: Callable[[dict[str, Any]], object]) -> None:
    path = folder / "tiny.json"
    card = json.loads(path.read_text("utf-8"))
    change(card)
    path.write_text(json.dumps(card), encoding="utf-8")


def test_a_model_is_read_back_exactly(tiny: Model, folder: Path) -> None:
    back = modelfile.load(folder, "tiny", CUES, MATERIALS)
    for name in (field.name for field in fields(Model) if field.name not in ("digest", "card", "thresholds")):
        was, now = getattr(tiny, name), getattr(back, name)
        assert (
            all(np.array_equal(a, b) for a, b in zip(was, now, strict=True))
            if name in ("weights", "biases")
            else (np.array_equal(was, now))
        ), name
    assert dict(back.thresholds) == dict(tiny.thresholds)
    assert json.loads(json.dumps(tiny.card)) == back.card
    assert back.digest == hashlib.sha256((folder / "tiny.npz").read_bytes()).hexdigest()
    rows = np.random.default_rng(1).normal(size=(20, 3))
    assert (class_chances(back, rows, "as-found") == class_chances(tiny, rows, "as-found")).all()


def test_saving_the_same_model_twice_gives_the_same_card(tiny: Model, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    one, two = (modelfile.save(tiny, at).read_text("utf-8") for at in (tmp_path, tmp_path / "other"))
    assert one == two


def test_nothing_in_the_file_needs_pickle(folder: Path) -> None:
    with np.load(folder / "tiny.npz", allow_pickle=False) as arrays:
        assert all(arrays[name].dtype == float for name in arrays.files)


class Trap:
    """Writes a file when it is unpickled."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __reduce__(self) -> tuple[Callable[[Path], None], tuple[Path]]:
        return Path.touch, (self.path,)


def test_pickled_objects_are_refused_and_not_run(folder: Path) -> None:
    sprung = folder / "sprung"
    rewrite(folder, {"centre": np.array([Trap(sprung)] * 3, dtype=object)})
    assert "is broken" in refusal(folder)
    assert not sprung.exists()


def test_a_file_that_is_one_bare_array_or_empty_is_refused(folder: Path) -> None:
    with (folder / "tiny.npz").open("wb") as file:
        np.save(file, np.zeros(3))
    renew_digest(folder)
    assert "is broken" in refusal(folder)
    (folder / "tiny.npz").write_bytes(b"")
    renew_digest(folder)
    assert "is broken" in refusal(folder)


@pytest.mark.parametrize("renewed", [True, False])
def test_a_file_cut_short_is_refused(folder: Path, renewed: bool) -> None:
    path = folder / "tiny.npz"
    path.write_bytes(path.read_bytes()[:-400])
    if renewed:
        renew_digest(folder)
    assert ("is broken" if renewed else "does not match its card") in refusal(folder)


def test_one_changed_byte_is_refused(folder: Path) -> None:
    path = folder / "tiny.npz"
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)
    assert "does not match its card" in refusal(folder)


NAMES = (*modelfile.ARRAYS, "weight_0", "weight_1", "bias_0", "bias_1")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("wrong", ["one longer", "one axis more", "a single number"])
def test_arrays_of_the_wrong_shape_are_refused(folder: Path, name: str, wrong: str) -> None:
    with np.load(folder / "tiny.npz") as kept:
        right = kept[name]
    spoilt = {
        "one longer": np.concatenate([right, right[:1]]),
        "one axis more": right[None],
        "a single number": right.ravel()[0],
    }[wrong]
    rewrite(folder, {name: spoilt})
    assert "is broken" in refusal(folder)


@pytest.mark.parametrize("value", [np.nan, np.inf])
@pytest.mark.parametrize("name", NAMES)
def test_numbers_that_are_not_finite_are_refused(folder: Path, name: str, value: float) -> None:
    with np.load(folder / "tiny.npz") as kept:
        spoilt = kept[name].copy()
    spoilt.flat[0] = value
    rewrite(folder, {name: spoilt})
    assert "not finite" in refusal(folder)


@pytest.mark.parametrize("name", ["sharpness", "unknown", "farthest"])
def test_a_number_of_the_card_that_is_nan_is_refused(folder: Path, name: str) -> None:
    change_card(folder, lambda card: card.update({name: float("nan")}))
    assert "not finite" in refusal(folder)


def test_an_array_that_is_missing_is_refused(folder: Path) -> None:
    path = folder / "tiny.npz"
    with np.load(path) as kept:
        np.savez(path, **{name: kept[name] for name in kept.files if name != "spread"})
    renew_digest(folder)
    assert "spread" in refusal(folder)


@pytest.mark.parametrize("cues", [CUES[:2], (*CUES, "gloss"), CUES[::-1]])
def test_a_model_of_other_cues_is_refused(folder: Path, cues: tuple[str, ...]) -> None:
    line = refusal(folder, cues=cues)
    assert f"right is {', '.join(cues)}" in line
    assert ", ".join(CUES) in line


def test_a_model_of_other_materials_is_refused_and_both_sides_are_named(folder: Path) -> None:
    assert "missing ['lead']" in refusal(folder, materials=(*MATERIALS, "lead"))
    assert "unknown ['copper']" in refusal(folder, materials=MATERIALS[1:])


def test_something_else_needs_no_rows_of_its_own(folder: Path) -> None:
    assert modelfile.load(folder, "tiny", CUES, MATERIALS[:3]).labels


@pytest.mark.parametrize("name", ["tiny.json", "tiny.npz"])
def test_a_missing_file_is_refused(folder: Path, name: str) -> None:
    (folder / name).unlink()
    line = refusal(folder)
    assert name in line
    assert "can't be read" in line


@pytest.mark.parametrize("text", ["", "{", "not json", "\udcff"])
def test_a_card_that_is_no_json_is_refused(folder: Path, text: str) -> None:
    (folder / "tiny.json").write_bytes(text.encode("utf-8", "surrogateescape"))
    assert "is not JSON" in refusal(folder)


@pytest.mark.parametrize("text", ["[]", "3", "{}", '{"format": 2}'])
def test_a_card_of_another_version_is_refused(folder: Path, text: str) -> None:
    (folder / "tiny.json").write_text(text, encoding="utf-8")
    assert "is not a model card of this version" in refusal(folder)


FIELDS = ("cues", "labels", "layers", "sharpness", "farthest", "unknown", "thresholds")


@pytest.mark.parametrize("name", ["name", *FIELDS])
def test_a_card_that_lacks_a_field_is_refused(folder: Path, name: str) -> None:
    change_card(folder, lambda card: card.pop(name))
    assert f"is broken ('{name}')" in refusal(folder)


@pytest.mark.parametrize("name", FIELDS)
def test_a_card_with_a_field_of_the_wrong_kind_is_refused(folder: Path, name: str) -> None:
    change_card(folder, lambda card: card.update({name: ["x"]}))
    assert refusal(folder)


def test_a_limit_of_minus_infinity_survives(tiny: Model, tmp_path: Path) -> None:
    """A model whose limit was not set yet calls nothing unlike."""
    modelfile.save(replace(tiny, farthest=-np.inf), tmp_path)
    assert modelfile.load(tmp_path, "tiny", CUES, MATERIALS).farthest == -np.inf


DZR = {
    "name": "dzr brass",
    "like": "yellow-brass",
    "family": "brass-yellow",
    "density": [8200.0, 8400.0, 8600.0],
    "magnet": {"none": 0.96, "weak": 0.03, "strong": 0.01},
}


@pytest.mark.parametrize(
    "wrong",
    [
        {"like": "unobtainium"},
        {"name": "../../etc"},
        {"family": "purple"},
        {"density": [8200.0, float("nan"), 8600.0]},
        {"density": [8600.0, 8400.0, 8200.0]},
        {"magnet": {"none": 1.0, "weak": 0.0, "strong": 0.0}},
        {"magnet": {"none": 0.9}},
        {},  # right in itself, and the arrays hold nothing of it
    ],
)
def test_a_described_material_that_can_not_be_is_refused(folder: Path, wrong: dict[str, object]) -> None:
    card = json.loads((folder / "tiny.json").read_text("utf-8"))
    card["described"] = [{**DZR, **wrong}]
    card["own k"] = 5.0
    card["digest"] = modelfile.digest_of((folder / "tiny.npz").read_bytes(), card["described"])
    (folder / "tiny.json").write_text(json.dumps(card), "utf-8")
    assert "is broken" in refusal(folder)


def test_another_description_is_another_model(folder: Path) -> None:
    change_card(folder, lambda card: card.update(described=[DZR]))
    assert "does not match its card" in refusal(folder)
