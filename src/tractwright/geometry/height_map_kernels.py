"""The loops of height maps. They leave the interpreter free: maps of several directions are made side by side."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]


@njit(cache=True, nogil=True)
def raise_heights(corners: Floats, step: float, heights: Floats) -> None:
    """Raise the map (nx, ny) to the highest triangle over each cell's centre; corners (t, 3, 3), x and y from 0."""
    nx, ny = heights.shape
    for t in range(corners.shape[0]):
        ax, ay, az = corners[t, 0]
        bx, by, bz = corners[t, 1]
        cx, cy, cz = corners[t, 2]
        for k in range(3):
            i, j = int(corners[t, k, 0] / step), int(corners[t, k, 1] / step)
            if 0 <= i < nx and 0 <= j < ny:
                heights[i, j] = max(heights[i, j], corners[t, k, 2])
        twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if abs(twice) < 1e-12:
            continue
        i0 = max(0, int(min(ax, bx, cx) / step - 0.5))
        i1 = min(nx - 1, int(max(ax, bx, cx) / step + 0.5))
        j0 = max(0, int(min(ay, by, cy) / step - 0.5))
        j1 = min(ny - 1, int(max(ay, by, cy) / step + 0.5))
        for i in range(i0, i1 + 1):
            px = (i + 0.5) * step
            for j in range(j0, j1 + 1):
                py = (j + 0.5) * step
                wa = ((bx - px) * (cy - py) - (by - py) * (cx - px)) / twice
                wb = ((cx - px) * (ay - py) - (cy - py) * (ax - px)) / twice
                wc = 1.0 - wa - wb
                if wa >= 0.0 and wb >= 0.0 and wc >= 0.0:
                    heights[i, j] = max(heights[i, j], wa * az + wb * bz + wc * cz)


@njit(cache=True, nogil=True)
def stickouts_over(
    heights: Floats, step: float, places: Floats, levels: Floats, tips: Floats, sizes: tuple[float, float, float, float]
) -> Floats:
    """For tools standing at places (n, 2) over the map: how far beyond the tip the highest cell under the holder is.

    sizes : radii of the flat, of the corner round it, of the body, of the holder. inf where a cell within the body's radius
    stands over the level (which rises with the corner beyond the flat).
    """
    flat, corner, body, holder = sizes
    nx, ny = heights.shape
    out = np.empty(places.shape[0])
    reach = holder / step
    for q in range(places.shape[0]):
        x, y, tip = places[q, 0] / step, places[q, 1] / step, tips[q]
        top, blocked = tip, False
        for i in range(max(0, int(x - reach)), min(nx - 1, int(x + reach)) + 1):
            if blocked:
                break
            dx = i + 0.5 - x
            wide = np.sqrt(max(0.0, reach * reach - dx * dx))
            for j in range(max(0, int(y - wide)), min(ny - 1, int(y + wide)) + 1):
                height = heights[i, j]
                if height <= tip:
                    continue
                dy = j + 0.5 - y
                off = np.sqrt(dx * dx + dy * dy) * step
                if off < holder:
                    top = max(top, height)
                if off < body:
                    over = min(max(off - flat, 0.0), corner)
                    blocked |= height > levels[q] + corner - np.sqrt(corner * corner - over * over)
        out[q] = np.inf if blocked else top - tip
    return out
