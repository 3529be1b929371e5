"""Compiled loops over grids: distances to triangles, near ones exact, far ones by the nearest triangle known."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Floats32 = npt.NDArray[np.float32]
Ints = npt.NDArray[np.int32]


@njit(cache=True)
def triangle_distance2(x: float, y: float, z: float, a: Floats, b: Floats, c: Floats) -> float:
    """Squared distance of a point to a triangle, by the region its nearest point lies in.

    Source: C. Ericson (2005), Real-Time Collision Detection, 5.1.5 (memory).
    """
    abx, aby, abz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    acx, acy, acz = c[0] - a[0], c[1] - a[1], c[2] - a[2]
    apx, apy, apz = x - a[0], y - a[1], z - a[2]
    d1 = abx * apx + aby * apy + abz * apz
    d2 = acx * apx + acy * apy + acz * apz
    bpx, bpy, bpz = x - b[0], y - b[1], z - b[2]
    d3 = abx * bpx + aby * bpy + abz * bpz
    d4 = acx * bpx + acy * bpy + acz * bpz
    cpx, cpy, cpz = x - c[0], y - c[1], z - c[2]
    d5 = abx * cpx + aby * cpy + abz * cpz
    d6 = acx * cpx + acy * cpy + acz * cpz
    va, vb, vc = d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2
    if d1 <= 0.0 and d2 <= 0.0:
        s, t = 0.0, 0.0
    elif d3 >= 0.0 and d4 <= d3:
        s, t = 1.0, 0.0
    elif d6 >= 0.0 and d5 <= d6:
        s, t = 0.0, 1.0
    elif vc <= 0.0 and d1 >= 0.0 and d3 <= 0.0:
        s, t = d1 / (d1 - d3) if d1 > d3 else 0.0, 0.0
    elif vb <= 0.0 and d2 >= 0.0 and d6 <= 0.0:
        s, t = 0.0, d2 / (d2 - d6) if d2 > d6 else 0.0
    elif va <= 0.0 and d4 - d3 >= 0.0 and d5 - d6 >= 0.0:
        whole = (d4 - d3) + (d5 - d6)
        t = (d4 - d3) / whole if whole > 0.0 else 0.0
        s = 1.0 - t
    else:
        whole = va + vb + vc
        s, t = vb / whole, vc / whole
    dx, dy, dz = apx - s * abx - t * acx, apy - s * aby - t * acy, apz - s * abz - t * acz
    return dx * dx + dy * dy + dz * dz


@njit(cache=True)
def near_triangles(vertices: Floats, faces: Ints, low: Floats, step: float, owner: Ints) -> Floats32:
    """Squared distance at grid points within a step of a triangle's box, infinity elsewhere (nx, ny, nz).

    owner (nx, ny, nz) starts at -1 and takes the number of the nearest triangle.
    """
    nx, ny, nz = owner.shape
    found = np.full((nx, ny, nz), np.float32(np.inf))
    first, last = np.empty(3, np.int64), np.empty(3, np.int64)
    for f in range(faces.shape[0]):
        a, b, c = vertices[faces[f, 0]], vertices[faces[f, 1]], vertices[faces[f, 2]]
        for k in range(3):
            first[k] = max(0, int(np.ceil((min(a[k], b[k], c[k]) - low[k]) / step - 1.0)))
            last[k] = min(owner.shape[k] - 1, int(np.floor((max(a[k], b[k], c[k]) - low[k]) / step + 1.0)))
        for i in range(first[0], last[0] + 1):
            for j in range(first[1], last[1] + 1):
                for k in range(first[2], last[2] + 1):
                    d = triangle_distance2(low[0] + i * step, low[1] + j * step, low[2] + k * step, a, b, c)
                    if d < found[i, j, k]:
                        found[i, j, k] = d
                        owner[i, j, k] = f
    return found


@njit(cache=True)
def _nearest_on_line(square: Floats32, index: Ints, foot: Ints, edge: Floats) -> int:
    """Lower envelope of parabolas over one line: their number; foot and edge take places and limits."""
    count, cross = -1, -np.inf
    for q in range(square.shape[0]):
        if index[q] < 0:
            continue
        while count >= 0:
            v = foot[count]
            cross = ((square[q] + float(q) * q) - (square[v] + float(v) * v)) / (2.0 * (q - v))
            if cross > edge[count]:
                break
            count -= 1
        count += 1
        foot[count] = q
        edge[count] = cross if count > 0 else -np.inf
    return count + 1


@njit(cache=True)
def nearest_seed(index: Ints) -> None:
    """Fill index (nx, ny, nz) in place: the nearest grid point that starts >= 0 (its own number), for every point.

    Exact between grid points, axis by axis.
    Source: Felzenszwalb, Huttenlocher (2012), Theory of Computing 8, 415-428 (memory).
    """
    nx, ny, nz = index.shape
    square = np.zeros((nx, ny, nz), np.float32)
    longest = max(nx, ny, nz)
    foot, edge = np.empty(longest, np.int32), np.empty(longest)
    for axis in range(3):
        rows = (ny * nz, nx * nz, nx * ny)[axis]
        width = (nz, nz, ny)[axis]
        for row in range(rows):
            a, b = row // width, row % width
            if axis == 0:
                line, own = square[:, a, b], index[:, a, b]
            elif axis == 1:
                line, own = square[a, :, b], index[a, :, b]
            else:
                line, own = square[a, b, :], index[a, b, :]
            count = _nearest_on_line(line, own, foot, edge)
            if count == 0:
                continue
            heights, names = line.copy(), own.copy()
            k = 0
            for q in range(line.shape[0]):
                while k + 1 < count and edge[k + 1] < q:
                    k += 1
                v = foot[k]
                line[q] = heights[v] + np.float32(q - v) ** 2
                own[q] = names[v]


@njit(cache=True)
def far_distances(vertices: Floats, faces: Ints, low: Floats, step: float, owner: Ints) -> Floats32:
    """Distance at every grid point to its owner triangle, owners (nx, ny, nz) bettered in place by their neighbours'.

    Two sweeps, there and back: a point takes over a neighbour's triangle where that is nearer.
    """
    nx, ny, nz = owner.shape
    square = np.full((nx, ny, nz), np.float32(np.inf))
    for sweep in range(2):
        for n in range(nx * ny * nz):
            at = n if sweep == 0 else nx * ny * nz - 1 - n
            i, j, k = at // (ny * nz), at // nz % ny, at % nz
            x, y, z = low[0] + i * step, low[1] + j * step, low[2] + k * step
            back = 1 if sweep == 0 else -1
            for m in range(4):
                a, b, c = i - back * (m == 1), j - back * (m == 2), k - back * (m == 3)
                if a < 0 or b < 0 or c < 0 or a >= nx or b >= ny or c >= nz or (m == 0 and sweep == 1):
                    continue
                f = owner[a, b, c]
                if m > 0 and f == owner[i, j, k]:
                    continue
                d = triangle_distance2(x, y, z, vertices[faces[f, 0]], vertices[faces[f, 1]], vertices[faces[f, 2]])
                if d < square[i, j, k]:
                    square[i, j, k] = d
                    owner[i, j, k] = f
    return np.sqrt(square)


@njit(cache=True)
def depth_inside(values: Floats32, level: float, step: float, seed: Ints) -> Floats32:
    """Signed distance to the surface where values reach level, positive where they are less (nx, ny, nz).

    seed : for each sample the nearest one at or above the level. From below, a straight way to a sample v above ends at
    least values[v] - level before it, if values grow no faster than distance: the least over the seeds round about.
    """
    nx, ny, nz = values.shape
    flat = values.ravel()
    found = np.empty((nx, ny, nz), np.float32)
    for i in range(nx):
        for j in range(ny):
            for k in range(nz):
                if values[i, j, k] >= level:
                    found[i, j, k] = level - values[i, j, k]
                    continue
                best = np.inf
                for n in range(27):
                    a, b, c = i + n // 9 - 1, j + n // 3 % 3 - 1, k + n % 3 - 1
                    if a < 0 or b < 0 or c < 0 or a >= nx or b >= ny or c >= nz:
                        continue
                    v = seed[a, b, c]
                    x, y, z = v // (ny * nz) - i, v // nz % ny - j, v % nz - k
                    best = min(best, step * np.sqrt(float(x * x + y * y + z * z)) - (flat[v] - level))
                found[i, j, k] = max(best, level - values[i, j, k])
    return found
