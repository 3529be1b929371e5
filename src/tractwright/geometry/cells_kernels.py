"""The loops of a body told by cells: what lies inside a mesh, what is nearest, what a straight tool sees."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Labels = npt.NDArray[np.int16]
Steps = tuple[float, float, float]


@njit(cache=True, nogil=True)
def cross_columns(corners: Floats, step: Steps, flips: npt.NDArray[np.bool_]) -> None:
    """Where each column of cells along the third axis goes through a mesh.

    corners (t, 3, 3) : of its triangles, from the grid's own corner; flips (nx, ny, nz) : turned over at the first cell
    whose middle lies past the triangle, so that an odd count so far means inside.
    """
    nx, ny, nz = flips.shape
    for t in range(corners.shape[0]):
        ax, ay, az = corners[t, 0, 0] / step[0] - 0.5, corners[t, 0, 1] / step[1] - 0.5, corners[t, 0, 2]
        bx, by, bz = corners[t, 1, 0] / step[0] - 0.5, corners[t, 1, 1] / step[1] - 0.5, corners[t, 1, 2]
        cx, cy, cz = corners[t, 2, 0] / step[0] - 0.5, corners[t, 2, 1] / step[1] - 0.5, corners[t, 2, 2]
        twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if twice == 0.0:
            continue
        for i in range(max(0, int(np.ceil(min(ax, bx, cx)))), min(nx - 1, int(max(ax, bx, cx))) + 1):
            for j in range(max(0, int(np.ceil(min(ay, by, cy)))), min(ny - 1, int(max(ay, by, cy))) + 1):
                wa = ((bx - i) * (cy - j) - (by - j) * (cx - i)) / twice
                wb = ((cx - i) * (ay - j) - (cy - j) * (ax - i)) / twice
                if wa < 0.0 or wb < 0.0 or wa + wb > 1.0:
                    continue
                height = (wa * az + wb * bz + (1.0 - wa - wb) * cz) / step[2] - 0.5
                k = max(0, int(np.ceil(height)))
                if k < nz:
                    flips[i, j, k] = not flips[i, j, k]


@njit(cache=True, nogil=True)
def spread(labels: Labels) -> None:
    """Give every cell of 0 the label of the nearest labelled one, by steps from cell to cell through cells of 0 only;
    labels (nx, ny, nz), negative where no way leads.
    """
    nx, ny, nz = labels.shape
    flat = labels.reshape(-1)
    queue = np.empty(flat.shape[0], dtype=np.int32)
    head, tail = 0, 0
    for place in range(flat.shape[0]):
        if flat[place] > 0:
            queue[tail] = place
            tail += 1
    while head < tail:
        place = queue[head]
        head += 1
        i, j, k = place // (ny * nz), place // nz % ny, place % nz
        for way in range(6):
            a = i + (1 if way == 0 else -1 if way == 1 else 0)
            b = j + (1 if way == 2 else -1 if way == 3 else 0)
            c = k + (1 if way == 4 else -1 if way == 5 else 0)
            if 0 <= a < nx and 0 <= b < ny and 0 <= c < nz and labels[a, b, c] == 0:
                labels[a, b, c] = flat[place]
                queue[tail] = (a * ny + b) * nz + c
                tail += 1


@njit(cache=True, nogil=True)
def see(
    left: npt.NDArray[np.bool_], asked: npt.NDArray[np.bool_], seen_from: tuple[Floats, Floats, float], planes: Floats
) -> None:
    """Clear the cells asked for that stand free over a height map, and over every plane.

    left, asked (nx, ny, nz) : cells there, and those that may go. seen_from : heights (mx, my), the map (3, 4) from a cell's
    number to the height map's own axes, and its step. planes (p, 4) : a cell goes only where each row . (i, j, k, 1) > 0.
    """
    heights, into, step = seen_from
    mx, my = heights.shape
    nx, ny, nz = left.shape
    for i in range(nx):
        for j in range(ny):
            for k in range(nz):
                if not (left[i, j, k] and asked[i, j, k]):
                    continue
                free = True
                for p in range(planes.shape[0]):
                    free &= planes[p, 0] * i + planes[p, 1] * j + planes[p, 2] * k + planes[p, 3] > 0.0
                if not free:
                    continue
                a = int(np.floor((into[0, 0] * i + into[0, 1] * j + into[0, 2] * k + into[0, 3]) / step))
                b = int(np.floor((into[1, 0] * i + into[1, 1] * j + into[1, 2] * k + into[1, 3]) / step))
                high = into[2, 0] * i + into[2, 1] * j + into[2, 2] * k + into[2, 3]
                if 0 <= a < mx and 0 <= b < my and high < heights[a, b]:
                    continue
                left[i, j, k] = False


@njit(cache=True, nogil=True)
def clear_crumbs(left: npt.NDArray[np.bool_], asked: npt.NDArray[np.bool_], body: npt.NDArray[np.bool_]) -> None:
    """Clear cells asked for that touch both the body and what is cleared already: a map of heights leaves them on its walls.

    left, asked, body (nx, ny, nz). One layer goes, of those that touch.
    """
    nx, ny, nz = left.shape
    before = left.copy()
    for i in range(1, nx - 1):
        for j in range(1, ny - 1):
            for k in range(1, nz - 1):
                if not (before[i, j, k] and asked[i, j, k]):
                    continue
                beside, bare = 0, 0
                for way in range(6):
                    a = i + (1 if way == 0 else -1 if way == 1 else 0)
                    b = j + (1 if way == 2 else -1 if way == 3 else 0)
                    c = k + (1 if way == 4 else -1 if way == 5 else 0)
                    if body[a, b, c]:
                        beside += 1
                    elif not before[a, b, c]:
                        bare += 1
                if beside > 0 and bare > 0:
                    left[i, j, k] = False
