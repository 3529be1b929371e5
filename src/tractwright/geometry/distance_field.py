"""Distance to a triangle mesh on a cubic grid: exact beside the surface, to the nearest seed's triangle farther out."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.distance_kernels import depth_inside, far_distances, near_triangles, nearest_seed
from tractwright.geometry.frames import Array
from tractwright.geometry.meshes import Mesh

Values = npt.NDArray[np.float32]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Grid:
    """Values (nx, ny, nz) at low_mm + step_mm * (i, j, k)."""

    low_mm: Array
    step_mm: float
    values: Values

    def axes(self) -> tuple[Array, Array, Array]:
        """Coordinates [mm] of the samples along each axis."""
        x, y, z = (self.low_mm[k] + self.step_mm * np.arange(self.values.shape[k]) for k in range(3))
        return x, y, z


def unsigned_distance(mesh: Mesh, low_mm: Array, high_mm: Array, step_mm: float) -> Grid:
    """Distance [mm] to the mesh at every sample of a grid that spans low to high."""
    return nearest_triangles(mesh, low_mm, high_mm, step_mm)[0]


def nearest_triangles(mesh: Mesh, low_mm: Array, high_mm: Array, step_mm: float) -> tuple[Grid, npt.NDArray[np.int32]]:
    """The same, and the number of the triangle nearest to each sample (nx, ny, nz)."""
    shape = tuple(int(n) for n in np.ceil((high_mm - low_mm) / step_mm) + 1)
    owner = np.full(shape, -1, dtype=np.int32)
    near_triangles(mesh.vertices_mm, mesh.faces, low_mm, step_mm, owner)
    seed = np.where(owner >= 0, np.arange(owner.size, dtype=np.int32).reshape(shape), np.int32(-1))
    nearest_seed(seed)
    nearest = owner.ravel()[seed]
    values = far_distances(mesh.vertices_mm, mesh.faces, low_mm, step_mm, nearest)
    return Grid(low_mm=low_mm, step_mm=step_mm, values=values), nearest


def depth_below(grid: Grid, level_mm: float) -> Values:
    """Signed distance [mm] to the surface where the grid's own distance is level_mm: positive where it is less.

    Some samples must lie at or above the level.
    """
    outside = grid.values >= level_mm
    seed = np.where(outside, np.arange(outside.size, dtype=np.int32).reshape(outside.shape), np.int32(-1))
    nearest_seed(seed)
    return depth_inside(grid.values, level_mm, grid.step_mm, seed)
