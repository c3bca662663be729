"""What a part mirrors: sky or ceiling, windows and lamps, dark corners, whoever holds the phone, and the ground.

Everything above the ground is a sum of lobes exp(sharpness (direction . axis - 1)), which blur into each other in
closed form (spherical Gaussians: Wang, Ren, Gong, Snyder and Guo 2009). How rooms are lit is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from idkit import see
from idkit.swatches.surfaces import Random
from idkit.vocabulary import Floats, Image

COSINE = 2.133  # sharpness of the lobe nearest to a cosine
MIRED = np.array([see.MIRED[0], 0.0, see.MIRED[1]])  # ln red, green, blue for one mired


@dataclass(frozen=True)
class Surroundings:
    """`axes` k x 3 unit vectors, `sharpness` k, `power` k x 3 linear red, green, blue; `ambient` and `ground` 3 each.

    Scaled so that a perfect white lying flat gives 1, 1, 1. `view` points to the camera.
    """

    axes: Floats
    sharpness: Floats
    power: Floats
    ambient: Floats
    ground: Floats
    view: Floats


def surroundings(ground: Floats, random: Random) -> Surroundings:
    """A room or yard with one to three lights of nearly one colour, or a window and a lamp that differ."""
    lights = int(random.integers(1, 4))
    broad = int(random.integers(8, 26))
    view = _towards(random.uniform(0, 35), random)
    axes = [_towards(random.uniform(15, 75), random) for _ in range(lights)]
    axes += [_towards(random.uniform(5, 95), random) for _ in range(broad)]
    axes.append(_near(view, random))
    sharp = np.exp(random.uniform(np.log(5), np.log(300), lights))
    wide = np.exp(random.uniform(np.log(2), np.log(80), broad))
    sharpness = np.concatenate([sharp, wide, [np.exp(random.uniform(np.log(5), np.log(25)))]])
    given = random.uniform(0.3, 2.5, lights) * (sharp + COSINE) / COSINE  # what each adds to a flat white
    ambient = float(np.exp(random.uniform(np.log(0.03), np.log(0.8))))
    walls = random.normal(0, random.uniform(0.6, 2.2), broad) * ambient
    level = np.concatenate([given, walls, [-random.uniform(0, 0.9) * ambient]])
    mired = random.normal(0, 8, len(level))
    if random.random() < 0.2:  # window and lamp at once
        mired[:lights] += random.choice([-1, 1], lights) * random.uniform(0, 45)
    things = np.zeros((len(level), 3))
    things[lights:] = random.normal(0, random.uniform(0.02, 0.3), (len(level) - lights, 3))  # walls, clothes, hands
    power = level[:, None] * np.exp(mired[:, None] * MIRED + things)
    raw = Surroundings(np.array(axes), sharpness, power, np.full(3, ambient), ground, view)
    white = np.maximum(arriving(raw, np.array([[[0, 0, 1.0]]], np.float32))[0, 0], 0.05)
    return Surroundings(raw.axes, raw.sharpness, raw.power / white, raw.ambient / white, ground, view)


def mirrored(around: Surroundings, directions: Image, roughness: float) -> Image:
    """Light that a mirror of that roughness (GGX alpha) sends on from each direction, h x w x 3; white paper is 1."""
    sharp = 1 / (2 * max(roughness, 0.02) ** 2)  # of the reflected lobe, half vectors being half as far apart
    above = np.maximum(_lobes(around, directions, sharp), 0.02 * around.ambient)
    below = around.ground * np.clip(1 + 0.5 * directions[..., 2:], 0.4, 1)
    share = 1 / (1 + np.exp(np.clip(directions[..., 2:] / (0.04 + 0.5 * roughness), -30, 30)))
    return np.asarray(above * (1 - share) + below * share, np.float32)


def arriving(around: Surroundings, directions: Image) -> Image:
    """Light that falls on a matt surface of each direction, h x w x 3."""
    tilt = 0.5 - 0.5 * directions[..., 2:]
    lamps = _lobes(around, directions, COSINE) - around.ambient  # they lie above the ground, walls and all
    above = np.maximum(lamps + around.ambient * (1 - tilt), 0.05 * around.ambient)
    return np.asarray(above + around.ground * tilt, np.float32)


def _lobes(around: Surroundings, directions: Image, sharp: float) -> Image:
    both = around.sharpness * sharp / (around.sharpness + sharp)
    height = sharp / (around.sharpness + sharp)
    near = directions @ around.axes.T.astype(np.float32) - 1
    strength = np.exp(near * both.astype(np.float32))
    return np.asarray(around.ambient + strength @ (around.power * height[:, None]).astype(np.float32), np.float32)


def _towards(tilt: float, random: Random) -> Floats:
    """A unit vector so many degrees off the vertical, any way round."""
    angle, turn = np.radians(tilt), random.uniform(0, 2 * np.pi)
    return np.array([np.sin(angle) * np.cos(turn), np.sin(angle) * np.sin(turn), np.cos(angle)])


def _near(view: Floats, random: Random) -> Floats:
    axis = view + random.normal(0, 0.2, 3)
    return np.asarray(axis / np.linalg.norm(axis))
