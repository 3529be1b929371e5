"""The loop that fills a height map from triangles."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]


@njit(cache=True)
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
