"""How light goes about a part, traced with Mitsuba 3 for each light alone: one tracing serves every metal and cover.

Where a path meets metal k times, each wavelength keeps reflectance to the power k. The part is traced as a mirror of
three reflectances at once (the three channels of a picture), and the light after one, two and three meetings follows
from them by solving three equations. What a metal, film or cover makes of it is then worked out over the spectrum.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np

from idkit.errors import MissingExtra, installing
from idkit.swatches.bodies import GRID, Body
from idkit.swatches.fields import SIDE
from idkit.swatches.rooms import LIGHTS, Room
from idkit.vocabulary import Floats, Image, Mask

MEETINGS = 3  # with metal that are told apart; paths with more are left out
CHANNELS = np.array([1.0, 0.6, 0.3])  # reflectance of the traced mirror
FIELD = 28.0  # width of the view in degrees
GROUND = "ground"  # is a light as well: it shines on the part from below
SOURCES = (*LIGHTS, GROUND)
WIDE = 40.0  # half the ground's side
BLACK = {"type": "diffuse", "reflectance": {"type": "rgb", "value": [0.0, 0.0, 0.0]}}


@dataclass(frozen=True)
class Traced:
    """Light about one part as the camera sees it, white paper lying open being 1 under each light of SOURCES.

    `mirror` sources x MEETINGS x side x side: after so many meetings with a perfect mirror of the part's roughness;
    `matt` sources x side x side: what white matt paint on the part, or white ground beside it, sends back;
    `cover` how much of each pixel is part; `facing` its unit normal, 3 x side x side, 0 beside it; `cosine` of the
    surface to the view; `hollow` 0 open to 1 in a pit; `lost` counts samples that were no numbers and were replaced.
    """

    mirror: Image
    matt: Image
    cover: Image
    facing: Image
    cosine: Image
    hollow: Image
    roughness: float
    lost: int = 0

    @property
    def mask(self) -> Mask:
        """Where the part is."""
        return np.asarray(self.cover > 0.5)


def traced(body: Body, room: Room, roughness: float, samples: int, seed: int) -> Traced:
    """Trace a part of that roughness (GGX alpha) in a room; `samples` a pixel."""
    mi = renderer()
    mesh, view = _mesh_of(body), room.view
    powers = np.linalg.inv(CHANNELS[:, None] ** np.arange(1, MEETINGS + 1))
    mirror = {"type": "roughconductor", "material": "none", "alpha": roughness, "specular_reflectance": _rgb(CHANNELS)}
    white = {"type": "diffuse", "reflectance": _rgb(np.ones(3))}
    met: list[Floats] = []
    flat: list[Floats] = []
    lost = 0
    for number, source in enumerate(SOURCES):
        lights = _lit(mi, room, (source,), BLACK)
        picture, bad = _shot(mi, mesh, mirror, lights, view, samples, MEETINGS + 1, seed + number)
        met.append(np.moveaxis(picture @ powers.T, 2, 0))
        lost += bad
    for number, three in enumerate((SOURCES[:3], SOURCES[3:])):  # a light in each channel of the picture
        picture, bad = _shot(mi, mesh, white, _lit(mi, room, three, white), view, 2 * samples, 2, seed + 10 + number)
        flat.extend(picture[..., channel] for channel in range(len(three)))
        lost += bad
    where, normals, cover = _geometry(mi, mesh, BLACK, view)
    cosine = np.clip(normals @ view.astype(np.float32), 0.05, 1)
    columns, rows = ((where[..., axis] + 1) * (GRID - 1) / 2 for axis in (0, 1))
    hollow = cv2.remap(body.hollow, columns.astype(np.float32), rows.astype(np.float32), cv2.INTER_LINEAR)
    return Traced(
        np.maximum(np.array(met, np.float32), 0),
        np.array(flat, np.float32),
        cover,
        np.moveaxis(normals, 2, 0),
        np.asarray(cosine, np.float32),
        np.asarray(hollow, np.float32),
        roughness,
        lost,
    )


def renderer() -> Any:
    """Mitsuba, set to three channels on one processor's instructions: the same everywhere."""
    try:
        import mitsuba
    except ImportError as error:
        thing, got = "rendering", "Mitsuba is not installed"
        raise MissingExtra(thing, got, "", installing("swatches")) from error
    mitsuba.set_variant("scalar_rgb")
    return mitsuba


