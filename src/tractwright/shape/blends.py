"""Whether a root blend was made, measured on the finished mesh: a ball of 0.9 times its radius is rolled over the root.

Where the ball, touching a point of the surface, sinks into another part of it, there is a concave edge or groove tighter
than the ball. The blend counts as made only where that happens nowhere within twice its radius.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt
import shapely
from scipy.spatial import KDTree

from tractwright.design.boss import Boss
from tractwright.design.boss_space import boss_frame
from tractwright.geometry.frames import Array, Frame, unit
from tractwright.shape.records import Mesh

_BALL_SHARE = 0.9
_ROUND_RADII = 2.0
_SPACING_MM = 0.5
_WIDE_MM2 = 4.0
_WIDE_SPACING_MM = 1.0
_PROBE_MM = 1.0
_SINK_SHARE = 0.03
_SINK_MM = 0.08
"""The mesh strays 0.05 mm from the solid, ball and obstacle both: a ball may seem to sink as much. What it allows for
lets a blend of 0.8 of its radius pass; one of 0.75 is found."""
_BELOW_MM = 0.05
_SMOOTH_COSINE = 0.94
"""Triangles that turn less than 20 degrees share a normal: a finer crease is the mesh's own."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Root:
    """A blend that is wanted.

    face : the flange's face, z into the air; outline : what stands on it, in its x-y, without blend; axis_mm : points
    (n, 3) in the middle of what stands there; radius_mm : the radius wanted; apart_from : columns over the face, as place
    in its x-y and radius, that are no part of this root: bores, seats, posts with blends of their own; apart_bosses : bosses
    near by, whose own smaller roots are measured by themselves.
    """

    face: Frame
    outline: shapely.Polygon
    axis_mm: Array
    radius_mm: float
    apart_from: tuple[tuple[tuple[float, float], float], ...] = ()
    apart_bosses: tuple[Boss, ...] = ()

    @property
    def curve_mm(self) -> Array:
        """Points (n, 3) along the root, half a millimetre apart."""
        places = np.arange(0.0, self.outline.exterior.length, 0.5)
        flat = shapely.get_coordinates(shapely.line_interpolate_point(self.outline.exterior, places))
        return self.face.to_world(flat)

    def ours(self, points: Array) -> npt.NDArray[np.bool_]:
        """Points that are not in the columns apart from the root."""
        flat = self.face.to_local(points)[:, :2]
        kept = np.ones(len(points), dtype=bool)
        for place, radius in self.apart_from:
            kept &= np.linalg.norm(flat - np.array(place), axis=1) > radius
        for boss in self.apart_bosses:
            local = boss_frame(boss).to_local(points)
            wide = boss.foot_mm / 2.0 + 1.5 * boss.blend_mm
            kept &= (np.hypot(local[:, 0], local[:, 1]) > wide) | (local[:, 2] < -wide)
        return kept

    def outside(self, points: Array, normals: Array) -> npt.NDArray[np.bool_]:
        """Points of the flange's face and of the outside of what stands on it: not of passages, bores, edges."""
        height = self.face.to_local(points)[:, 2]
        on_face = (np.abs(height) < _BELOW_MM) & (normals @ np.array(self.face.z) > 0.99)
        _, nearest = KDTree(self.axis_mm).query(points)
        away = np.einsum("ij,ij->i", normals, points - self.axis_mm[nearest]) > 0.0
        return on_face | ((height > _BELOW_MM) & away)


class Wanted(Protocol):
    """A blend that can be measured: its radius, points along it, which points of the surface are its own, which of them the
    ball may touch.
    """

    @property
    def radius_mm(self) -> float:
        """Wanted."""
        ...

    @property
    def curve_mm(self) -> Array:
        """Points (n, 3) along the root."""
        ...

    def ours(self, points: Array) -> npt.NDArray[np.bool_]:
        """Points (n, 3) that the root is measured among."""
        ...

    def outside(self, points: Array, normals: Array) -> npt.NDArray[np.bool_]:
        """Points (n, 3) that the ball is rolled over."""
        ...


def sinks(mesh: Mesh, roots: Sequence[Wanted]) -> list[float]:
    """How deep the ball sinks at worst at each root [mm], less what the mesh's own coarseness explains; made: <= 0."""
    return [_worst_sink(mesh, root) for root in roots]


