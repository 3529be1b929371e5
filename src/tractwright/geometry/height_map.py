"""Height maps of meshes seen along a direction: what a straight tool can see."""

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array, frame_from_normal
from tractwright.geometry.height_map_kernels import raise_heights

_STEP_MM = 1.0
_SEEN_MM = 0.6


def seen_fraction(vertices_mm: Array, faces: npt.NDArray[np.int32], points_mm: Array, direction: Array) -> float:
    """The share of surface points (n, 3) that nothing of the mesh covers when looked at against the direction."""
    hint = np.array([1.0, 0.0, 0.0]) if abs(direction[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    axes = frame_from_normal((0.0, 0.0, 0.0), direction, hint).matrix()
    seen = vertices_mm @ axes.T
    low = seen.min(axis=0) - _STEP_MM
    size = np.ceil((seen.max(axis=0) - low)[:2] / _STEP_MM).astype(int) + 2
    heights = np.full((int(size[0]), int(size[1])), -np.inf)
    raise_heights(np.ascontiguousarray((seen - low)[faces]), _STEP_MM, heights)
    place = points_mm @ axes.T - low
    cell = (place[:, :2] / _STEP_MM).astype(int)
    return float(np.mean(place[:, 2] >= heights[cell[:, 0], cell[:, 1]] - _SEEN_MM))
