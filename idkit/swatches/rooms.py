"""What lights a part and what it mirrors: lamps, windows, ceiling and walls, dark corners, whoever holds the phone.

A room is drawn as panoramas, one for each light that is traced alone, so that their strengths and colours can be
chosen afterwards. How rooms are lit is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from idkit.swatches.surfaces import Random
from idkit.vocabulary import Floats, Image

LIGHTS = ("lamp", "other lamp", "walls", "other walls")  # panoramas; the ground is lit by them and shines on the part
ROWS, COLUMNS = 192, 384
FLASH = 0.08  # share of photographs lit from beside the lens


@dataclass(frozen=True)
class Room:
    """`panoramas` lights x ROWS x COLUMNS, each giving 1 on open flat ground; `view` the unit vector to the camera."""

    panoramas: Image
    view: Floats


def room(random: Random) -> Room:
    """A room or yard with one to three lamps or windows, walls with things before them, and somebody near the lens."""
    view = towards(random.uniform(0, 35), random)
    ways = directions()
    lamps = [_lamps(ways, view, random, int(count)) for count in (random.integers(1, 3), 1)]
    base = np.full(ways.shape[:2], 1.0, np.float32)
    walls = [np.maximum(base * level + _things(ways, view, random), 0.02) for level in (1.0, random.uniform(0, 1))]
    return Room(np.stack([each / on_ground(each) for each in (*lamps, *walls)]).astype(np.float32), view)


def directions() -> Image:
    """Unit vectors to the pixels of a panorama, ROWS x COLUMNS x 3; rows run from straight up to straight down."""
    down = np.pi * (np.arange(ROWS) + 0.5) / ROWS
    around = 2 * np.pi * (np.arange(COLUMNS) + 0.5) / COLUMNS
    across = np.sin(down)[:, None]
    flat = np.broadcast_to(np.cos(down)[:, None], (ROWS, COLUMNS))
    return np.stack([across * np.sin(around), across * np.cos(around), flat], axis=2).astype(np.float32)


def on_ground(panorama: Image) -> float:
    """What open white ground sends back under it: the mean of the sky, weighed by its height.

    >>> round(on_ground(np.ones((ROWS, COLUMNS), np.float32)), 2)
    1.0
    """
    down = np.pi * (np.arange(ROWS) + 0.5) / ROWS
    weight = np.sin(down) * np.clip(np.cos(down), 0, None)
    return float(np.average(panorama.mean(axis=1), weights=weight))


def towards(tilt: float, random: Random) -> Floats:
    """A unit vector so many degrees off the vertical, any way round."""
    angle, turn = np.radians(tilt), random.uniform(0, 2 * np.pi)
    return np.array([np.sin(angle) * np.cos(turn), np.sin(angle) * np.sin(turn), np.cos(angle)])


def _lamps(ways: Image, view: Floats, random: Random, count: int) -> Image:
    """Lamps and windows, from a bright half sky to a bulb a few degrees wide."""
    total = np.full(ways.shape[:2], 1e-4, np.float32)
    for _ in range(count):
        axis = _near(view, random) if random.random() < FLASH else towards(random.uniform(10, 75), random)
        sharpness = float(np.exp(random.uniform(np.log(4), np.log(900))))
        total = total + random.uniform(0.3, 1) * sharpness * _lobe(ways, axis, sharpness)
    return np.asarray(total, np.float32)


def _things(ways: Image, view: Floats, random: Random) -> Image:
    """Walls, shelves, doors and people, brighter or darker than the rest; blocks with edges as often as soft ones."""
    spread = random.uniform(0.4, 1.8)
    total = np.zeros(ways.shape[:2], np.float32)
    for _ in range(int(random.integers(6, 22))):
        axis, sharpness = towards(random.uniform(5, 95), random), float(np.exp(random.uniform(np.log(2), np.log(80))))
        lobe = _lobe(ways, axis, sharpness)
        total = total + random.normal(0, spread) * (lobe if random.random() < 0.5 else (lobe > 0.5).astype(np.float32))
    person = _lobe(ways, _near(view, random), float(np.exp(random.uniform(np.log(5), np.log(25)))))
    return np.asarray(total - random.uniform(0, 0.9) * person, np.float32)


def _lobe(ways: Image, axis: Floats, sharpness: float) -> Image:
    """exp(sharpness (direction . axis - 1))."""
    return np.asarray(np.exp(sharpness * (ways @ axis.astype(np.float32) - 1)), np.float32)


def _near(view: Floats, random: Random) -> Floats:
    axis = view + random.normal(0, 0.2, 3)
    return np.asarray(axis / np.linalg.norm(axis))
