"""The loop that fills pixels: depth, normal and colour index of the nearest triangle."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int32]


@njit(cache=True)
def fill(corners: Floats, normals: Floats, owner: Ints, depth: Floats, shade: Floats, who: Ints) -> None:
    """Draw triangles into the buffers, nearest (largest depth) wins.

    corners (t, 3, 3) : x right and y down [pixels], z towards the eye; normals (t, 3, 3) : corner normals in eye axes;
    owner (t,) : colour index; depth (h, w) starts at -inf; shade (h, w, 3) : normal seen; who (h, w) starts at -1.
    """
    height, width = depth.shape
    for t in range(corners.shape[0]):
        ax, ay, az = corners[t, 0]
        bx, by, bz = corners[t, 1]
        cx, cy, cz = corners[t, 2]
        twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if abs(twice) < 1e-12:
            continue
        x0 = max(0, int(np.ceil(min(ax, bx, cx) - 0.5)))
        x1 = min(width - 1, int(np.floor(max(ax, bx, cx) - 0.5)))
        y0 = max(0, int(np.ceil(min(ay, by, cy) - 0.5)))
        y1 = min(height - 1, int(np.floor(max(ay, by, cy) - 0.5)))
        for row in range(y0, y1 + 1):
            py = row + 0.5
            for column in range(x0, x1 + 1):
                px = column + 0.5
                wa = ((bx - px) * (cy - py) - (by - py) * (cx - px)) / twice
                wb = ((cx - px) * (ay - py) - (cy - py) * (ax - px)) / twice
                wc = 1.0 - wa - wb
                if wa < 0.0 or wb < 0.0 or wc < 0.0:
                    continue
                z = wa * az + wb * bz + wc * cz
                if z <= depth[row, column]:
                    continue
                depth[row, column] = z
                who[row, column] = owner[t]
                for k in range(3):
                    shade[row, column, k] = wa * normals[t, 0, k] + wb * normals[t, 1, k] + wc * normals[t, 2, k]
