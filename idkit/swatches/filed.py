"""Parts under a skin, with or without a spot filed through it, photographed: to measure how well bare metal is found.

Every picture follows from its seed alone. Shapes, skins, lights and cameras are invented; colours of the metals come
from published optical constants. Nothing is trained on them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from idkit.swatches import staging
from idkit.swatches.benches import BENCHES, Ground, laid
from idkit.swatches.meshes import Mesh, mesh_of
from idkit.swatches.parts import PARTS, Part
from idkit.swatches.relief import fractal, lattice, step
from idkit.swatches.shapes import Points, Vector, cut, hexagon, placed, ring, rod, single, slab, turned
from idkit.swatches.skins import (
    BRASS,
    CHROMIUM,
    COPPER,
    NICKEL,
    Finish,
    Skin,
    dull,
    metal,
    moulded,
    over,
)
from idkit.swatches.snapshot import Phone, developed, mended

WIDTH, HEIGHT = 320, 240
METALS = {"copper": COPPER, "yellow-brass": BRASS}
SKINS = ("tarnish", "paint", "chrome", "nickel")
TARNISH = {"copper": (0.13, 0.05, 0.027), "yellow-brass": (0.15, 0.095, 0.04)}
PAINTS = {
    "black": (0.02, 0.02, 0.022),
    "white": (0.75, 0.75, 0.72),
    "green": (0.03, 0.12, 0.05),
    "blue": (0.03, 0.08, 0.25),
    "red": (0.35, 0.025, 0.02),
    "grey": (0.22, 0.22, 0.22),
    "cream": (0.62, 0.52, 0.33),
}  # linear sRGB, from memory
TRIES = 8  # places looked at for the file before a picture is given up


@dataclass(frozen=True)
class Filed:
    """One picture: `picture` 8 bit, `part` and `bare` masks of its size, and what it shows."""

    picture: NDArray[np.uint8]
    part: NDArray[np.bool_]
    bare: NDArray[np.bool_]
    truth: Mapping[str, str]


@dataclass(frozen=True)
class Mark:
    """A filed flat: its middle on the surface, `axes` (columns along, across, outward), length, width, depth in mm."""

    middle: Points
    axes: Points
    length: float
    width: float
    depth: float

    def local(self, points: Points) -> Points:
        """Points of the part in the mark's own axes."""
        return single((points - self.middle) @ self.axes)


def photographed(seed: int, skin: str, base: str, *, filed: bool, samples: int = 16) -> Filed:
    """One picture of a part of the metal `base` under that skin; see SKINS and METALS."""
    random = np.random.default_rng(seed)
    solid, scene = plain_part(random), scene_of(random, seed)
    mesh = mesh_of(solid.solid, solid.low, solid.high, solid.step)
    for _ in range(TRIES if filed else 1):
        mark = mark_on(random, scene, solid, mesh) if filed else None
        part, finished = finish(random, solid, mark, skin, base)
        whole, bare = truth_masks(scene, part, finished, mark)
        if mark is None or bare.sum() > 0.004 * whole.sum():
            break
    image, _ = mended(rendered(scene, part, finished, samples))
    picture = developed(image, staging.white_of(scene), scene.phone, random)
    truth = {
        "seed": str(seed), "skin": skin, "material": base, "filed": str(filed), "light": scene.light,
        "ground": scene.ground if scene.paper is None else "paper",
    }  # fmt: skip
    return Filed(picture, whole, bare, truth)


def as_made(seed: int, name: str, samples: int = 16, other: Finish | None = None) -> Filed:
    """One of the sample parts with the skin it has, or the `other`, unfiled, under another light, from elsewhere."""
    random = np.random.default_rng(seed)
    part, scene = PARTS[name](), scene_of(random, seed)
    part = replace(part, finish=other) if other else part
    mesh = mesh_of(part.solid, part.low, part.high, part.step * 1.3)
    whole, bare = truth_masks(scene, part, mesh, None)
    image, _ = mended(rendered(scene, part, mesh, samples))
    picture = developed(image, staging.white_of(scene), scene.phone, random)
    truth = {"seed": str(seed), "skin": "own", "material": name, "filed": "False", "light": scene.light}
    return Filed(picture, whole, bare, {**truth, "ground": scene.ground if scene.paper is None else "paper"})


