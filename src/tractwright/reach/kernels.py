"""The loop over tool placings: does a neck stay clear, and how far must the tool stand out of its holder."""

import numpy as np
import numpy.typing as npt
from numba import njit, prange

Floats = npt.NDArray[np.float64]


@njit(cache=True, parallel=True)
def least_stickouts(
    centres: Floats, directions: Floats, near: Floats, far: Floats, neck_mm: float, holder_mm: float, longest_mm: float
) -> Floats:
    """For each ball centre (n, 3) the least stick-out over the tool directions (d, 3) [mm]; inf where none clears.

    near (a, 3) : points of the passage's own surface; far (b, 3) : points of the rest of the part. The neck (radius) must
    stay off the near points, the holder (radius) may only begin beyond every point that stands in its way. longest_mm :
    from the ball's centre; what would need more counts as not cleared.
    """
    best = np.full(centres.shape[0], np.inf)
    for i in prange(centres.shape[0]):
        for k in range(directions.shape[0]):
            need = _blocked_to(centres, i, directions, k, near, neck_mm, holder_mm, min(longest_mm, best[i]))
            if need >= best[i]:
                continue
            need = max(need, _blocked_to(centres, i, directions, k, far, neck_mm, holder_mm, min(longest_mm, best[i])))
            best[i] = min(best[i], need)
    return best


@njit(cache=True)
def _blocked_to(
    centres: Floats,
    i: int,
    directions: Floats,
    k: int,
    points: Floats,
    neck_mm: float,
    holder_mm: float,
    longest_mm: float,
) -> float:
    """How far along the direction points stand within the holder's radius; inf beyond the longest, or in the neck."""
    need = 0.0
    for j in range(points.shape[0]):
        x = points[j, 0] - centres[i, 0]
        y = points[j, 1] - centres[i, 1]
        z = points[j, 2] - centres[i, 2]
        along = x * directions[k, 0] + y * directions[k, 1] + z * directions[k, 2]
        if along <= 0.0:
            continue
        off = x * x + y * y + z * z - along * along
        if off < holder_mm * holder_mm:
            if off < neck_mm * neck_mm or along > longest_mm:
                return np.inf
            need = max(need, along)
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
