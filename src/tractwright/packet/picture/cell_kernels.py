"""The loop that draws cells: each pixel's line of sight goes from cell to cell until it meets one that stands."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int32]
Places = npt.NDArray[np.int64]
_ROUND = 2
_LEVEL = 1e-12


@njit(cache=True)
def _out_of(solid: npt.NDArray[np.bool_], cell: tuple[int, int, int], step: Floats) -> tuple[float, float, float]:
    """Where it is emptier round a cell: the way out of the metal, in the grid's axes; all 0 where it is so nowhere."""
    nx, ny, nz = solid.shape
    x, y, z = 0.0, 0.0, 0.0
    for a in range(-_ROUND, _ROUND + 1):
        for b in range(-_ROUND, _ROUND + 1):
            for c in range(-_ROUND, _ROUND + 1):
                i, j, k = cell[0] + a, cell[1] + b, cell[2] + c
                if 0 <= i < nx and 0 <= j < ny and 0 <= k < nz and solid[i, j, k]:
                    continue
                weight = 1.0 / max(1, a * a + b * b + c * c)
                x, y, z = x + weight * a * step[0], y + weight * b * step[1], z + weight * c * step[2]
    return x, y, z


@njit(cache=True)
def _entry(start: Floats, slope: Floats, count: Places) -> tuple[float, float, int]:
    """Where a line of sight comes into the grid and where it leaves it, and across which way it comes in; empty: none."""
    enter, leave, side = -np.inf, np.inf, 0
    for m in range(3):
        if abs(slope[m]) < _LEVEL:
            if not 0.0 < start[m] < count[m]:
                return np.inf, -np.inf, 0
            continue
        first, second = -start[m] / slope[m], (count[m] - start[m]) / slope[m]
        if min(first, second) > enter:
            enter, side = min(first, second), m
        leave = min(leave, max(first, second))
    return enter, leave, side


@njit(cache=True, nogil=True)
def march(
    cells: tuple[npt.NDArray[np.bool_], npt.NDArray[np.bool_]],
    places: tuple[Floats, Floats, Floats],
    index: int,
    buffers: tuple[Floats, Floats, Ints],
) -> None:
    """Draw cells into the buffers, nearest (largest depth) wins.

    cells : those drawn, and those of metal at all, by which their surface is told (nx, ny, nz). places : the grid's ways in
    eye axes (3, 3), rows; its lowest corner (3,), x right and y down [pixels], z towards the eye; a cell's step (3,) [pixels].
    index : colour index. buffers : depth (h, w), normal seen (h, w, 3), who (h, w). Source: amanatides_woo_1987.
    """
    shown, metal = cells
    axes, low, step = places
    depth, shade, who = buffers
    height, width = depth.shape
    count = np.array(shown.shape)
    slope = -axes[:, 2] / step
    start, out, following, long = np.zeros(3), np.zeros(3), np.zeros(3), np.zeros(3)
    cell, turn = np.zeros(3, dtype=np.int64), np.zeros(3, dtype=np.int64)
    for row in range(height):
        for column in range(width):
            x, y = column + 0.5 - low[0], row + 0.5 - low[1]
            for m in range(3):
                start[m] = (axes[m, 0] * x + axes[m, 1] * y - axes[m, 2] * low[2]) / step[m]
            at, leave, side = _entry(start, slope, count)
            if at >= leave:
                continue
            for m in range(3):
                cell[m] = min(max(int(np.floor(start[m] + slope[m] * (at + 1e-6))), 0), count[m] - 1)
                turn[m] = 1 if slope[m] > 0.0 else -1
                steep = abs(slope[m]) >= _LEVEL
                long[m] = 1.0 / abs(slope[m]) if steep else np.inf
                following[m] = (cell[m] + (turn[m] + 1) // 2 - start[m]) / slope[m] if steep else np.inf
            outer = True
            while -at > depth[row, column]:
                i, j, k = cell[0], cell[1], cell[2]
                if shown[i, j, k]:
                    depth[row, column], who[row, column] = -at, index
                    out[:] = 0.0
                    if outer:
                        out[side] = -turn[side]
                    else:
                        out[0], out[1], out[2] = _out_of(metal, (i, j, k), step)
                    for m in range(3):
                        turned = out[0] * axes[0, m] + out[1] * axes[1, m] + out[2] * axes[2, m]
                        shade[row, column, m] = -turned if m == 1 else turned
                    break
                side = 0 if following[0] < following[1] else 1
                side = side if following[side] < following[2] else 2
                at, outer = following[side], False
                cell[side] += turn[side]
                following[side] += long[side]
                if not 0 <= cell[side] < count[side]:
                    break
