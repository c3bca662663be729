"""Looks to training rows: simulated parts, measured by the very cues that measure photographs."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from importlib import resources
from pathlib import Path

import numpy as np

from idkit import see
from idkit.errors import TableError
from idkit.swatches import bodies, camera
from idkit.swatches.adaptation import to_daylight
from idkit.swatches.shading import shaded
from idkit.swatches.surfaces import Look, Optics, Random
from idkit.swatches.surroundings import MIRED, surroundings
from idkit.vocabulary import Cue, Floats, Part, Photo, White

FILED, LEAST = 0.6, 400  # share of scratched ones that show a filed spot alone; its fewest pixels
GROUNDS = (0.87, 0.87, 0.87, 0.6, 0.3, 0.12)  # reflectance of what the part lies on: mostly white paper


@dataclass(frozen=True)
class Rows:
    """Training rows: `values` is n x cues with NaN where a cue could not be had; the rest is one entry a row.

    `weight` says how often such a row is met among those of its material and surface; it sums to 1 over them.
    """

    cues: tuple[str, ...]
    values: Floats
    material: tuple[str, ...]
    surface: tuple[str, ...]
    family: tuple[str, ...]
    weight: Floats


def looks() -> tuple[Look, ...]:
    """The rows of looks.csv."""
    table = resources.files("idkit.swatches").joinpath("looks.csv").read_text("utf-8").splitlines()
    lines = [line for line in table if not line.startswith("#")]
    return tuple(_look(row, number) for number, row in enumerate(csv.DictReader(lines), start=2))


def simulate(of: Sequence[Look], optics: Optics, lights: Floats, cues: Iterable[Cue], a_look: int, seed: int) -> Rows:
    """`a_look` photographed parts of every look, measured by the judged cues; looks are worked on side by side."""
    judged = tuple(cue for cue in cues if cue.judged)
    measured = partial(_measured, dict(optics), lights, tuple(cue.name for cue in judged), a_look)
    with ProcessPoolExecutor() as pool:
        values = list(pool.map(measured, of, range(seed, seed + len(of))))
    each = [look for look, rows in zip(of, values, strict=True) for _ in rows]
    return Rows(
        tuple(cue.name for cue in judged),
        np.concatenate(values),
        tuple(look.material for look in each),
        tuple(look.surface for look in each),
        tuple(look.family for look in each),
        np.array([_share(look, of) / a_look for look in each]),
    )


def photographed(look: Look, optics: Optics, lights: Floats, random: Random) -> tuple[Photo, Part, White]:
    """One part of that look on a ground in a room, as a phone shows it."""
    body = bodies.body(look.made, random)
    if look.surface == "scratched" and random.random() < FILED:
        flat = bodies.body("filed", random)
        filed = flat.mask & bodies.spot(random)
        body = replace(flat, mask=filed) if filed.sum() > LEAST else body
    ground = random.choice(GROUNDS) * np.exp(random.normal(0, 8) * MIRED)
    around = surroundings(ground, random)
    light = lights[int(random.integers(len(lights)))]
    seen = shaded(look, body, around, optics, light, random)
    return camera.photograph(camera.camera(random), seen, body.mask, camera.bench(ground, random), random)


def _measured(optics: Optics, lights: Floats, names: Sequence[str], count: int, look: Look, seed: int) -> Floats:
    """count x cues."""
    random = np.random.default_rng(seed)
    judged = [cue for cue in see.CUES if cue.name in names]
    rows = []
    for _ in range(count):
        patch = see.of_part(*photographed(look, optics, lights, random))
        rows.append([cue.measure(patch).value for cue in judged])
    return np.array(rows)


def lights(wavelength: Floats) -> Floats:
    """Illuminants of the CIE (daylight, lamp, LED, fluorescent) times the 1931 2 degree observer, as linear sRGB with
    white at 1; illuminants x wavelengths x 3. From colour-science.

    Adapted to D65 as phones do: see adaptation.py.
    """
    import colour

    shape = colour.SpectralShape(float(wavelength[0]), float(wavelength[-1]), float(wavelength[1] - wavelength[0]))
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    to_rgb = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
    names = ("D65", "D50", "D75", "A", "FL2", "FL11", "LED-B1", "LED-B3", "LED-B5", "LED-V1")
    found = []
    for name in names:
        power = colour.SDS_ILLUMINANTS[name].copy().align(shape).values
        seen = power[:, None] * observer @ to_rgb.T
        found.append(seen @ to_daylight(seen.sum(axis=0)).T)
    return np.array(found)


def save(rows: Rows, path: Path) -> None:
    """Write rows as npz without objects."""
    np.savez_compressed(
        path,
        cues=np.array(rows.cues),
        values=rows.values.astype(np.float32),
        material=np.array(rows.material),
        surface=np.array(rows.surface),
        family=np.array(rows.family),
        weight=rows.weight.astype(np.float32),
    )


def _share(look: Look, of: Sequence[Look]) -> float:
    """How often this look is met among those of its material and surface."""
    alike = [each.weight for each in of if (each.material, each.surface) == (look.material, look.surface)]
    return look.weight / sum(alike)


def _look(row: dict[str, str], number: int) -> Look:
    try:
        return Look(
            row["material"],
            row["surface"],
            row["family"],
            float(row["weight"]),
            tuple(_blend(text) for text in row["metal"].split(";") if text),
            _range(row["film"]),
            _range(row["edge"]),
            row["cover"],
            _range(row["covered"]) if row["covered"] else (0.0, 0.0),
            made=row["made"],
            gloss=_range(row["gloss"]),
        )
    except (ValueError, KeyError) as error:
        raise TableError("looks.csv", f"row {number} can't be read ({error})") from error


def _blend(text: str) -> tuple[str, float, float]:
    name, weights = text.split(":")
    return (name, *_range(weights))


def _range(text: str) -> tuple[float, float]:
    low, high = text.split("-")
    return float(low), float(high)
