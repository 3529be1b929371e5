"""The loops of a picture: normals at corners; pixels with depth, normal and colour index of the nearest triangle; light."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int32]
Places = npt.NDArray[np.int64]


@njit(cache=True, nogil=True)
def smooth_sums(
    area_normal: Floats, own: Floats, flat: Ints, order: Places, starts: Places, smooth_below: float
) -> Floats:
    """At each corner (3 t, 3) the sum of the area normals of the triangles there that turn little from its own.

    area_normal, own (t, 3) : normals long as twice the area, and of length one; flat (3 t,) : vertex of each corner;
    order (3 t,) : corners by vertex, starts (v + 1,) : where each vertex begins in it; smooth_below : least cosine of a turn.
    """
    total = np.zeros((flat.shape[0], 3))
    for corner in range(flat.shape[0]):
        here, vertex = corner // 3, flat[corner]
        for place in range(starts[vertex], starts[vertex + 1]):
            there = order[place] // 3
            turn = own[there, 0] * own[here, 0] + own[there, 1] * own[here, 1] + own[there, 2] * own[here, 2]
            if turn > smooth_below:
                for k in range(3):
                    total[corner, k] += area_normal[there, k]
    return total


@njit(cache=True)
def _span(start: float, slope: float, low: float, high: float) -> tuple[float, float]:
    """The part of low..high in which start + slope x is not negative; empty (low over high) where there is none."""
    if slope > 0.0:
        return max(low, -start / slope), high
    if slope < 0.0:
        return low, min(high, -start / slope)
    return (low, high) if start >= 0.0 else (1.0, 0.0)


@njit(cache=True, nogil=True)
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
        y0 = max(0, int(np.ceil(min(ay, by, cy) - 0.5)))
        y1 = min(height - 1, int(np.floor(max(ay, by, cy) - 0.5)))
        slope_a, slope_b = (by - cy) / twice, (cy - ay) / twice
        for row in range(y0, y1 + 1):
            py = row + 0.5
            at_a = ((bx - 0.5) * (cy - py) - (by - py) * (cx - 0.5)) / twice
            at_b = ((cx - 0.5) * (ay - py) - (cy - py) * (ax - 0.5)) / twice
            x0, x1 = _span(at_a, slope_a, 0.0, width - 1.0)
            x0, x1 = _span(at_b, slope_b, x0, x1)
            x0, x1 = _span(1.0 - at_a - at_b, -slope_a - slope_b, x0, x1)
            for column in range(int(np.ceil(x0)), int(np.floor(x1)) + 1):
                wa, wb = at_a + slope_a * column, at_b + slope_b * column
                wc = 1.0 - wa - wb
                z = wa * az + wb * bz + wc * cz
                if z <= depth[row, column]:
                    continue
                depth[row, column] = z
                who[row, column] = owner[t]
                for k in range(3):
                    shade[row, column, k] = wa * normals[t, 0, k] + wb * normals[t, 1, k] + wc * normals[t, 2, k]


@njit(cache=True)
def _crease(
    depth: Floats, shade: Floats, who: Ints, place: tuple[int, int], other: tuple[int, int], far: float
) -> float:
    """How strongly to ink the border between two pixels: outline 0.85, crease 0.45, step in depth 0.5."""
    row, column = place
    r, c = other
    if who[row, column] != who[r, c]:
        return 0.85
    if who[row, column] < 0:
        return 0.0
    if abs(depth[row, column] - depth[r, c]) > far:
        return 0.5
    a, b = shade[row, column], shade[r, c]
    dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
    sizes = np.sqrt((a[0] ** 2 + a[1] ** 2 + a[2] ** 2) * (b[0] ** 2 + b[1] ** 2 + b[2] ** 2))
    return 0.45 if dot < 0.78 * sizes else 0.0


@njit(cache=True, nogil=True)
def paint(depth: Floats, shade: Floats, who: Ints, colours: Floats, lights: Floats, far: float) -> Floats:
    """The picture (h, w, 3): colour by light on the normal seen, edges inked, white where nothing stands.

    lights (4, 3) : three unit directions (main, second, gloss) and the ink's colour. far : a step in depth that is inked.
    """
    height, width = depth.shape
    image = np.ones((height, width, 3))
    for row in range(height):
        for column in range(width):
            ink = 0.0
            if row + 1 < height:
                ink = max(ink, _crease(depth, shade, who, (row, column), (row + 1, column), far))
            if column + 1 < width:
                ink = max(ink, _crease(depth, shade, who, (row, column), (row, column + 1), far))
            body = who[row, column]
            if body >= 0:
                nx, ny, nz = shade[row, column]
                size = np.sqrt(nx * nx + ny * ny + nz * nz) + 1e-30
                side = -1.0 if nz < 0.0 else 1.0
                nx, ny, nz = side * nx / size, side * ny / size, side * nz / size
                main = max(0.0, nx * lights[0, 0] + ny * lights[0, 1] + nz * lights[0, 2])
                second = max(0.0, nx * lights[1, 0] + ny * lights[1, 1] + nz * lights[1, 2])
                gloss = max(0.0, nx * lights[2, 0] + ny * lights[2, 1] + nz * lights[2, 2]) ** 40
                light = 0.36 + 0.56 * main + 0.24 * second
                for k in range(3):
                    image[row, column, k] = min(1.0, colours[body, k] * light + 0.14 * gloss)
            for k in range(3):
                image[row, column, k] = image[row, column, k] * (1.0 - ink) + lights[3, k] * ink
    return image
