"""The sample pictures: invented parts on a bench, rendered with Mitsuba 3 and taken with an imagined phone.

Every picture has its own seed, so the same libraries give the same picture. They serve the demonstration and the tests
of the whole path; nothing is trained on them.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np

from idkit.errors import CallError
from idkit.swatches.meshes import Mesh, mesh_of, volume
from idkit.swatches.parts import PARTS, Part
from idkit.swatches.shapes import single
from idkit.swatches.snapshot import Phone, developed, mended
from idkit.swatches.staging import (
    HEIGHT,
    WIDTH,
    Scene,
    mesh_spread,
    posed,
    projected,
    rendered,
    renderer,
    resting,
    white_of,
)
from idkit.swatches.truth import COLUMNS, row

SAMPLES = 64  # a pixel

SCENES = {
    "tap": Scene(1, "wood", "window", 200, 58, 0.8, 8, Phone((0.02, -0.03))),
    "hinge": Scene(2, "wood", "overcast", 205, 52, 0.74, -6, Phone((-0.02, 0.02))),
    "pump-body": Scene(3, "concrete", "overcast", -35, 50, 0.8, None, Phone((0.015, 0.01), 0.85)),
    "elbow": Scene(4, "painted", "tube", 150, 55, 0.76, 4, Phone((0.03, -0.04))),
    "cross-handle": Scene(5, "wood", "window", 20, 42, 0.68, 12, Phone((-0.02, 0.03))),
    "gate-bolt": Scene(6, "concrete", "overcast", 18, 58, 0.82, None, Phone((0.02, -0.02), 0.95)),
    "rail": Scene(7, "wood", "tube", 57, 42, 0.77, None, Phone((0.02, -0.05), 0.8)),
    "cooker-knob": Scene(8, "painted", "bulb", -125, 48, 0.62, -10, Phone((0.04, -0.08))),
    "angle-valve": Scene(9, "wood", "window", 165, 58, 0.78, -4, Phone((0.01, -0.02))),
    "hand-wheel": Scene(10, "concrete", "window", 10, 52, 0.84, None, Phone((-0.015, 0.02), 1.0)),
}


def render_samples(folder: Path, names: Iterable[str] | None = None) -> None:
    """Render the sample pictures that are not in the folder yet: those named, or all of them and index.csv.

    Pictures already there are kept, so a run that was stopped goes on where it was; delete one to have it made anew.
    """
    chosen = list(SCENES) if names is None else list(names)
    unknown = [name for name in chosen if name not in SCENES]
    if unknown:
        thing, got = "pictures", f"no sample picture named {', '.join(unknown)}"
        raise CallError(thing, got, ", ".join(SCENES))
    folder.mkdir(parents=True, exist_ok=True)
    for name in chosen:
        target = folder / f"{name}.jpg"
        if not target.exists():
            save(photographed(name), target)
    if names is None:
        write_index(folder)


def write_index(folder: Path) -> None:
    """Write index.csv: what each sample picture shows, how heavy it is and what it displaces."""
    with (folder / "index.csv").open("w", newline="", encoding="utf-8") as file:
        table = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        table.writeheader()
        for name, scene in SCENES.items():
            part = PARTS[name]()
            mesh = mesh_of(part.solid, part.low, part.high, part.step)
            table.writerow(row(name, volume(mesh), scratch_box(scene, part, mesh)))


def save(picture: Any, target: Path) -> None:
    """Write a JPEG under another name first, so that a stopped run leaves no half picture."""
    partial = target.with_suffix(".partial.jpg")
    renderer().Bitmap(picture).write(str(partial), quality=90)
    partial.replace(target)


def photographed(name: str, width: int = WIDTH, height: int = HEIGHT, samples: int = SAMPLES) -> Any:
    """One sample picture, height x width x 3, 8 bit."""
    scene, part = SCENES[name], PARTS[name]()
    mesh = mesh_of(part.solid, part.low, part.high, part.step)
    image, _ = mended(rendered(scene, part, mesh, width, height, samples))
    return developed(image, white_of(scene), scene.phone, np.random.default_rng(scene.seed))


def scratch_box(scene: Scene, part: Part, mesh: Mesh) -> tuple[int, int, int, int] | None:
    """x, y, width, height in pixels of the bare patch, or None where the part has none."""
    if part.scratch is None:
        return None
    corners = single(np.meshgrid(*np.transpose(part.scratch))).reshape(3, -1).T
    pixels = projected(scene, mesh_spread(scene, part, mesh), posed(scene, part, corners) + resting(scene, part, mesh))
    left, top, right, bottom = (int(edge) for edge in np.round([*pixels.min(axis=0), *pixels.max(axis=0)]))
    return left, top, right - left, bottom - top
