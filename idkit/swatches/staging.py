"""A part on a bench under a phone, as a scene for Mitsuba: where it lies, where the phone is, what comes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from idkit.errors import MissingExtra, installing
from idkit.swatches.benches import LIGHTS, SHEET, SPAN, bench, lighting, paper_height
from idkit.swatches.meshes import Mesh
from idkit.swatches.parts import Part
from idkit.swatches.shapes import Points, rotation, single
from idkit.swatches.skins import dull, grained, skin_of
from idkit.swatches.snapshot import Phone, Picture

WIDTH, HEIGHT = 768, 576
FIELD = 46.0  # width of the view in degrees


@dataclass(frozen=True)
class Scene:
    """One picture: which part, on what, in what light, seen from where.

    `turn` turns the part on the bench in degrees; the camera looks at the part's middle from `elevation` degrees above
    the bench, near enough that the part spans `fill` of the picture; `paper` is the turn of the sheet, or None.
    """

    seed: int
    ground: str
    light: str
    turn: float
    elevation: float
    fill: float
    paper: float | None
    phone: Phone


# Where things lie ---------------------------------------------------------------------------------------------------


def posed(scene: Scene, part: Part, points: Points) -> Points:
    """Where points of the part come to lie, before it is lowered onto the bench."""
    return single(points @ part.pose.T @ rotation("z", scene.turn).T)


def resting(scene: Scene, part: Part, mesh: Mesh) -> Points:
    """How far the posed part is moved to lie on its bench or sheet, its middle over the origin."""
    points = posed(scene, part, mesh.vertices)
    low, high = points.min(axis=0), points.max(axis=0)
    ground = 0.0 if scene.paper is None else float(paper_height(single(0), single(0)))
    return single([-(low[0] + high[0]) / 2, -(low[1] + high[1]) / 2, ground - low[2]])


def mesh_spread(scene: Scene, part: Part, mesh: Mesh) -> Points:
    """How far the posed part reaches along x, y and z, in mm."""
    return single(np.ptp(posed(scene, part, mesh.vertices), axis=0))


def viewpoint(scene: Scene, spread: Points) -> tuple[Picture, Picture]:
    """Where the phone is and what it looks at, for a part of that size; it is held over the bench, in front."""
    angle = np.radians(scene.elevation)
    reach = max(spread[0], (spread[1] * np.sin(angle) + spread[2] * np.cos(angle)) * WIDTH / HEIGHT)
    distance = float(reach / scene.fill / (2 * np.tan(np.radians(FIELD / 2))))
    middle = np.array([0.0, 0.0, float(spread[2]) * 0.35])
    return middle + distance * np.array([0, -np.cos(angle), np.sin(angle)]), middle


def projected(scene: Scene, spread: Points, points: Points) -> Picture:
    """Where points in mm come to lie in the picture, n x 2 pixels from its top left corner."""
    origin, middle = viewpoint(scene, spread)
    forward = (middle - origin) / np.linalg.norm(middle - origin)
    across = np.array([1.0, 0.0, 0.0])
    q = points - origin
    focal = WIDTH / 2 / np.tan(np.radians(FIELD / 2))
    plane = np.stack([q @ across, -(q @ np.cross(across, forward))], axis=-1) / (q @ forward)[:, None]
    return np.asarray(plane * focal + [WIDTH / 2, HEIGHT / 2])


# For Mitsuba --------------------------------------------------------------------------------------------------------


def renderer() -> Any:
    """Mitsuba, set to full spectra on one processor's instructions: slow, and the same everywhere."""
    try:
        import mitsuba
    except ImportError as error:
        thing, got = "rendering", "Mitsuba is not installed"
        raise MissingExtra(thing, got, "", installing("swatches")) from error
    mitsuba.set_variant("scalar_spectral")
    return mitsuba


