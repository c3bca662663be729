"""Traced parts on disk, in pieces of 50: a stopped run goes on with the piece it was at. Each part has its own seed."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from idkit.errors import TableError
from idkit.swatches.bodies import MAKINGS, Body, body
from idkit.swatches.denoising import denoised
from idkit.swatches.rooms import Room, room
from idkit.swatches.tracing import Traced, facing, traced
from idkit.vocabulary import Image

A_PIECE, SAMPLES = 50, 8
# Pieces of each making: 300 parts of those that most materials come in, 150 of the others.
PIECES = {"cast": 6, "sheet": 6, "drawn": 6, "moulded": 6, "filed": 3, "board": 3, "film": 3}
ROUGH = {"cast": (0.05, 0.7), "drawn": (0.04, 0.6)}  # roughness (GGX alpha) of metal by how it is made; from memory
FIELDS = ("mirror", "matt", "cover", "cosine", "hollow", "roughness", "lost")


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


def denoise(raw: Path, folder: Path, seed: int) -> list[Path]:
    """Denoise the traced pieces in `raw` that are not in the folder yet, side by side; the paths of all in it."""
    folder.mkdir(parents=True, exist_ok=True)
    missing = [path for path in in_folder(raw) if not (folder / path.name).exists()]
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as pool:  # a renderer's threads do not survive a fork
        list(pool.map(partial(_denoise, folder, seed), missing))
    return in_folder(folder)


def _denoise(folder: Path, seed: int, path: Path) -> None:
    made, _, number = path.stem.rpartition("-")
    first = int(number) * A_PIECE
    found = [denoised(part, facing_of(made, first + at, seed)) for at, part in enumerate(load(path))]
    save(found, folder / path.name)


def one(made: str, number: int, seed: int, samples: int = SAMPLES) -> Traced:
    """Part `number` of a making as it is traced, always the same for a seed."""
    random, shape, around = _drawn(made, number, seed)
    roughness = float(np.exp(random.uniform(*np.log(ROUGH.get(made, (0.02, 0.4))))))
    return traced(shape, around, roughness, samples, int(random.integers(2**31)))


def facing_of(made: str, number: int, seed: int) -> Image:
    """Which way that part faces: see tracing.facing."""
    _, shape, around = _drawn(made, number, seed)
    return facing(shape, around)


def _drawn(made: str, number: int, seed: int) -> tuple[np.random.Generator, Body, Room]:
    """A part and its room, and the generator that drew them."""
    random = np.random.default_rng((seed, list(MAKINGS).index(made), number))
    return random, body(made, random), room(random)


def in_folder(folder: Path) -> list[Path]:
    """The pieces that are there, by making and number."""
    return sorted(path for path in folder.glob("*-*.npz") if path.stem.rpartition("-")[0] in MAKINGS)


def save(parts: list[Traced], path: Path) -> None:
    """Write a piece in half precision, under another name first."""
    stacked = {name: np.array([getattr(part, name) for part in parts]) for name in FIELDS}
    halves = {name: np.clip(values, 0, 6e4).astype(np.float16) for name, values in stacked.items() if name != "lost"}
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
    images = (stacked[name].astype(np.float32) for name in FIELDS[:5])
    numbers = (stacked[name].tolist() for name in FIELDS[5:])
    return [Traced(*of_part) for of_part in zip(*images, *numbers, strict=True)]
