"""The loop over tool placings: does a neck stay clear, and how far must the tool stand out of its holder."""

import numpy as np
import numpy.typing as npt
from numba import njit, prange

Floats = npt.NDArray[np.float64]
Run = tuple[Floats, Floats, Floats]
"""The x, y and z of neighbouring points, each in one stretch of memory."""
_STRIP = 64
"""Neighbouring centres looked at one after the other."""
_RUN = 128
"""Points asked together."""


@njit(cache=True, parallel=True)
def least_stickouts(
    centres: Floats, directions: Floats, near: Floats, far: Floats, neck_mm: float, holder_mm: float, longest_mm: float
) -> Floats:
    """For each ball centre (n, 3) the least stick-out over the tool directions (d, 3) [mm]; inf where none clears.

    near (3, a) : points of the passage's own surface; far (3, b) : points of the rest of the part. The neck (radius) must
    stay off the near points, the holder (radius) may only begin beyond every point that stands in its way. longest_mm :
    from the ball's centre; what would need more counts as not cleared.
    """
    best = np.full(centres.shape[0], np.inf)
    for strip in prange((centres.shape[0] + _STRIP - 1) // _STRIP):
        near_stop = np.zeros(directions.shape[0], np.int64)
        far_stop = np.zeros(directions.shape[0], np.int64)
        for i in range(strip * _STRIP, min((strip + 1) * _STRIP, centres.shape[0])):
            for k in range(directions.shape[0]):
                limit = min(longest_mm, best[i])
                need, near_stop[k] = _blocked_to(
                    centres[i], directions[k], near, near_stop[k], neck_mm, holder_mm, limit
                )
                if need >= best[i]:
                    continue
                more, far_stop[k] = _blocked_to(centres[i], directions[k], far, far_stop[k], neck_mm, holder_mm, limit)
                best[i] = min(best[i], max(need, more))
    return best


@njit(cache=True)
def _blocked_to(
    centre: Floats, direction: Floats, points: Floats, stop: int, neck_mm: float, holder_mm: float, longest_mm: float
) -> tuple[float, int]:
    """How far along the direction points (3, n) stand within the holder's radius; inf beyond the longest, or in the neck.
    And where the run of points begins that stopped it: asked first, what stopped a neighbour most often stops this one too.
    """
    need = 0.0
    for turn in range(-1, (points.shape[1] + _RUN - 1) // _RUN):
        start = turn * _RUN if turn >= 0 else stop
        run = (points[0][start : start + _RUN], points[1][start : start + _RUN], points[2][start : start + _RUN])
        barred, further = _standing(centre, direction, run, neck_mm, holder_mm, longest_mm, need)
        if barred:
            return np.inf, start
        if further:
            need = _farthest(centre, direction, run, holder_mm, need)
    return need, stop


@njit(cache=True)
def _standing(
    centre: Floats, direction: Floats, run: Run, neck_mm: float, holder_mm: float, longest_mm: float, need: float
) -> tuple[int, int]:
    """How many points of a run stand in the neck or beyond the longest, and how many in the holder's way beyond the need.

    Counts and no branches: the processor's wide registers do several points at a time, which a running maximum forbids.
    """
    cx, cy, cz = centre[0], centre[1], centre[2]
    dx, dy, dz = direction[0], direction[1], direction[2]
    neck, holder, barred, further = neck_mm * neck_mm, holder_mm * holder_mm, 0, 0
    px, py, pz = run
    for j in range(px.shape[0]):
        x, y, z = px[j] - cx, py[j] - cy, pz[j] - cz
        along = x * dx + y * dy + z * dz
        off = x * x + y * y + z * z - along * along
        stands = (off < holder) & (along > 0.0)
        barred += stands & ((off < neck) | (along > longest_mm))
        further += stands & (along > need)
    return barred, further


@njit(cache=True)
def _farthest(centre: Floats, direction: Floats, run: Run, holder_mm: float, need: float) -> float:
    """How far along the direction the last point of a run stands within the holder's radius, at least the need."""
    px, py, pz = run
    for j in range(px.shape[0]):
        x, y, z = px[j] - centre[0], py[j] - centre[1], pz[j] - centre[2]
        along = x * direction[0] + y * direction[1] + z * direction[2]
        if along > need and x * x + y * y + z * z - along * along < holder_mm * holder_mm:
            need = along
    return need


@njit(cache=True, parallel=True)
def least_distances(centres: Floats, points: Floats) -> Floats:
    """Distance (n,) from each centre to the nearest point."""
    least = np.empty(centres.shape[0])
    for i in prange(centres.shape[0]):
        best = np.inf
        for j in range(points.shape[0]):
            x = points[j, 0] - centres[i, 0]
            y = points[j, 1] - centres[i, 1]
            z = points[j, 2] - centres[i, 2]
            best = min(best, x * x + y * y + z * z)
        least[i] = np.sqrt(best)
    return least
