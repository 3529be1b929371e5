"""Whether a root blend was made, measured on the finished surface: a ball of 0.9 times its radius is rolled over the root.

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
from tractwright.kernel.mesh import Meshed
from tractwright.kernel.surface_points import PartSurface, surface_near

_BALL_SHARE = 0.9
_ROUND_RADII = 2.0
_SPACING_MM = 0.5
_WIDE_MM2 = 4.0
_WIDE_SPACING_MM = 1.0
_PROBE_MM = 1.0
_SINK_SHARE = 0.03
_SINK_MM = 0.08
"""Points half a millimetre apart, and a blend that crosses its skin at a small crease: a ball may seem to sink as much. A
blend of 0.9 of its radius passes, one of 0.85 is found."""
_BELOW_MM = 0.05
_LEAST_MM2 = 1e-9
_EVEN_MM = 1.0
_SMOOTH_COSINE = 0.94
"""What turns more than 20 degrees within a millimetre is an edge."""


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


def roots_made(fine: Meshed, roots: Sequence[Wanted]) -> int:
    """How many of the roots are round on a solid, finely meshed. Raises KernelError where its surface cannot be had."""
    if not roots:
        return 0
    surface = surface_near(fine, [_surroundings(root) for root in roots])
    return sum(_worst_sink(surface, root) <= 0.0 for root in roots)


def _surroundings(root: Wanted) -> tuple[Array, Array]:
    """Low and high corner of the box that holds all of the surface a root is measured on."""
    curve, reach = root.curve_mm, (_ROUND_RADII + 2.0 * _BALL_SHARE) * root.radius_mm
    return curve.min(axis=0) - reach, curve.max(axis=0) + reach


def _worst_sink(surface: PartSurface, root: Wanted) -> float:
    """How deep the ball sinks at worst at a root [mm], less what is allowed for; made: <= 0."""
    near = KDTree(root.curve_mm)
    reach = _ROUND_RADII * root.radius_mm
    ball = _BALL_SHARE * root.radius_mm
    points, normals = _samples(surface, near, reach + 2.0 * ball)
    ours = root.ours(points)
    points, normals = points[ours], normals[ours]
    close = near.query(points, distance_upper_bound=reach)[0] < reach
    probe = close & root.outside(points, normals)
    if not probe.any():
        return root.radius_mm
    touch, ways = _thinned(points[probe], np.stack([normals[probe], _evened(points[probe], normals[probe])], axis=1))
    distance, _ = KDTree(points).query(touch[:, None] + ways * ball)
    return float(np.max(ball - distance.max(axis=1))) - _SINK_SHARE * root.radius_mm - _SINK_MM


def _samples(surface: PartSurface, near: KDTree, reach: float) -> tuple[Array, Array]:
    """Points spread over the surface within reach of the root, and the normals there."""
    low, high = near.mins - reach, near.maxes + reach
    boxed = (surface.corners_mm.max(axis=1) > low) & (surface.corners_mm.min(axis=1) < high)
    part = surface.chosen(boxed.all(axis=1))
    corners = part.corners_mm
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas = np.linalg.norm(across, axis=1) / 2.0
    spacing = np.where(areas > _WIDE_MM2, _WIDE_SPACING_MM, _SPACING_MM)
    counts = np.maximum(np.ceil(areas / spacing**2).astype(int), 1)
    owner = np.repeat(np.arange(len(corners)), counts)
    share = _spread(counts)
    points = np.einsum("nk,nkj->nj", share, corners[owner])
    kept = (near.query(points, distance_upper_bound=reach)[0] < reach) & (areas[owner] > _LEAST_MM2)
    return part.exact(owner[kept], share[kept])


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


def _evened(points: Array, normals: Array) -> Array:
    """Normals as the mean of those about a point that turn little from its own.

    On a crease of a few degrees, or a ripple no cutter would leave, a ball may lie on either side.
    """
    total = normals.copy()
    one, other = KDTree(points).query_pairs(_EVEN_MM, output_type="ndarray").T
    alike = np.einsum("ij,ij->i", normals[one], normals[other]) > _SMOOTH_COSINE
    one, other = one[alike], other[alike]
    np.add.at(total, one, normals[other])
    np.add.at(total, other, normals[one])
    return unit(total)


def _thinned(points: Array, with_each: Array) -> tuple[Array, Array]:
    """One point for each small cube, and what goes with it."""
    _, first = np.unique(np.round(points / _PROBE_MM), axis=0, return_index=True)
    return points[first], with_each[first]
