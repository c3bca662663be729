"""The closed surface of a solid, as triangles in millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from idkit.swatches.shapes import Field, Points, Vector, single


@dataclass(frozen=True)
class Mesh:
    """A closed surface: `vertices` and unit `normals` n x 3 in mm, `faces` m x 3, outward side counter-clockwise."""

    vertices: Points
    normals: Points
    faces: NDArray[np.uint32]


def mesh_of(field: Field, low: Vector, high: Vector, step: float) -> Mesh:
    """The surface of a solid inside a box, by marching cubes (Lewiner 2003), with normals from the field itself."""
    from skimage import measure

    values = sampled(field, single(low), single(high), step)
    marching_cubes: Any = measure.marching_cubes
    vertices, faces, _, _ = marching_cubes(values, 0.0, allow_degenerate=False)
    points = single(vertices * step + single(low))
    return Mesh(points, gradient(field, points, step), faces.astype(np.uint32))


def sampled(field: Field, low: Points, high: Points, step: float, block: int = 8) -> Points:
    """The field on a grid: everywhere coarsely, in full only in blocks that the surface may cross."""
    blocks = np.ceil((high - low) / (step * block)).astype(int) + 1
    side = single(step * block)
    corners = np.stack(np.meshgrid(*(np.arange(n) for n in blocks), indexing="ij"), axis=-1)
    middles = low + (corners.astype(np.float32) + single(0.5)) * side
    coarse = field(middles.reshape(-1, 3)).reshape(blocks)
    values = np.kron(coarse, np.ones((block,) * 3, np.float32)).astype(np.float32)
    inner = np.stack(np.meshgrid(*(np.arange(block),) * 3, indexing="ij"), axis=-1)
    near = np.argwhere(np.abs(coarse) < side * 1.1)
    for some in np.array_split(near, max(len(near) // 2000, 1)):
        index = some[:, None, None, None, :] * block + inner
        points = low + index.astype(np.float32) * single(step)
        values[tuple(np.moveaxis(index, -1, 0))] = field(points.reshape(-1, 3)).reshape(index.shape[:-1])
    return values


def gradient(field: Field, points: Points, step: float) -> Points:
    """Unit outward normals, by central differences."""
    shift = single(step * 0.5) * np.eye(3, dtype=np.float32)
    slope = np.stack([field(points + d) - field(points - d) for d in shift], axis=-1)
    return single(slope / np.maximum(np.linalg.norm(slope, axis=-1, keepdims=True), 1e-9))


def volume(mesh: Mesh) -> float:
    """Enclosed volume in cm³, by the divergence theorem."""
    a, b, c = (mesh.vertices[mesh.faces[:, i]].astype(float) for i in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6000)
