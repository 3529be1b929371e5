"""Distances to the edge of a flange, exact for lines and arcs."""

from dataclasses import dataclass
from functools import lru_cache
from math import ceil

import numpy as np
import shapely

from tractwright.geometry.contours import Contour, Vertex, arc_of
from tractwright.geometry.frames import Array

_SIDE_CHORD_MM = 0.2
"""Chords of the polygon that tells inside from outside: nearer to the edge than this there is no metal either way."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Edge:
    """A contour made ready for many points. lines : (n, 4) from and to; arcs : (m, 5) middle, radius, first angle, sweep;
    corners : (k, 2) its vertices; region : what it encloses.
    """

    lines: Array
    arcs: Array
    corners: Array
    region: shapely.Polygon


def to_edge_mm(contour: Contour, points: Array) -> Array:
    """From points (n, 2) to a contour [mm]: positive inside, negative outside."""
    edge = edge_of(contour)
    off = np.linalg.norm(points[:, None, :] - edge.corners, axis=2).min(axis=1)
    if len(edge.lines):
        off = np.minimum(off, _to_lines(edge.lines, points))
    if len(edge.arcs):
        off = np.minimum(off, _to_arcs(edge.arcs, points))
    return np.where(shapely.contains_xy(edge.region, points[:, 0], points[:, 1]), off, -off)


@lru_cache(maxsize=64)
def edge_of(contour: Contour) -> Edge:
    """A contour made ready; the last ones asked for are kept."""
    pairs = list(zip(contour, (*contour[1:], contour[0]), strict=True))
    straight = [(*start[:2], *end[:2]) for start, end in pairs if abs(start[2]) < 1e-9]
    bent = [arc_of(start, end) for start, end in pairs if abs(start[2]) >= 1e-9]
    region = shapely.Polygon(np.concatenate([_chords(start, end) for start, end in pairs]))
    shapely.prepare(region)
    return Edge(
        lines=np.array(straight, dtype=float).reshape(-1, 4),
        arcs=np.array(bent, dtype=float).reshape(-1, 5),
        corners=np.array([vertex[:2] for vertex in contour], dtype=float),
        region=region,
    )


def _chords(start: Vertex, end: Vertex) -> Array:
    """Points of one segment, its end left out, so near together that no chord strays by more than the allowance."""
    if abs(start[2]) < 1e-9:
        return np.array([start[:2]], dtype=float)
    x, y, radius, first, sweep = arc_of(start, end)
    widest = 2.0 * np.arccos(1.0 - _SIDE_CHORD_MM / radius) if radius > _SIDE_CHORD_MM else 1.0
    angle = first + sweep * np.linspace(0.0, 1.0, max(2, ceil(abs(sweep) / widest)), endpoint=False)
    return np.column_stack([x + radius * np.cos(angle), y + radius * np.sin(angle)])


def _to_lines(lines: Array, points: Array) -> Array:
    """From points to the insides of line segments; infinity where the foot lies past both ends."""
    start, way = lines[:, :2], lines[:, 2:] - lines[:, :2]
    length = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-12)
    along = way / length[:, None]
    offset = points[:, None, :] - start
    share = np.einsum("nsk,sk->ns", offset, along)
    off = np.abs(offset[..., 0] * along[:, 1] - offset[..., 1] * along[:, 0])
    return np.where((share >= 0.0) & (share <= length), off, np.inf).min(axis=1)


def _to_arcs(arcs: Array, points: Array) -> Array:
    """From points to the insides of arcs; infinity where they lie beside an arc's sector."""
    middle, radius, first, sweep = arcs[:, :2], arcs[:, 2], arcs[:, 3], arcs[:, 4]
    spoke = points[:, None, :] - middle
    turned = (np.arctan2(spoke[..., 1], spoke[..., 0]) - first) * np.sign(sweep) % (2 * np.pi)
    off = np.abs(np.hypot(spoke[..., 0], spoke[..., 1]) - radius)
    return np.where(turned <= np.abs(sweep), off, np.inf).min(axis=1)
