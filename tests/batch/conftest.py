"""Small painted parts on white paper: quick to read, each unlike the others."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest

from idkit.show import cli

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


def _bench(folder: Path) -> Path:
    """Nine photos of eight parts: one of them twice, one in a sub-folder, one broken."""
    names = ("hook-1", "hook-2", "bolt", "door/hinge", "elbow", "foot", "grip", "valve")
    for number, name in enumerate(names):
        painted(folder / f"{name}.jpg", number)
    (folder / "torn.jpg").write_bytes((folder / "bolt.jpg").read_bytes()[:700])
    return folder


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A folder of photos as they came from the phone."""
    return _bench(tmp_path / "bench")


@pytest.fixture(scope="session")
def _tagged_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = _bench(tmp_path_factory.mktemp("once") / "bench")
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("IDKIT_HOME", str(folder.parent / "home"))
        assert cli.run(["tag", str(folder), "--jobs", "1"]) == 1
    return folder


@pytest.fixture
def tagged(_tagged_once: Path, tmp_path: Path) -> Path:
    """The same after a run."""
    return Path(shutil.copytree(_tagged_once, tmp_path / "bench"))
