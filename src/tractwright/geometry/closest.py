"""Exact distance from points to a triangle mesh, by a tree of boxes: the one door to the library that holds the tree."""

from typing import Any

import fcpw
import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array

_TREES: Any = fcpw
"""The library as what it is at run time: it names nothing that a type checker could read."""


def distances_to(vertices_mm: Array, faces: npt.NDArray[np.int32], points_mm: Array, within_mm: float) -> Array:
    """Distance (n,) of each point to the nearest triangle [mm]; inf where none lies within that distance."""
    scene = _TREES.scene_3D()
    scene.set_object_count(1)
    scene.set_object_vertices(np.asfortranarray(vertices_mm, dtype=np.float32), 0)
    scene.set_object_triangles(np.asfortranarray(faces, dtype=np.int32), 0)
    scene.build(_TREES.aggregate_type.bvh_surface_area, True)
    found = _TREES.interaction_3D_list()
    radii = np.full(len(points_mm), within_mm**2, dtype=np.float32)
    scene.find_closest_points(np.asfortranarray(points_mm, dtype=np.float32), radii, found)
    found_mm = np.array([hit.d for hit in found])
    return np.where(found_mm <= within_mm, found_mm, np.inf)
