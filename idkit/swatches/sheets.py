"""Contact sheets: what each material looks like in the training photographs, to be held against real ones."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import cv2
import numpy as np

from idkit.swatches import pieces
from idkit.swatches.rows import photographed, shown_on
from idkit.swatches.surfaces import Look, Optics, Random
from idkit.swatches.tracing import Traced
from idkit.vocabulary import Floats

ACROSS, SIDE = 10, 150  # photographs in a line, pixels of each


def draw(
    of: Sequence[Look], paths: Sequence[Path], optics: Optics, illuminants: Floats, folder: Path, seed: int
) -> None:
    """One PNG a material in the folder: a line for each look, on parts of its making picked by chance."""
    folder.mkdir(parents=True, exist_ok=True)
    random = np.random.default_rng(seed)
    for material in dict.fromkeys(look.material for look in of):
        looks = [look for look in of if look.material == material]
        lines = [line for look in looks if (line := _line(look, paths, optics, illuminants, random)) is not None]
        if lines:
            cv2.imwrite(str(folder / f"{material}.png"), np.vstack(lines)[..., ::-1])


def _line(look: Look, paths: Sequence[Path], optics: Optics, illuminants: Floats, random: Random) -> np.ndarray | None:
    """SIDE x ACROSS SIDE x 3; None where no part of its making is traced yet."""
    suited = [path for path in paths if shown_on(look, path.stem.rpartition("-")[0])]
    if not suited:
        return None
    path = suited[int(random.integers(len(suited)))]
    filed = path.stem.startswith("filed")
    parts: list[Traced] = pieces.load(path)
    chosen = random.choice(len(parts), min(ACROSS, len(parts)), replace=False)
    shots = [photographed(look, parts[i], optics, illuminants, random, filed=filed)[0].encoded for i in chosen]
    return np.hstack([cv2.resize(shot, (SIDE, SIDE)) for shot in shots])
