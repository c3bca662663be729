"""Traced parts on disk, in pieces of 50: a stopped run goes on with the piece it was at. Each part has its own seed."""

from __future__ import annotations

from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from idkit.errors import TableError
from idkit.swatches.bodies import MAKINGS, body
from idkit.swatches.denoising import denoised
from idkit.swatches.rooms import room
from idkit.swatches.tracing import Traced, traced

A_PIECE, SAMPLES = 50, 8
# Pieces of each making: 300 parts of those that most materials come in, 150 of the others.
PIECES = {"cast": 6, "sheet": 6, "drawn": 6, "moulded": 6, "filed": 3, "board": 3, "film": 3}
ROUGH = {"cast": (0.05, 0.7), "drawn": (0.04, 0.6)}  # roughness (GGX alpha) of metal by how it is made; from memory
IMAGES = ("mirror", "matt", "cover", "facing", "cosine", "hollow")
FIELDS = (*IMAGES, "roughness", "lost")


def trace(folder: Path, seed: int) -> list[Path]:
    """Trace the pieces that are not in the folder yet; the paths of all, those of a making beside each other.

    First one piece of each making, then a second one, so that a run stopped early has some of all.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(max(PIECES.values())):
        for made, count in PIECES.items():
            path = folder / f"{made}-{number}.npz"
            if number < count and not path.exists():
                save([one(made, number * A_PIECE + part, seed) for part in range(A_PIECE)], path)
    return in_folder(folder)


def one(made: str, number: int, seed: int, samples: int = SAMPLES) -> Traced:
    """Part `number` of a making, traced and without grain, always the same for a seed."""
    random = np.random.default_rng((seed, list(MAKINGS).index(made), number))
    shape, around = body(made, random), room(random)
    roughness = float(np.exp(random.uniform(*np.log(ROUGH.get(made, (0.02, 0.4))))))
    return denoised(traced(shape, around, roughness, samples, int(random.integers(2**31))))


def in_folder(folder: Path) -> list[Path]:
    """The pieces that are there, by making and number."""
    return sorted(path for path in folder.glob("*-*.npz") if path.stem.rpartition("-")[0] in MAKINGS)


def save(parts: list[Traced], path: Path) -> None:
    """Write a piece in half precision, under another name first."""
    stacked = {name: np.array([getattr(part, name) for part in parts]) for name in FIELDS}
    # light from 0 up, normals from -1
    halves = {name: np.clip(values, -1, 6e4).astype(np.float16) for name, values in stacked.items() if name != "lost"}
    partial = path.with_suffix(".partial")
    with partial.open("wb") as file:
        np.savez_compressed(file, lost=stacked["lost"], **halves)
    partial.replace(path)


def load(path: Path) -> list[Traced]:
    """The traced parts of a piece; TableError where it can't be read."""
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as kept:
            stacked = {name: kept[name] for name in FIELDS}
    except (OSError, ValueError, KeyError, EOFError, BadZipFile) as error:
        raise TableError(path.name, f"can't be read ({error}); delete it and trace it again") from error
    images = (stacked[name].astype(np.float32) for name in IMAGES)
    numbers = (stacked[name].tolist() for name in FIELDS[len(IMAGES) :])
    return [Traced(*of_part) for of_part in zip(*images, *numbers, strict=True)]