def plain_part(random: np.random.Generator) -> Part:
    """One of eight shapes, as yet without finish."""
    long, thick = random.uniform(35, 55), random.uniform(9, 15)
    drawn = (
        slab((0, 0, thick / 2), (long, thick, thick / 2), 1.5),
        rod((-long, 0, thick), (long, 0, thick), thick, 1.0),
        rod((0, 0, 0), (0, 0, thick), long * 0.7, 1.5),
        hexagon((-thick, 0, 20), (thick, 0, 20), 36, (0, 0, 1)),
        turned([(0, 0), (24, 0), (25, 4), (15, 12), (14, 24), (20, 30), (18, 38), (0, 40)], 1.0),
        ring((0, 0, thick * 0.7), (0, 0, 1), long * 0.6, thick * 0.7),
    )
    sample = random.integers(len(drawn) + 3)
    if sample < len(drawn):
        reach = long + thick + 4
        blank = Finish({})
        return Part(drawn[sample], (-reach, -reach, -3), (reach, reach, 46), 0.5, blank, single(np.eye(3)))
    part = PARTS[("elbow", "cross-handle", "tap")[sample - len(drawn)]]()
    return replace(part, step=part.step * 1.3)


def scene_of(random: np.random.Generator, seed: int) -> staging.Scene:
    """Where and how it is photographed: on paper 6 times in 10."""
    paper = random.uniform(-15, 15) if random.random() < 0.6 else None
    along = random.normal(0, 20 if paper is not None else 40)
    across = random.normal(0, 0.01)
    phone = Phone(
        (0.0036 * along + 0.0086 * across, -0.0062 * along + 0.005 * across), float(random.uniform(0.6, 0.85))
    )
    ground = str(random.choice(["wood", "concrete", "painted"]))
    light = str(random.choice(["window", "overcast", "bulb", "tube"]))
    turn, elevation, fill = random.uniform(0, 360), random.uniform(45, 70), random.uniform(0.55, 0.8)
    return staging.Scene(seed, ground, light, float(turn), float(elevation), float(fill), paper, phone)


def mark_on(random: np.random.Generator, scene: staging.Scene, part: Part, mesh: Mesh) -> Mark:
    """A spot filed where the part faces the phone."""
    origin, middle = staging.viewpoint(scene, staging.mesh_spread(scene, part, mesh))
    toward = single((origin - middle) / np.linalg.norm(origin - middle))
    facing = np.flatnonzero(staging.posed(scene, part, mesh.normals) @ toward > 0.72)
    spot = int(random.choice(facing if len(facing) else np.arange(len(mesh.vertices))))
    out = mesh.normals[spot]
    along = np.cross(out, random.normal(size=3))
    along /= np.linalg.norm(along)
    axes = single(np.stack([along, np.cross(out, along), out], axis=1))
    length, width = random.uniform(9, 24), random.uniform(3.5, 9)
    return Mark(mesh.vertices[spot], axes, float(length), float(width), float(random.uniform(0.15, 0.6)))


def finish(random: np.random.Generator, part: Part, mark: Mark | None, skin: str, base: str) -> tuple[Part, Mesh]:
    """The part with its flat cut and its skin on, and its mesh."""
    bare = _bare(mark, int(random.integers(1 << 30)))
    lines = lattice(int(random.integers(1 << 30)), (24, 0.9, 0.9))
    lower, weights = _skin(random, skin, base)
    material = over(lower, metal(METALS[base], random.uniform(0.2, 0.32), 0.85), "bare") if mark else lower
    grain: list[tuple[Callable[[Points], Points], float]] = [(fractal(int(random.integers(1 << 30)), 1.6, 2), 0.04)]
    solid = part.solid
    if mark is not None:
        weights = {**weights, "bare": lambda s: bare(s.points)}
        grain.append((lambda p: lines(mark.local(p)) * _inside(mark, p), 0.12))
        tool = slab((0, 0, 4), (mark.length / 2, mark.width / 2, 4), 0.3)
        offset = mark.middle - single(mark.depth) * mark.axes[:, 2]
        solid = cut(solid, placed(tool, mark.axes, _vector(offset)))
    done = replace(part, solid=solid, finish=Finish(material, weights, grain))
    return done, mesh_of(done.solid, done.low, done.high, done.step)


