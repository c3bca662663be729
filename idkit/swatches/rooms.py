"""What lights a part and what it mirrors: lamps, windows, ceiling and walls, dark corners, whoever holds the phone.

A room is drawn as panoramas, one for each light that is traced alone, so that their strengths and colours can be
chosen afterwards. How rooms are lit is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from idkit.swatches.surfaces import Random
from idkit.vocabulary import Floats, Image, Mask

LIGHTS = ("lamp", "other lamp", "walls", "other walls")  # panoramas; the ground is lit by them and shines on the part
ROWS, COLUMNS = 192, 384
FLASH = 0.08  # share of photographs lit from beside the lens
LEAVES, SMALLEST, LARGEST = 900, 0.03, 0.8  # things in a room and their radii in radians


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
    walls = [_walls(ways, view, random) for _ in range(2)]
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
    """Lamps and windows, from a bright half sky to a bulb a few degrees wide, with edges or without."""
    total = np.full(ways.shape[:2], 1e-4, np.float32)
    for _ in range(count):
        axis = _near(view, random) if random.random() < FLASH else towards(random.uniform(10, 75), random)
        sharpness = float(np.exp(random.uniform(np.log(4), np.log(900))))
        lobe = _lobe(ways, axis, sharpness)
        lobe = lobe if random.random() < 0.5 else (lobe > 0.5).astype(np.float32)
        total = total + random.uniform(0.3, 1) * sharpness * lobe
    return np.asarray(total, np.float32)


def _walls(ways: Image, view: Floats, random: Random) -> Image:
    """Ceiling, walls, doors, shelves and what stands on them, large and small, one before the other; brighter toward
    the ceiling or darker; and before the part whoever holds the phone, mostly darker than the rest."""
    total = _leaves(ways, random)
    above = np.clip(ways[..., 2], 0, 1)
    spread = random.uniform(0.5, 1.6) / max(float(total[above > 0].std()), 1e-3)
    person = _lobe(ways, _near(view, random), float(np.exp(random.uniform(np.log(4), np.log(25)))))
    left = 1 - random.uniform(0, 0.97) * person
    return np.asarray(np.exp(spread * total + random.uniform(-0.7, 1.3) * above) * left, np.float32)


def _leaves(ways: Image, random: Random) -> Image:
    """Round and square things that hide each other, of ln luminance 0 +- 1, as many times more as they are smaller.

    With sizes r as r to the power -3 a picture of them has as much contrast in each octave as real surroundings have:
    Lee, Mumford and Huang 2001, Occlusion models for natural images; Dror, Leung, Adelson and Willsky 2001, Statistics
    of real-world illumination.
    """
    total = np.zeros(ways.shape[:2], np.float32)
    for size in _sizes(random).tolist():
        axis = towards(np.degrees(np.arccos(random.uniform(-0.2, 1))), random).astype(np.float32)
        where = _round(ways, axis, size) if random.random() < 0.4 else _square(ways, axis, size, random)
        total[where] = random.normal()
    return total


def _sizes(random: Random) -> Floats:
    """Radii of some hundred things, radians."""
    return np.asarray(SMALLEST / np.sqrt(1 - random.random(LEAVES) * (1 - (SMALLEST / LARGEST) ** 2)))


def _round(ways: Image, axis: Image, size: float) -> Mask:
    return np.asarray(ways @ axis > np.cos(size))


def _square(ways: Image, axis: Image, size: float, random: Random) -> Mask:
    """What lies within `size` of a direction along two axes across it, up to three times as far along one of them."""
    aside = np.cross(axis, np.array([0.0, 0.0, 1.0], np.float32) + np.float32(1e-3))
    aside /= np.linalg.norm(aside)
    along = np.cross(axis, aside)
    wide = float(np.exp(random.uniform(-0.55, 0.55)))
    reach = np.sin(min(size, 1.4))
    near = np.abs(ways @ aside) < reach * wide, np.abs(ways @ along) < reach / wide
    return np.asarray((ways @ axis > 0) & near[0] & near[1])


def _lobe(ways: Image, axis: Floats, sharpness: float) -> Image:
    """exp(sharpness (direction . axis - 1))."""
    return np.asarray(np.exp(sharpness * (ways @ axis.astype(np.float32) - 1)), np.float32)


def _near(view: Floats, random: Random) -> Floats:
    axis = view + random.normal(0, 0.2, 3)
    return np.asarray(axis / np.linalg.norm(axis))
