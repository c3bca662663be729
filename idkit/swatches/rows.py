"""Looks to training rows: traced parts painted and photographed, measured by the very cues that measure photographs."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from importlib import resources
from pathlib import Path

import numpy as np

from idkit import see
from idkit.errors import TableError
from idkit.swatches import camera, pieces
from idkit.swatches.fields import SIDE
from idkit.swatches.illuminants import lighting
from idkit.swatches.shading import shaded
from idkit.swatches.surfaces import Look, Optics, Random
from idkit.swatches.tracing import Traced
from idkit.vocabulary import Cue, Floats, Mask, Part, Photo, White

FILED, LEAST = 0.6, 400  # share of scratched ones that show a filed spot alone; its fewest pixels
TIMES = 1  # photographs of each part in each of its looks


@dataclass(frozen=True)
class Rows:
    """Training rows: `values` is n x cues with NaN where a cue could not be had; the rest is one entry a row.

    `weight` says how often such a row is met among those of its material and surface; it sums to 1 over them.
    `scene` is the traced part that it shows.
    """

    cues: tuple[str, ...]
    values: Floats
    material: tuple[str, ...]
    surface: tuple[str, ...]
    family: tuple[str, ...]
    weight: Floats
    scene: tuple[str, ...]


def looks() -> tuple[Look, ...]:
    """The rows of looks.csv."""
    table = resources.files("idkit.swatches").joinpath("looks.csv").read_text("utf-8").splitlines()
    lines = [line for line in table if not line.startswith("#")]
    return tuple(_look(row, number) for number, row in enumerate(csv.DictReader(lines), start=2))


def simulate(
    of: Sequence[Look], paths: Sequence[Path], optics: Optics, illuminants: Floats, cues: Iterable[Cue], seed: int
) -> Rows:
    """Every look on the traced parts of its makings in turn, measured by the judged cues; pieces go side by side."""
    judged = tuple(cue.name for cue in cues if cue.judged)
    measured = partial(_measured, of, dict(optics), illuminants, judged, seed)
    with ProcessPoolExecutor() as pool:
        found = [row for rows in pool.map(measured, paths) for row in rows]
    numbers, filed, scenes, values = zip(*found, strict=True)
    each = [of[number] for number in numbers]
    return Rows(
        judged,
        np.array(values),
        tuple(look.material for look in each),
        tuple(look.surface for look in each),
        tuple(look.family for look in each),
        _weights(of, numbers, filed),
        tuple(scenes),
    )


def photographed(
    look: Look, part: Traced, optics: Optics, illuminants: Floats, random: Random, *, filed: bool = False
) -> tuple[Photo, Part, White]:
    """One traced part in that look, as a phone shows it; of a `filed` one only the spot that was filed is the part."""
    under = lighting(illuminants, next(iter(optics.values())).wavelength, random)
    picture = shaded(look, part, under, optics, random)
    mask = part.mask & _spot(random) if filed else part.mask
    return camera.photograph(camera.camera(random), picture, mask if mask.sum() > LEAST else part.mask, random)


def shown_on(look: Look, made: str) -> bool:
    """Whether a look is met on parts of that making: its own; what is scratched, on a filed flat as well."""
    return made in look.made or (made == "filed" and look.surface == "scratched")


def in_turn(look: Look, made: str, number: int) -> bool:
    """Whether part `number` of a making has its turn: each second of two makings, each third of three."""
    return made not in look.made or number % len(look.made) == look.made.index(made)


def _measured(
    of: Sequence[Look], optics: Optics, illuminants: Floats, judged: Sequence[str], seed: int, path: Path
) -> list[tuple[int, bool, str, list[float]]]:
    """Of every look that suits a piece, on each part: number of the look, whether a filed spot, the part, its cues."""
    made, _, number = path.stem.rpartition("-")
    cues = [cue for cue in see.CUES if cue.name in judged]
    random = np.random.default_rng((seed, *path.stem.encode()))
    rows = []
    for at, part in enumerate(pieces.load(path)):
        for which, look in enumerate(of):
            for _ in range(TIMES if shown_on(look, made) and in_turn(look, made, at) else 0):
                patch = see.of_part(*photographed(look, part, optics, illuminants, random, filed=made == "filed"))
                scene = f"{made}-{int(number) * pieces.A_PIECE + at}"
                rows.append((which, made == "filed", scene, [cue.measure(patch).value for cue in cues]))
    return rows


def _weights(of: Sequence[Look], numbers: Sequence[int], filed: Sequence[bool]) -> Floats:
    """How often each row is met among those of its material and surface: by its look, and by whether it was filed."""
    counts: dict[tuple[int, bool], int] = {}
    for key in zip(numbers, filed, strict=True):
        counts[key] = counts.get(key, 0) + 1
    found = []
    for number, spot in zip(numbers, filed, strict=True):
        other = (number, not spot) in counts
        share = _share(of[number], of) * ((FILED if spot else 1 - FILED) if other else 1.0)
        found.append(share / counts[number, spot])
    return np.array(found)


def _spot(random: Random) -> Mask:
    """A filed spot: a rectangle a fifth to three fifths of the frame wide and high, near the middle."""
    mask = np.zeros((SIDE, SIDE), bool)
    wide, high = (int(side) for side in random.uniform(0.2, 0.6, 2) * SIDE)
    left, top = (SIDE - wide) // 2 + int(random.integers(-9, 10)), (SIDE - high) // 2 + int(random.integers(-9, 10))
    mask[top : top + high, left : left + wide] = True
    return mask


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
        scene=np.array(rows.scene),
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
            made=tuple(row["made"].split(";")),
            gloss=_range(row["gloss"]),
            grain=_grain(row["grain"]),
            worn=_range(row["worn"]),
        )
    except (ValueError, KeyError) as error:
        raise TableError("looks.csv", f"row {number} can't be read ({error})") from error


def _blend(text: str) -> tuple[str, float, float]:
    name, weights = text.split(":")
    return (name, *_range(weights))


def _grain(text: str) -> tuple[str, float]:
    name, _, share = text.partition(":")
    return name, float(share) if name else 0.0


def _range(text: str) -> tuple[float, float]:
    low, high = text.split("-")
    return float(low), float(high)
