"""What every member is asked about: painted photographs, and the rendered samples."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from idkit import see
from idkit.vocabulary import Patch

SAMPLES = Path(__file__).resolve().parents[2] / "sample_images"
Image = NDArray[np.uint8]


def disc(colour: tuple[int, int, int], radius: int = 220, grain: float = 12.0) -> Image:
    """A grainy disc of that red, green, blue in the middle of white paper, 800 x 600."""
    random = np.random.default_rng(4)
    image = np.full((600, 800, 3), 235.0) + random.normal(0, 1.5, (600, 800, 1))
    y, x = np.mgrid[:600, :800]
    inside = (x - 400) ** 2 + (y - 300) ** 2 < radius**2
    image[inside] = np.array(colour) + random.normal(0, grain, (int(inside.sum()), 1))
    return np.clip(image, 0, 255).astype(np.uint8)


def noise() -> Image:
    return np.random.default_rng(5).integers(0, 256, (240, 320, 3), dtype=np.uint8)


PAINTED: Mapping[str, Callable[[], Image]] = {
    "grey": lambda: disc((120, 120, 122)),
    "copper": lambda: disc((190, 105, 80)),
    "brass": lambda: disc((200, 170, 90)),
    "rust": lambda: disc((95, 55, 35), grain=25.0),
    "green": lambda: disc((70, 140, 110)),
    "pure red": lambda: disc((255, 0, 0), grain=0.0),
    "pure blue": lambda: disc((0, 0, 255), grain=0.0),
    "tiny": lambda: disc((120, 120, 122), radius=24),
    "black": lambda: np.zeros((200, 200, 3), np.uint8),
    "white": lambda: np.full((200, 200, 3), 255, np.uint8),
    "noise": noise,
    "one pixel": lambda: np.full((1, 1, 3), 128, np.uint8),
    "thin": lambda: np.full((3, 500, 3), 128, np.uint8),
}


@pytest.fixture(scope="session")
def patches(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Patch]:
    """The patch of each painted photo and of each sample, by name."""
    folder = tmp_path_factory.mktemp("painted")
    found = {}
    for name, paint in PAINTED.items():
        path = folder / f"{name}.png"
        assert cv2.imwrite(str(path), cv2.cvtColor(paint(), cv2.COLOR_RGB2BGR))
        found[name] = patch_of(path)
    for path in sorted(SAMPLES.glob("*.jpg")):
        found[path.name] = patch_of(path)
    return found


@pytest.fixture(scope="session")
def samples() -> tuple[Mapping[str, str], ...]:
    """The rows of sample_images/index.csv."""
    with (SAMPLES / "index.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def patch_of(path: Path) -> Patch:
    photo = see.read(path)
    part = see.find(photo) or see.whole(photo)
    return see.of_part(photo, part, see.white(photo, part))
