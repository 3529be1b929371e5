"""A block told by cells: which of them lie inside a body, and what they belong to."""

from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt

from tractwright.geometry.cells_kernels import cross_columns, spread
from tractwright.geometry.frames import Array, Vec3
from tractwright.geometry.height_map import HeightMap

Mask = npt.NDArray[np.bool_]
_ASIDE = np.array([1.7e-6, 2.3e-6, 0.0])
"""The grid stands that much aside [mm], so that no column runs along an edge of the mesh."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Grid:
    """Cells of a block. axes (3, 3) : rows, its three ways; low_mm (3,) : its lowest corner in them; step_mm : of a cell."""

    axes: Array
    low_mm: Array
    step_mm: Vec3
    shape: tuple[int, int, int]

    def corners_mm(self) -> Array:
        """The block's eight corners (8, 3) [job frame]."""
        ends = np.array(list(product((0.0, 1.0), repeat=3))) * np.array(self.shape) * np.array(self.step_mm)
        return (self.low_mm + ends) @ self.axes

    def cells_at(self, points_mm: Array) -> npt.NDArray[np.int64]:
        """The cells (n, 3) that points of the job frame (n, 3) lie in; may lie outside the grid."""
        return np.floor((points_mm @ self.axes.T - self.low_mm) / np.array(self.step_mm)).astype(np.int64)

    def part(self, first: tuple[int, int, int], past: tuple[int, int, int]) -> "Grid":
        """The cells from one number up to another, as a grid."""
        low = self.low_mm + np.array(first) * np.array(self.step_mm)
        shape = (past[0] - first[0], past[1] - first[1], past[2] - first[2])
        return Grid(axes=self.axes, low_mm=low, step_mm=self.step_mm, shape=shape)

    def along(self, way: Array) -> Array:
        """What makes a cell's number (i, j, k, 1) the place of its middle along a way of the job frame (4,) [mm]."""
        seen = self.axes @ way
        steps = seen * np.array(self.step_mm)
        return np.array([*steps, self.low_mm @ seen + steps.sum() / 2.0])


def grid_over(axes: Array, middle_mm: Array, size_mm: Vec3, most: float) -> Grid:
    """A grid of at most so many cells, about as wide each way, that fills a block; middle_mm (3,) in the axes."""
    size = np.array(size_mm)
    wanted = max(1.0, float(np.cbrt(np.prod(size) / most)))
    count = np.maximum(2, np.ceil(size / wanted - 1e-9)).astype(int)
    step = size / count
    return Grid(
        axes=axes,
        low_mm=middle_mm - size / 2.0,
        step_mm=(float(step[0]), float(step[1]), float(step[2])),
        shape=(int(count[0]), int(count[1]), int(count[2])),
    )


def inside_of(grid: Grid, vertices_mm: Array, faces: npt.NDArray[np.int32]) -> Mask:
    """Which cells' middles lie inside a closed mesh, by the count of its faces along the third way."""
    corners = (vertices_mm @ grid.axes.T - grid.low_mm + _ASIDE)[faces]
    flips = np.zeros(grid.shape, dtype=bool)
    cross_columns(np.ascontiguousarray(corners), grid.step_mm, flips)
    return np.logical_xor.accumulate(flips, axis=2)


def nearest_of(grid: Grid, body: Mask, points_mm: Array, numbers: npt.NDArray[np.int16]) -> npt.NDArray[np.int16]:
    """Of every cell outside a body the number (1 or more) of the nearest point, by way of cells outside; -1 inside it, 1
    where no way leads. points_mm (n, 3), numbers (n,).
    """
    labels = np.where(body, np.int16(-1), np.int16(0))
    places = grid.cells_at(points_mm)
    within = ((places >= 0) & (places < np.array(grid.shape))).all(axis=1)
    i, j, k = places[within].T
    labels[i, j, k] = np.where(body[i, j, k], labels[i, j, k], numbers[within])
    spread(labels)
    labels[labels == 0] = 1
    return labels


def into_map(grid: Grid, seen: HeightMap) -> Array:
    """What makes a cell's number (i, j, k, 1) a place in a height map: its row, its column, its height (3, 4) [mm]."""
    found = np.stack([grid.along(axis) for axis in seen.axes])
    found[:2, 3] -= seen.low_mm
    return found