def surroundings(root: Wanted) -> tuple[Array, Array]:
    """Low and high corner of the box that holds all of the surface a root is measured on."""
    curve, reach = root.curve_mm, (_ROUND_RADII + 2.0 * _BALL_SHARE) * root.radius_mm
    return curve.min(axis=0) - reach, curve.max(axis=0) + reach


def _worst_sink(mesh: Mesh, root: Wanted) -> float:
    near = KDTree(root.curve_mm)
    reach = _ROUND_RADII * root.radius_mm
    ball = _BALL_SHARE * root.radius_mm
    points, normals = _samples(_part_near(mesh, near, reach + 2.0 * ball), near, reach + 2.0 * ball)
    ours = root.ours(points)
    points, normals = points[ours], normals[ours]
    close = near.query(points, distance_upper_bound=reach)[0] < reach
    probe = close & root.outside(points, normals)
    touch, out = _thinned(points[probe], normals[probe])
    if not len(touch):
        return root.radius_mm
    distance, _ = KDTree(points).query(touch + out * ball)
    return float(np.max(ball - distance)) - _SINK_SHARE * root.radius_mm - _SINK_MM


def _part_near(mesh: Mesh, near: KDTree, reach: float) -> Mesh:
    """The triangles that may come within reach of the root."""
    vertices, faces = mesh
    low, high = near.mins - reach, near.maxes + reach
    corners = vertices[faces]
    boxed = ((corners.max(axis=1) > low) & (corners.min(axis=1) < high)).all(axis=1)
    return vertices, faces[boxed]


def _samples(mesh: Mesh, near: KDTree, reach: float) -> tuple[Array, Array]:
    """Points spread over the triangles within reach of the root, and their smooth normals."""
    vertices, faces = mesh
    corners = vertices[faces]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas = np.linalg.norm(across, axis=1) / 2.0
    spacing = np.where(areas > _WIDE_MM2, _WIDE_SPACING_MM, _SPACING_MM)
    counts = np.maximum(np.ceil(areas / spacing**2).astype(int), 1)
    owner = np.repeat(np.arange(len(corners)), counts)
    share = _spread(counts)
    points = np.einsum("nk,nkj->nj", share, corners[owner])
    kept = (near.query(points, distance_upper_bound=reach)[0] < reach) & (areas[owner] > 1e-9)
    smooth = _corner_normals(faces, across)
    normals = np.einsum("nk,nkj->nj", share[kept], smooth[owner[kept]])
    return points[kept], unit(normals)


def _corner_normals(faces: npt.NDArray[np.int32], across: Array) -> Array:
    """Normals (m, 3, 3) at each triangle's corners: the mean of those round the corner that turn little from its own."""
    own = across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-30)
    flat = faces.ravel()
    order = np.argsort(flat, kind="stable")
    first = np.searchsorted(flat[order], flat)
    count = np.searchsorted(flat[order], flat, side="right") - first
    total = np.zeros((len(flat), 3))
    mine = np.repeat(own, 3, axis=0)
    for shift in range(int(count.max(initial=0))):
        has = np.flatnonzero(count > shift)
        other = order[first[has] + shift] // 3
        alike = np.einsum("ij,ij->i", mine[has], own[other]) > _SMOOTH_COSINE
        total[has[alike]] += across[other[alike]]
    return unit(np.where(np.abs(total).sum(axis=1, keepdims=True) > 0.0, total, mine + 1e-30)).reshape(-1, 3, 3)


def _spread(counts: npt.NDArray[np.int_]) -> Array:
    """Barycentric shares evenly spread over each triangle by a two-number golden sequence.

    Source: roberts2018_quasirandom.
    """
    index = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
    a = (0.5 + index * 0.7548776662466927) % 1.0
    b = (0.5 + index * 0.5698402909980532) % 1.0
    over = a + b > 1.0
    a, b = np.where(over, 1.0 - a, a), np.where(over, 1.0 - b, b)
    return np.stack([1.0 - a - b, a, b], axis=1)


def _thinned(points: Array, normals: Array) -> tuple[Array, Array]:
    """One point for each small cube."""
    if not len(points):
        return points, normals
    _, first = np.unique(np.round(points / _PROBE_MM), axis=0, return_index=True)
    return points[first], normals[first]
