"""Distances to the edge of a flange, exact for lines and arcs."""

import numpy as np
import shapely

from tractwright.geometry.contours import Contour, Vertex, arc_of, polyline
from tractwright.geometry.frames import Array

_SIDE_CHORD_MM = 0.2
"""Chords of the polygon that tells inside from outside: nearer to the edge than this there is no metal either way."""


def to_edge_mm(contour: Contour, points: Array) -> Array:
    """From points (n, 2) to a contour [mm]: positive inside, negative outside."""
    ends = (*contour[1:], contour[0])
    off = np.min([_to_segment(start, end, points) for start, end in zip(contour, ends, strict=True)], axis=0)
    region = shapely.Polygon(polyline(contour, _SIDE_CHORD_MM))
    return np.where(shapely.contains_xy(region, points[:, 0], points[:, 1]), off, -off)


def _to_segment(start: Vertex, end: Vertex, points: Array) -> Array:
    a, b = np.array(start[:2]), np.array(end[:2])
    if abs(start[2]) < 1e-9:
        way = b - a
        share = np.clip((points - a) @ way / max(float(way @ way), 1e-12), 0.0, 1.0)
        return np.linalg.norm(points - a - share[:, None] * way, axis=1)
    x, y, radius, first, sweep = arc_of(start, end)
    spoke = points - np.array([x, y])
    turned = (np.arctan2(spoke[:, 1], spoke[:, 0]) - first) * np.sign(sweep) % (2 * np.pi)
    to_ends = np.minimum(np.linalg.norm(points - a, axis=1), np.linalg.norm(points - b, axis=1))
    return np.where(turned <= abs(sweep), np.abs(np.linalg.norm(spoke, axis=1) - radius), to_ends)
