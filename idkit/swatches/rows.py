"""Looks to training rows: simulated parts, measured by the very cues that measure photographs."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import numpy as np

from idkit import see
from idkit.errors import TableError
from idkit.swatches import camera
from idkit.swatches.surfaces import Look, Optics
from idkit.vocabulary import Cue, Floats, Patch, White

NEUTRAL = White("paper", 0.0, 0.0, 0.0, np.array([[0.0, 0.0, 1.0]]), 1.0)
NO_TILE = np.full((1, 1), np.nan, np.float32)


@dataclass(frozen=True)
class Rows:
    """Training rows: `values` is n x cues with NaN where a cue could not be had; the rest is one entry a row."""

    cues: tuple[str, ...]
    values: Floats
    material: tuple[str, ...]
    surface: tuple[str, ...]
    family: tuple[str, ...]


def looks() -> tuple[Look, ...]:
    """The rows of looks.csv."""
    table = resources.files("idkit.swatches").joinpath("looks.csv").read_text("utf-8").splitlines()
    lines = [line for line in table if not line.startswith("#")]
    return tuple(_look(row, number) for number, row in enumerate(csv.DictReader(lines), start=2))


def simulate(optics: Optics, lights: Floats, cues: Iterable[Cue], a_surface: int, seed: int) -> Rows:
    """`a_surface` parts of each material as found and as many scratched, shared among its looks by weight."""
    judged = tuple(cue for cue in cues if cue.judged)
    random = np.random.default_rng(seed)
    values, labels = [], []
    for look, count in _shares(looks(), a_surface):
        for colours in photograph(look, optics, lights, count, random):
            values.append([cue.measure(_patch(colours)).value for cue in judged])
        labels += [(look.material, look.surface, look.family)] * count
    material, surface, family = zip(*labels, strict=True)
    return Rows(tuple(cue.name for cue in judged), np.array(values), material, surface, family)


def lights(wavelength: Floats) -> Floats:
    """Illuminants of the CIE (daylight, lamp, LED, fluorescent) times the 1931 2 degree observer, as linear sRGB with
    white at 1; illuminants x wavelengths x 3. From colour-science."""
    import colour

    shape = colour.SpectralShape(float(wavelength[0]), float(wavelength[-1]), float(wavelength[1] - wavelength[0]))
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    to_rgb = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
    names = ("D65", "D50", "D75", "A", "FL2", "FL11", "LED-B1", "LED-B3", "LED-B5", "LED-V1")
    found = []
    for name in names:
        power = colour.SDS_ILLUMINANTS[name].copy().align(shape).values
        rgb = (power[:, None] * observer) @ to_rgb.T
        found.append(rgb / rgb.sum(axis=0))
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
    )


def _patch(colours: Floats) -> Patch:
    fit = see.fit_to_judge(colours)
    return Patch(colours[fit], NEUTRAL, NO_TILE, NO_TILE[..., None], 1.0, float(fit.mean()))


def _shares(all_looks: Sequence[Look], a_surface: int) -> list[tuple[Look, int]]:
    shares = []
    for look in all_looks:
        alike = [o.weight for o in all_looks if (o.material, o.surface) == (look.material, look.surface)]
        shares.append((look, max(1, round(a_surface * look.weight / sum(alike)))))
    return shares


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
