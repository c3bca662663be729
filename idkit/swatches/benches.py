"""What a part lies on and what light falls on it: benches, sheets of paper, a room, windows and lamps, for Mitsuba.

Colours of wood, stone and paper are linear sRGB reflectances; lamps are blackbodies, daylight is CIE D65.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from idkit.swatches.relief import fractal, lattice, step
from idkit.swatches.shapes import Points, rotation, single

SPAN = 720.0  # side of a bench top in mm
PIXELS = 1600
SHEET = (105.0, 74.0)  # half the sides of a sheet of A5 in mm


@dataclass(frozen=True)
class Ground:
    """Colour h x w x 3 and height h x w (mm) of a bench top, `SPAN` wide."""

    colour: Points
    height: Points


@dataclass(frozen=True)
class Light:
    """One kind of light: strength of a window (D65) and a lamp (blackbody, kelvin), colour of the room.

    The room is what metal mirrors: its walls are lit by the same lamp and window, so it is about as warm as they are
    together; a bulb's room that is much bluer than its own light makes brass greenish.
    """

    window: float
    lamp: float
    kelvin: float
    room: tuple[float, float, float]
    lamp_at: tuple[float, float, float] = (-350.0, 250.0, 600.0)
    lamp_size: float = 55.0


LIGHTS = {
    "window": Light(window=9.0, lamp=0.0, kelvin=2800, room=(0.75, 0.78, 0.8)),
    "overcast": Light(window=6.0, lamp=0.0, kelvin=2800, room=(0.95, 0.98, 1.02)),
    "bulb": Light(window=0.6, lamp=330.0, kelvin=2750, room=(1.43, 0.64, 0.18), lamp_at=(-330, 330, 720)),
    "tube": Light(window=2.0, lamp=80.0, kelvin=4300, room=(0.9, 0.84, 0.72), lamp_at=(260, 120, 800), lamp_size=95.0),
}


def grid() -> Points:
    """Points of a bench top in mm, PIXELS x PIXELS x 3."""
    axis = (np.arange(PIXELS, dtype=np.float32) + single(0.5)) * single(SPAN / PIXELS) - single(SPAN / 2)
    x, y = np.meshgrid(axis, axis)
    return np.stack([x, y, np.zeros_like(x)], axis=-1)


def mixed(weight: Points, first: tuple[float, ...], second: tuple[float, ...]) -> Points:
    """The first colour where the weight is 0, the second where it is 1."""
    share = np.clip(weight, 0, 1)[..., None]
    return single((1 - share) * single(first) + share * single(second))


def wood(seed: int) -> Ground:
    """A worn bench of softwood planks along x: year rings, fine grain, dents and stains."""
    p = grid()
    plank = np.floor(p[..., 1] / 118 + 0.37)
    shifted = p + np.stack([plank * 391, plank * 57, plank * 83], axis=-1).astype(np.float32)
    warp = fractal(seed, (420, 60, 60), 3)(shifted)
    rings = np.sin(shifted[..., 1] * single(0.33) + 9 * warp) * 0.5 + 0.5
    fine = fractal(seed + 5, (46, 1.6, 1.6), 3)(shifted)
    stain = fractal(seed + 9, 120, 5)(p)
    tone = 0.30 * rings**3 + 0.42 * fine + 0.35 * stain + 0.13 * np.sin(plank * 2.4) + 0.36
    colour = mixed(tone, (0.40, 0.265, 0.15), (0.175, 0.092, 0.043))
    gap = step(np.abs((p[..., 1] / 118 + 0.37) % 1 - 0.5), 0.488, 0.497)
    colour = mixed(gap, (1, 1, 1), (0.12, 0.1, 0.08)) * colour
    return Ground(colour, single(0.16 * fine + 0.1 * rings - 1.5 * gap))


def concrete(seed: int) -> Ground:
    """A concrete floor: sand grains, pores, dark stains."""
    p = grid()
    sand, blotch, stain = fractal(seed, 2.2, 3, 0.8)(p), fractal(seed + 4, 55, 5)(p), fractal(seed + 9, 190, 4)(p)
    pores = step(fractal(seed + 13, 2.6, 2)(p) + 0.5 * fractal(seed + 17, 41, 3)(p), 0.78, 0.95)
    tone = 0.45 + 0.22 * sand + 0.25 * blotch + 0.35 * step(stain, 0.1, 0.9)
    colour = mixed(tone, (0.42, 0.41, 0.385), (0.17, 0.165, 0.155)) * (1 - 0.6 * pores[..., None])
    return Ground(single(colour), single(0.28 * sand - 0.9 * pores + 0.4 * blotch))


def painted(seed: int) -> Ground:
    """A steel-topped bench with old grey-green paint, scratched and oily."""
    p = grid()
    scratch = step(fractal(seed, (60, 2.0, 2), 3)(single(p @ rotation("z", -24))), 0.5, 0.7)
    oil, fine = fractal(seed + 4, 90, 5)(p), lattice(seed + 9, 1.1)(p)
    colour = mixed(0.5 + 0.6 * oil, (0.19, 0.215, 0.19), (0.125, 0.14, 0.125))
    return Ground(mixed(0.55 * scratch, (1, 1, 1), (1.9, 1.75, 1.7)) * colour, single(0.05 * fine - 0.05 * scratch))


BENCHES: dict[str, Callable[[int], Ground]] = {"wood": wood, "concrete": concrete, "painted": painted}


def bench(mi: Any, kind: str, seed: int) -> dict[str, Any]:
    """A bench top at z = 0."""
    return laid(mi, BENCHES[kind](seed))


def laid(mi: Any, ground: Ground) -> dict[str, Any]:
    """A ground that is made already, at z = 0."""
    colour = {"type": "bitmap", "bitmap": mi.Bitmap(ground.colour), "raw": False}
    height = {"type": "bitmap", "bitmap": mi.Bitmap(ground.height[..., None]), "raw": True}
    bsdf = {"type": "bumpmap", "arbitrary": height, "scale": 0.004, "bsdf": {"type": "diffuse", "reflectance": colour}}
    to_world = mi.ScalarTransform4f().scale([SPAN / 2, SPAN / 2, 1])
    return {"type": "rectangle", "to_world": to_world, "bsdf": bsdf}


def paper_height(x: Points, y: Points) -> Points:
    """A sheet flat in the middle, rising a little toward its edges and curling at one corner."""
    away = np.maximum(np.hypot(x / SHEET[0], y / SHEET[1]) - 0.75, 0)
    curl = np.maximum(x / SHEET[0] + y / SHEET[1] - 1.4, 0)
    wave = np.sin(x / 31) * np.sin(y / 43 + 1)
    return single(0.25 + away * (3.0 + 1.6 * wave) + 20 * curl**2)


def room(light: Light, seed: int) -> Points:
    """The surroundings as a panorama, 256 x 512 x 3: pale ceiling, walls, shelves, a dark floor, a bright window.

    Rows run from straight up to straight down; columns go once around.
    """
    rows, columns = np.mgrid[0:256, 0:512].astype(np.float32)
    height, turn = 90 - (rows + 0.5) * 180 / 256, (columns + 0.5) * 360 / 512
    tone = 0.55 + 0.35 * step(height, 25, 45) - 0.4 * step(height, 4, -8)
    for start, width, low, high, grey in np.random.default_rng(seed).uniform(
        (0, 15, -25, 5, 0.08), (360, 50, 0, 38, 0.55), (9, 5)
    ):
        inside = ((turn - start) % 360 < width) & (height > low) & (height < high)
        tone = np.where(inside, grey, tone)
    panorama = tone[..., None] * single(light.room)
    pane = ((turn - 300) % 360 < 44) & (height > 12) & (height < 58)
    bars = (np.abs((turn - 300) % 360 - 22) < 1.2) | (np.abs(height - 36) < 1.2)
    day = single(light.window) * single([0.97, 1.0, 1.05])
    return single(np.where((pane & ~bars)[..., None], day, panorama))


def planckian(kelvin: float, strength: float) -> dict[str, Any]:
    """The spectrum of a blackbody by Planck's law, `strength` at 560 nm; c2 = 1.4388e7 nm K (CODATA 2018)."""
    nanometres = np.arange(360, 831, 10)
    power = nanometres**-5.0 / np.expm1(1.4388e7 / (nanometres * kelvin))
    values = strength * power / power[nanometres == 560]
    return {
        "type": "irregular",
        "wavelengths": ", ".join(map(str, nanometres)),
        "values": ", ".join(f"{value:.6g}" for value in values),
    }


def lighting(mi: Any, light: Light, seed: int) -> dict[str, Any]:
    """The emitters of a scene, in millimetres with z up."""
    upright = mi.ScalarTransform4f().rotate([0, 0, 1], 35).rotate([1, 0, 0], 90)
    around = {"type": "envmap", "bitmap": mi.Bitmap(room(light, seed)), "to_world": upright}
    if not light.lamp:
        return {"room": around}
    lamp = {
        "type": "sphere",
        "center": list(light.lamp_at),
        "radius": light.lamp_size,
        "emitter": {"type": "area", "radiance": planckian(light.kelvin, light.lamp)},
    }
    return {"room": around, "lamp": lamp}
