"""Small painted parts on white paper: quick to read, each unlike the others."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest

COLOURS = [(172, 148, 98), (168, 122, 96), (138, 138, 140), (150, 150, 152)]  # sRGB, from memory

Paint = Callable[[Path, int], Path]


def painted(path: Path, number: int) -> Path:
    """A disc of some metal's colour, in its folder, which is made where it is missing."""
    picture = np.full((150, 200, 3), 224, np.uint8)
    cv2.circle(picture, (100 + number % 7, 75), 40 + number % 5, COLOURS[number % len(COLOURS)][::-1], cv2.FILLED)
    noise = np.random.default_rng(number).normal(0, 2, picture.shape)
    done, data = cv2.imencode(path.suffix, np.clip(picture + noise, 0, 255).astype(np.uint8))
    assert done
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data.tobytes())
    return path


@pytest.fixture
def paint() -> Paint:
    return painted


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """Twelve photos of ten parts: two of them twice, one in a sub-folder, one broken."""
    folder = tmp_path / "bench"
    names = [f"hook-{number}" for number in (1, 2)] + [f"knob-{number}" for number in (1, 2)]
    names += ["bolt", "door/hinge", "elbow", "foot", "grip", "valve", "wheel"]
    for number, name in enumerate(names):
        painted(folder / f"{name}.jpg", number)
    (folder / "torn.jpg").write_bytes((folder / "bolt.jpg").read_bytes()[:700])
    return folder