def _shot(
    mi: Any, mesh: tuple[Floats, Any], skin: Any, lights: Any, view: Floats, samples: int, depth: int, seed: int
) -> tuple[Floats, int]:
    """Linear picture side x side x 3; how many of its pixels were no numbers and became their neighbours' median."""
    world = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": depth, "rr_depth": 64, "hide_emitters": True},
        "sensor": _camera(mi, view, samples, seed),
        "part": _solid(mi, mesh, skin),
        **lights,
    }
    picture = np.array(mi.render(mi.load_dict(world), seed=seed), dtype=np.float32)
    bad = ~np.isfinite(picture).all(axis=2)
    if bad.any():
        picture[bad] = 0
        calm = np.dstack([cv2.medianBlur(np.ascontiguousarray(picture[..., c]), 3) for c in range(3)])
        picture[bad] = calm[bad]
    return picture.astype(np.float64), int(bad.sum())


def _geometry(mi: Any, mesh: tuple[Floats, Any], skin: Any, view: Floats) -> tuple[Image, Image, Image]:
    """Where each pixel lies on the part (x, y, z), which way it faces, and how much of it is part."""
    world = {
        "type": "scene",
        "integrator": {"type": "aov", "aovs": "where:position,facing:sh_normal"},
        "sensor": _camera(mi, view, 8, 0),
        "part": _solid(mi, mesh, skin),
    }
    seen = np.array(mi.render(mi.load_dict(world), seed=0), dtype=np.float32)[..., -6:]
    length = np.linalg.norm(seen[..., 3:], axis=2)
    hit = np.maximum(length, 1e-3)[..., None]
    return seen[..., :3] / hit, seen[..., 3:] / hit, np.clip(length, 0, 1)


def _camera(mi: Any, view: Floats, samples: int, seed: int) -> dict[str, Any]:
    """A phone so far off that the frame is 2 wide at the ground."""
    distance = 1 / np.tan(np.radians(FIELD / 2))
    up = [0, 1, 0] if abs(view[2]) > 0.99 else [0, 0, 1]
    return {
        "type": "perspective",
        "fov": FIELD,
        "to_world": mi.ScalarTransform4f().look_at((distance * view).tolist(), [0, 0, 0], up),
        "film": {
            "type": "hdrfilm", "width": SIDE, "height": SIDE, "pixel_format": "rgb", "rfilter": {"type": "box"},
        },
        "sampler": {"type": "independent", "sample_count": samples, "seed": seed},
    }  # fmt: skip


def _lit(mi: Any, room: Room, sources: Sequence[str], ground: Any) -> dict[str, Any]:
    """The ground, and lights: one alone in grey, or up to three of them in a channel each."""
    colours = np.eye(3)[: len(sources)] if len(sources) > 1 else np.ones((1, 3))
    of_source = dict(zip(sources, colours, strict=True))
    sky = np.zeros((*room.panoramas.shape[1:], 3))
    for name in sources:
        if name != GROUND:
            sky += room.panoramas[LIGHTS.index(name)][..., None] * of_source[name]
    found: dict[str, Any] = {
        "ground": {"type": "rectangle", "to_world": mi.ScalarTransform4f().scale([WIDE, WIDE, 1]), "bsdf": ground}
    }
    if GROUND in of_source:
        found["ground"]["emitter"] = {"type": "area", "radiance": _rgb(of_source[GROUND])}
    if sky.any():
        upright = mi.ScalarTransform4f().rotate([1, 0, 0], 90)
        found["sky"] = {"type": "envmap", "bitmap": mi.Bitmap(sky.astype(np.float32)), "to_world": upright}
    return found


def _mesh_of(body: Body) -> tuple[Floats, Any]:
    """Points n x 3 and triangles m x 3 of the heights; outside the outline they drop below the ground."""
    axis = np.linspace(-1, 1, GRID, dtype=np.float32)
    x, y = np.meshgrid(axis, axis)
    points = np.stack([x, y, np.where(body.mask, body.height, -0.02)], axis=2).reshape(-1, 3)
    number = np.arange(GRID * GRID, dtype=np.uint32).reshape(GRID, GRID)
    a, b, c, d = (corner.ravel() for corner in (number[:-1, :-1], number[:-1, 1:], number[1:, :-1], number[1:, 1:]))
    triangles = np.concatenate([np.stack([a, b, c], axis=1), np.stack([b, d, c], axis=1)])
    above = (points[triangles, 2] > 0).any(axis=1)
    return points, triangles[above]


def _solid(mi: Any, mesh: tuple[Floats, Any], skin: Any) -> Any:
    points, triangles = mesh
    properties = mi.Properties()
    properties["bsdf"] = mi.load_dict({"type": "twosided", "bsdf": skin})
    solid = mi.Mesh("part", len(points), len(triangles), properties)
    parameters = mi.traverse(solid)
    parameters["vertex_positions"] = points.astype(np.float32).ravel()
    parameters["faces"] = triangles.astype(np.uint32).ravel()
    parameters.update()
    return solid


def _rgb(values: Floats) -> dict[str, Any]:
    return {"type": "rgb", "value": [float(value) for value in values]}