def sensor(mi: Any, scene: Scene, spread: Points, width: int, height: int, samples: int) -> dict[str, Any]:
    """The phone's sensor and lens."""
    origin, middle = viewpoint(scene, spread)
    film = {"type": "hdrfilm", "width": width, "height": height, "pixel_format": "rgb", "rfilter": {"type": "box"}}
    return {
        "type": "perspective",
        "fov": FIELD,
        "to_world": mi.ScalarTransform4f().look_at(origin.tolist(), middle.tolist(), [0, 0, 1]),
        "film": film,
        "sampler": {"type": "ldsampler", "sample_count": samples, "seed": scene.seed},
    }


def solid_of(mi: Any, scene: Scene, part: Part, mesh: Mesh) -> Any:
    """The part as a Mitsuba mesh with its finish."""
    properties = mi.Properties()
    properties["bsdf"] = mi.load_dict(dict(part.finish.material))
    solid = mi.Mesh("part", len(mesh.vertices), len(mesh.faces), properties, has_vertex_normals=True)
    skin = skin_of(mesh, part.solid)
    for name, weight in part.finish.weights.items():
        solid.add_attribute(f"vertex_{name}", 1, single(weight(skin)))
    parameters = mi.traverse(solid)
    parameters["vertex_positions"] = (posed(scene, part, mesh.vertices) + resting(scene, part, mesh)).ravel()
    parameters["vertex_normals"] = posed(scene, part, grained(mesh, part.finish.grain, part.step)).ravel()
    parameters["faces"] = mesh.faces.ravel()
    parameters.update()
    return solid


def sheet(mi: Any, turn: float) -> Any:
    """A sheet of A5 writing paper."""
    x, y = np.meshgrid(np.linspace(-SHEET[0], SHEET[0], 100), np.linspace(-SHEET[1], SHEET[1], 70))
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    points = np.stack([c * x - s * y, s * x + c * y, paper_height(single(x), single(y))], axis=-1)
    corner = (np.arange(69)[:, None] * 100 + np.arange(99)).ravel()
    halves = ((0, 1, 100), (1, 101, 100))
    faces = np.concatenate([np.stack([corner + i for i in half], axis=1) for half in halves])
    properties = mi.Properties()
    properties["bsdf"] = mi.load_dict({"type": "twosided", "bsdf": dull(0.84, 0.84, 0.83)})
    mesh = mi.Mesh("sheet", 7000, len(faces), properties)
    parameters = mi.traverse(mesh)
    parameters["vertex_positions"], parameters["faces"] = single(points).ravel(), faces.astype(np.uint32).ravel()
    parameters.update()
    return mesh


def rendered(scene: Scene, part: Part, mesh: Mesh, width: int, height: int, samples: int) -> Picture:
    """Linear sRGB of the scene, as the light falls."""
    mi = renderer()
    whole = world(mi, scene, part, mesh, (width, height, samples), bench(mi, scene.ground, scene.seed))
    return np.asarray(mi.render(mi.load_dict(whole), seed=scene.seed), dtype=np.float64)


def world(
    mi: Any, scene: Scene, part: Part, mesh: Mesh, frame: tuple[int, int, int], top: dict[str, Any]
) -> dict[str, Any]:
    """Part, bench `top`, paper, lights and phone for Mitsuba; `frame` is width, height and samples a pixel."""
    found: dict[str, Any] = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 7},
        "sensor": sensor(mi, scene, mesh_spread(scene, part, mesh), *frame),
        "bench": top,
        "part": solid_of(mi, scene, part, mesh),
        **lighting(mi, LIGHTS[scene.light], scene.seed),
    }
    if scene.paper is not None:
        found["sheet"] = sheet(mi, scene.paper)
    return found


def white_of(scene: Scene) -> Picture:
    """Linear sRGB that a flat white sheet gives in this light."""
    mi = renderer()
    flat = mi.ScalarTransform4f().scale([SPAN / 2, SPAN / 2, 1])
    world = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 2},
        "sensor": sensor(mi, scene, single([40, 40, 0]), 16, 12, 256),
        "bench": {"type": "rectangle", "to_world": flat, "bsdf": dull(0.85, 0.85, 0.85)},
        **lighting(mi, LIGHTS[scene.light], scene.seed),
    }
    return np.asarray(np.median(mi.render(mi.load_dict(world), seed=scene.seed), axis=(0, 1)), dtype=np.float64)
