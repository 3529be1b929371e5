"""Points spread over a mesh by area, with the normals of the triangles they lie on."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array, unit
from tractwright.shape.records import Mesh


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Samples:
    """points_mm, normals (n, 3), out of the metal; each stands for the same area_mm2."""

    points_mm: Array
    normals: Array
    area_mm2: float


def surface_samples(mesh: Mesh, count: int) -> Samples:
    """About so many points, the same for the same mesh; none for an empty one. Source: roberts2018_quasirandom."""
    vertices, faces = mesh
    if not len(faces):
        return Samples(points_mm=np.empty((0, 3)), normals=np.empty((0, 3)), area_mm2=0.0)
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    across = np.cross(b - a, c - a)
    area = np.linalg.norm(across, axis=1)
    places = (np.arange(count) + 0.5) / count * area.sum()
    chosen = np.minimum(np.searchsorted(np.cumsum(area), places), len(faces) - 1)
    golden = np.arange(count) * np.array([[0.7548776662466927], [0.5698402909980532]])
    u, v = golden % 1.0
    flip = u + v > 1.0
    u, v = np.where(flip, 1.0 - u, u), np.where(flip, 1.0 - v, v)
    points = a[chosen] + (b - a)[chosen] * u[:, None] + (c - a)[chosen] * v[:, None]
    return Samples(
        points_mm=np.ascontiguousarray(points),
        normals=unit(across[chosen]),
        area_mm2=float(area.sum()) / 2.0 / count,
    )


def surface_points(mesh: Mesh, count: int) -> Array:
    """The points (n, 3) alone."""
    return surface_samples(mesh, count).points_mm
