"""Metal between runners that stand nearer to each other than any cutter can go between.

A slot that narrow cannot be cut and would be a knife-edged notch if it could. Each of the two skins is thickened towards
the other until they overlap well, and dies out gently where the gap opens, so that the crotch is round.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.spatial import KDTree

from tractwright.geometry.frames import Array
from tractwright.shape.roots import Sheet, resampled

WEB_BELOW_MM = 2.4
"""Gap below which two skins are joined: twice the least blend and its distance from the middle."""

_OPEN_MM = 7.0
_OVERLAP_MM = 1.5
_SEARCH_MM = 40.0


def gap_field(sheet: Sheet, other: Sheet) -> Array:
    """Distance from every point of a skin to another skin (n, m) [mm], negative inside it; large where far away."""
    points = sheet.points_mm.reshape(-1, 3)
    target = other.points_mm.reshape(-1, 3)
    inside = _between_leads(sheet)[:, None] & np.ones(sheet.points_mm.shape[1], dtype=bool)
    far, nearest = KDTree(target).query(points, distance_upper_bound=_SEARCH_MM)
    found = np.isfinite(far)
    nearest = np.where(found, nearest, 0)
    step = points - target[nearest]
    height = np.einsum("ij,ij->i", step, other.normals.reshape(-1, 3)[nearest])
    aside = np.sqrt(np.maximum(np.einsum("ij,ij->i", step, step) - height**2, 0.0))
    spacing = float(np.linalg.norm(np.diff(other.points_mm, axis=1), axis=2).max())
    gap = np.where(aside < spacing, height, np.where(height < 0.0, height, np.hypot(height, aside)))
    gap = np.where(found, gap, _SEARCH_MM).reshape(sheet.points_mm.shape[:2])
    return np.where(inside, gap, _SEARCH_MM)


def webbed(sheet: Sheet, others: Sequence[Sheet]) -> Sheet:
    """The skin thickened towards those it merges with."""
    gap = np.min([gap_field(sheet, other) for other in others], axis=0)
    share = np.clip((_OPEN_MM - gap) / (_OPEN_MM - WEB_BELOW_MM), 0.0, 1.0)
    share = share**3 * (10.0 - 15.0 * share + 6.0 * share**2)
    more = share * np.maximum(gap / 2.0 + _OVERLAP_MM, 0.0)
    return resampled(sheet, sheet.points_mm + sheet.normals * _smoothed(more)[..., None])


def _between_leads(sheet: Sheet) -> npt.NDArray[np.bool_]:
    """Stations on the runner itself: the straight lines beyond its ends meet nobody."""
    return (sheet.s_mm >= 0.0) & (sheet.s_mm <= 2.0 * sheet.middle_mm)


def _smoothed(more: Array) -> Array:
    """Spread over a few stations and clock angles, so that the spline follows it."""
    kernel = np.array([1.0, 2.0, 3.0, 2.0, 1.0]) / 9.0
    along = np.pad(more, ((2, 2), (0, 0)), mode="edge")
    spread = sum(weight * along[i : i + len(more)] for i, weight in enumerate(kernel))
    return np.asarray(spread)
