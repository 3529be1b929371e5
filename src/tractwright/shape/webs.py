"""Metal between runners that stand nearer to each other than any cutter can go between.

A slot that narrow cannot be cut and would be a knife-edged notch if it could. Each of the two skins is thickened up to
the middle between them and a little further; on both sides of that web a groove is left as round as a ball of the web's
radius makes it. Where the gap opens, the web dies out gently.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.spatial import KDTree

from tractwright.geometry.frames import Array
from tractwright.route.layout.root_sizes import LEAST_ROOT_MM, ROOTS_APART_MM
from tractwright.shape.roots import Sheet, resampled

WEB_BELOW_MM = 2.0 * (LEAST_ROOT_MM + ROOTS_APART_MM)
"""Gap below which two skins are joined: not even the least roots fit between."""

_DIES_OUT_MM = 5.0
_OVERLAP_MM = 2.5
_ROUNDING_MM = 2.0
_SEARCH_MM = 40.0
_STEPS = 4


def gap_field(sheet: Sheet, other: Sheet) -> Array:
    """Distance from every point of a skin to another skin (n, m) [mm], negative inside it; large where far away."""
    inside = _between_leads(sheet)[:, None] & np.ones(sheet.points_mm.shape[1], dtype=bool)
    gap, _ = _distance(sheet.points_mm.reshape(-1, 3), other)
    return np.where(inside, gap.reshape(inside.shape), _SEARCH_MM)


def webbed(sheet: Sheet, others: Sequence[Sheet], radius_mm: float) -> Sheet:
    """The skin thickened towards those it merges with. radius_mm : of the grooves left on both sides of a web."""
    more = np.max([_thickening(sheet, other, radius_mm) for other in others], axis=0)
    return resampled(sheet, sheet.points_mm + sheet.normals * _smoothed(more)[..., None])


def _thickening(sheet: Sheet, other: Sheet, radius: float) -> Array:
    """How much the skin grows along its normals towards one other skin (n, m)."""
    gap = gap_field(sheet, other)
    share = np.clip((WEB_BELOW_MM + _DIES_OUT_MM - gap.min(axis=1)) / _DIES_OUT_MM, 0.0, 1.0)
    share = share**3 * (10.0 - 15.0 * share + 6.0 * share**2)
    near = np.flatnonzero(share > 0.0)
    more = np.zeros_like(gap)
    for row, middle in zip(near, _to_middle(sheet, other, near), strict=True):
        more[row] = share[row] * _profile(sheet.points_mm[row], sheet.normals[row], middle, radius)
    return more


def _to_middle(sheet: Sheet, other: Sheet, rows: npt.NDArray[np.int_]) -> Array:
    """From each point of those rows along its normal to where the other skin is as near (rows, m) [mm]."""
    points, normals = (part[rows].reshape(-1, 3) for part in (sheet.points_mm, sheet.normals))
    gap, _ = _distance(points, other)
    height = gap / 2.0
    for _ in range(_STEPS):
        found, facing = _distance(points + normals * height[:, None], other)
        slope = np.minimum(np.einsum("ij,ij->i", normals, facing), 0.0) - 1.0
        height = np.clip(height - (found - height) / slope, -_SEARCH_MM, _SEARCH_MM)
    return height.reshape(len(rows), -1)


def _profile(points: Array, normals: Array, middle: Array, radius: float) -> Array:
    """The web's half at one station (m,): two arcs of the radius, between them the middle and a little further.

    The arcs' ball touches the skin where the middle lies a radius away: it touches the other skin there too.
    """
    inside = middle < radius
    if not inside.any() or inside.all():
        return np.zeros(len(middle))
    more = np.maximum(middle + _OVERLAP_MM, 0.0)
    after = np.roll(np.arange(len(middle)), -1)
    for here in np.flatnonzero(inside != inside[after]):
        there = after[here]
        share = (radius - middle[here]) / (middle[there] - middle[here])
        foot = points[here] + share * (points[there] - points[here])
        normal = normals[here] + share * (normals[there] - normals[here])
        more = _smaller(more, _up_to_ball(points, normals, foot + radius * normal / np.linalg.norm(normal), radius))
    return np.where(inside, np.maximum(more, 0.0), 0.0)


def _up_to_ball(points: Array, normals: Array, centre: Array, radius: float) -> Array:
    """From each point along its normal to a ball (m,); far where the normal passes it by."""
    step = centre - points
    along = np.einsum("ij,ij->i", step, normals)
    within = radius**2 - np.einsum("ij,ij->i", step, step) + along**2
    return np.where((within > 0.0) & (along > 0.0), along - np.sqrt(np.maximum(within, 0.0)), _SEARCH_MM)


def _smaller(one: Array, other: Array) -> Array:
    """The smaller of two heights, rounded where they are nearly the same and neither is small."""
    rounding = np.minimum(_ROUNDING_MM, np.maximum(np.minimum(one, other), 1e-9))
    part = np.maximum(rounding - np.abs(one - other), 0.0) / rounding
    return np.minimum(one, other) - rounding * part**2 / 4.0


def _distance(points: Array, other: Sheet) -> tuple[Array, Array]:
    """Signed distance of points (k, 3) to a skin, and the skin's normal there."""
    target = other.points_mm.reshape(-1, 3)
    far, nearest = KDTree(target).query(points, distance_upper_bound=_SEARCH_MM)
    found = np.isfinite(far)
    nearest = np.where(found, nearest, 0)
    normals = other.normals.reshape(-1, 3)[nearest]
    step = points - target[nearest]
    height = np.einsum("ij,ij->i", step, normals)
    aside = np.sqrt(np.maximum(np.einsum("ij,ij->i", step, step) - height**2, 0.0))
    spacing = float(np.linalg.norm(np.diff(other.points_mm, axis=1), axis=2).max())
    gap = np.where(aside < spacing, height, np.where(height < 0.0, height, np.hypot(height, aside)))
    return np.where(found, gap, _SEARCH_MM), normals


def _between_leads(sheet: Sheet) -> npt.NDArray[np.bool_]:
    """Stations in the piece itself: what the skin does beyond its joint faces meets nobody."""
    return (sheet.s_mm >= sheet.span.first_mm) & (sheet.s_mm <= sheet.span.last_mm)


def _smoothed(more: Array) -> Array:
    """Spread over a few stations, so that the spline follows it."""
    kernel = np.array([1.0, 2.0, 3.0, 2.0, 1.0]) / 9.0
    along = np.pad(more, ((2, 2), (0, 0)), mode="edge")
    spread = sum(weight * along[i : i + len(more)] for i, weight in enumerate(kernel))
    return np.asarray(spread)