def truth_masks(
    scene: staging.Scene, part: Part, mesh: Mesh, mark: Mark | None
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Which pixels show the part, and which of them bare metal: from where each pixel's ray meets the scene."""
    mi = staging.renderer()
    world = _world(scene, part, mesh, 4)
    world["integrator"] = {"type": "aov", "aovs": "at:position,kind:shape_index"}
    seen = np.asarray(mi.render(mi.load_dict(world), seed=scene.seed), dtype=np.float64)
    bare = part.finish.weights.get("bare") if mark is not None else None
    at = single(np.nan_to_num(seen[..., -4:-1].reshape(-1, 3))) - staging.resting(scene, part, mesh)
    own = single(at @ np.linalg.inv(staging.posed(scene, part, single(np.eye(3)))))
    whole = np.abs(part.solid(own)).reshape(HEIGHT, WIDTH) < part.step
    if bare is None:
        return whole, np.zeros_like(whole)
    nothing = np.zeros(len(own), np.float32)
    shown = bare(Skin(own, single(np.zeros_like(own)), nothing, nothing)).reshape(HEIGHT, WIDTH)
    return whole, whole & (shown > 0.5)


def rendered(scene: staging.Scene, part: Part, mesh: Mesh, samples: int) -> NDArray[np.float64]:
    """Linear sRGB of the scene."""
    mi = staging.renderer()
    world = _world(scene, part, mesh, samples)
    return np.asarray(mi.render(mi.load_dict(world), seed=scene.seed), dtype=np.float64)


def _world(scene: staging.Scene, part: Part, mesh: Mesh, samples: int) -> dict[str, Any]:
    mi = staging.renderer()
    return staging.world(mi, scene, part, mesh, (WIDTH, HEIGHT, samples), laid(mi, _bench(scene.ground)))


@cache
def _bench(ground: str) -> Ground:
    """One bench top of each kind: to make one takes longer than to render a picture."""
    return BENCHES[ground](77)


def _skin(
    random: np.random.Generator, skin: str, base: str
) -> tuple[Mapping[str, Any], dict[str, Callable[[Skin], Points]]]:
    clouds = fractal(int(random.integers(1 << 30)), random.uniform(8, 22), 4)
    if skin == "paint":
        red, green, blue = PAINTS[str(random.choice(list(PAINTS)))]
        tone = random.uniform(0.9, 1.1)
        return moulded(red * tone, green * tone, blue * tone, random.uniform(0.1, 0.35)), {}
    if skin == "tarnish":
        low = random.uniform(0.45, 0.85)
        lower = over(metal(METALS[base], random.uniform(0.15, 0.3)), dull(*TARNISH[base]), "brown")
        return lower, {"brown": lambda s: np.clip(low + 0.35 * clouds(s.points) - 0.2 * s.edge, 0.1, 0.97)}
    plate = metal({"chrome": CHROMIUM, "nickel": NICKEL}[skin], "rough", 0.95)
    low = random.uniform(0.08, 0.22)
    weights: dict[str, Callable[[Skin], Points]] = {
        "rough": lambda s: np.clip(low + 0.08 * clouds(s.points), 0.05, 0.4),
        "film": lambda s: np.clip(0.12 + 0.2 * clouds(s.points) + 0.5 * s.hollow, 0.02, 0.9),
    }
    return over(plate, dull(0.3, 0.29, 0.27), "film"), weights


def _bare(mark: Mark | None, seed: int) -> Callable[[Points], Points]:
    """0 to 1: how bare each point is; the teeth of a file leave streaks of skin, most at the rim."""
    streaks = lattice(seed, (24, 0.9, 0.9))
    if mark is None:
        return lambda p: np.zeros(len(p), np.float32)
    return lambda p: step(_inside(mark, p) * (0.8 + 0.5 * streaks(mark.local(p))), 0.3, 0.5)


def _inside(mark: Mark, points: Points) -> Points:
    q = np.abs(mark.local(points))
    edge = 0.8
    along, across = (
        step(q[:, 0], mark.length / 2 + 0.4, mark.length / 2 - edge),
        step(q[:, 1], mark.width / 2 + 0.4, mark.width / 2 - edge),
    )
    return single(along * across * step(q[:, 2], 2.5, 1.5))


def _vector(point: Points) -> Vector:
    x, y, z = (float(value) for value in point)
    return x, y, z
