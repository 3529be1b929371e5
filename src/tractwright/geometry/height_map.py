"""Height maps of meshes seen along a direction: what a straight tool can see, and what stands in its way."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array, frame_from_normal
from tractwright.geometry.height_map_kernels import raise_heights, stickouts_over

_OF_A_CELL = 0.4
"""A cell's height may come from any of its points, its middle stands for it: bodies count as so much of a cell wider."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class HeightMap:
    """A mesh seen against a direction. axes : rows, the third towards the tool; heights (nx, ny) [mm] along it, over
    cells of step_mm from low_mm (in the first two axes); -inf where nothing stands.
    """

    axes: Array
    low_mm: Array
    step_mm: float
    heights: Array

    def stickouts(self, axis_at_mm: Array, level_mm: Array, tip_mm: Array, tool: "StraightTool") -> Array:
        """Least distance (n,) from the tip to the holder [mm] for tools standing along the direction; inf where blocked.

        axis_at_mm (n, 3) : a point of each tool's axis. level_mm, tip_mm (n,) along the direction : from where the tool's
        body counts, and where its tip is.
        """
        place = axis_at_mm @ self.axes[:2].T - self.low_mm
        sizes = (tool.flat_mm, tool.corner_mm, tool.body_mm + _OF_A_CELL * self.step_mm, tool.holder_mm)
        return stickouts_over(self.heights, self.step_mm, np.ascontiguousarray(place), level_mm, tip_mm, sizes)


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightTool:
    """Radii [mm]: of the flat under a rounded corner and of that corner (0, 0: none counts), of what turns, of the holder."""

    flat_mm: float = 0.0
    corner_mm: float = 0.0
    body_mm: float
    holder_mm: float


def height_map(vertices_mm: Array, faces: npt.NDArray[np.int32], direction: Array, step_mm: float) -> HeightMap:
    """The map of a mesh; direction (3,), unit, from the mesh to the eye or the spindle."""
    hint = np.array([1.0, 0.0, 0.0]) if abs(direction[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    axes = frame_from_normal((0.0, 0.0, 0.0), direction, hint).matrix()
    seen = vertices_mm @ axes.T
    low = np.array([*(seen.min(axis=0)[:2] - step_mm), 0.0])
    size = np.ceil((seen.max(axis=0) - low)[:2] / step_mm).astype(int) + 2
    heights = np.full((int(size[0]), int(size[1])), -np.inf)
    raise_heights(np.ascontiguousarray((seen - low)[faces]), step_mm, heights)
    return HeightMap(axes=axes, low_mm=low[:2], step_mm=step_mm, heights=heights)
