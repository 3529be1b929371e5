"""Compiled loops over triangles: grouping equal rows, joined parts, cells, planes, sections."""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int32]
Words = npt.NDArray[np.uint32]


@njit(cache=True)
def group_rows(rows: Words) -> tuple[Ints, Ints]:
    """Equal rows of (n, 3) put together: index of the first row of each group (m,), and the group of each row (n,)."""
    count = rows.shape[0]
    size = 8
    while size < 2 * count:
        size *= 2
    table = np.full(size, -1, np.int32)
    mask = np.uint64(size - 1)
    first = np.empty(count, np.int32)
    group = np.empty(count, np.int32)
    groups = 0
    for i in range(count):
        a, b, c = np.uint64(rows[i, 0]), np.uint64(rows[i, 1]), np.uint64(rows[i, 2])
        mixed = (
            a * np.uint64(0x9E3779B97F4A7C15) + b * np.uint64(0xC2B2AE3D27D4EB4F) + c * np.uint64(0x165667B19E3779F9)
        )
        mixed ^= mixed >> np.uint64(31)
        mixed *= np.uint64(0xBF58476D1CE4E5B9)
        mixed ^= mixed >> np.uint64(29)
        slot = np.int64(mixed & mask)
        while True:
            known = table[slot]
            if known < 0:
                table[slot] = groups
                first[groups] = i
                group[i] = groups
                groups += 1
                break
            j = first[known]
            if rows[j, 0] == rows[i, 0] and rows[j, 1] == rows[i, 1] and rows[j, 2] == rows[i, 2]:
                group[i] = known
                break
            slot = np.int64((np.uint64(slot) + np.uint64(1)) & mask)
    return first[:groups].copy(), group


@njit(cache=True)
def joined_parts(faces: Ints, count: int) -> Ints:
    """For each of count vertices the least vertex that triangles join it to (count,)."""
    root = np.arange(count).astype(np.int32)
    for i in range(faces.shape[0]):
        a = faces[i, 0]
        while root[a] != a:
            root[a] = root[root[a]]
            a = root[a]
        for k in range(1, 3):
            b = faces[i, k]
            while root[b] != b:
                root[b] = root[root[b]]
                b = root[b]
            if a < b:
                root[b] = a
            elif b < a:
                root[a] = b
                a = b
    for i in range(count):
        a = i
        while root[a] != a:
            a = root[a]
        root[i] = a
    return root


@njit(cache=True)
def cell_moments(vertices: Floats, faces: Ints, cell: Ints, cells: int) -> tuple[Floats, Floats, Floats]:
    """Area (c,), first (c, 3) and second moments (c, 3, 3) of the triangles of each cell, about the origin."""
    area = np.zeros(cells)
    first = np.zeros((cells, 3))
    second = np.zeros((cells, 3, 3))
    for i in range(faces.shape[0]):
        a, b, c = vertices[faces[i, 0]], vertices[faces[i, 1]], vertices[faces[i, 2]]
        ux, uy, uz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
        wx, wy, wz = c[0] - a[0], c[1] - a[1], c[2] - a[2]
        size = 0.5 * np.sqrt((uy * wz - uz * wy) ** 2 + (uz * wx - ux * wz) ** 2 + (ux * wy - uy * wx) ** 2)
        k = cell[i]
        area[k] += size
        for p in range(3):
            total = a[p] + b[p] + c[p]
            first[k, p] += size * total / 3.0
            for q in range(3):
                both = a[p] * a[q] + b[p] * b[q] + c[p] * c[q] + total * (a[q] + b[q] + c[q])
                second[k, p, q] += size / 12.0 * both
    return area, first, second


@njit(cache=True)
def plane_scores(
    points: Floats, normals: Floats, areas: Floats, picks: npt.NDArray[np.int64], reach: float, cosine: float
) -> Floats:
    """For the plane through each picked point square to its normal: the area of points on it that face as it does."""
    score = np.zeros(picks.shape[0])
    for h in range(picks.shape[0]):
        p, n = points[picks[h]], normals[picks[h]]
        offset = p[0] * n[0] + p[1] * n[1] + p[2] * n[2]
        total = 0.0
        for i in range(points.shape[0]):
            d = points[i, 0] * n[0] + points[i, 1] * n[1] + points[i, 2] * n[2] - offset
            if abs(d) < reach:
                turn = normals[i, 0] * n[0] + normals[i, 1] * n[1] + normals[i, 2] * n[2]
                if abs(turn) > cosine:
                    total += areas[i]
        score[h] = total
    return score


@njit(cache=True)
def half_crosses(vertices: Floats, faces: Ints) -> Floats:
    """For each triangle its normal times its area (m, 3)."""
    found = np.empty((faces.shape[0], 3))
    for i in range(faces.shape[0]):
        a, b, c = vertices[faces[i, 0]], vertices[faces[i, 1]], vertices[faces[i, 2]]
        ux, uy, uz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
        wx, wy, wz = c[0] - a[0], c[1] - a[1], c[2] - a[2]
        found[i, 0] = 0.5 * (uy * wz - uz * wy)
        found[i, 1] = 0.5 * (uz * wx - ux * wz)
        found[i, 2] = 0.5 * (ux * wy - uy * wx)
    return found


@njit(cache=True)
def longest_edges(vertices: Floats, faces: Ints) -> tuple[Floats, Ints]:
    """The square of each triangle's longest edge (m,), and with which of its corners that begins (m,)."""
    square, begins = np.empty(faces.shape[0]), np.empty(faces.shape[0], np.int32)
    for i in range(faces.shape[0]):
        most, first = -1.0, 0
        for k in range(3):
            a, b = vertices[faces[i, k]], vertices[faces[i, (k + 1) % 3]]
            own = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2 + (b[2] - a[2]) ** 2
            if own > most:
                most, first = own, k
        square[i], begins[i] = most, first
    return square, begins


@njit(cache=True)
def heights_in_box(vertices: Floats, point: Floats, normal: Floats, low: Floats, high: Floats) -> Floats:
    """Height of each vertex (n,) over the plane through a point; infinite outside the box."""
    height = np.full(vertices.shape[0], np.inf)
    for i in range(vertices.shape[0]):
        x, y, z = vertices[i, 0], vertices[i, 1], vertices[i, 2]
        if low[0] < x < high[0] and low[1] < y < high[1] and low[2] < z < high[2]:
            height[i] = (x - point[0]) * normal[0] + (y - point[1]) * normal[1] + (z - point[2]) * normal[2]
    return height


@njit(cache=True)
def faces_between(faces: Ints, height: Floats, low: float, high: float) -> npt.NDArray[np.bool_]:
    """Marks the triangles (m,) whose corners all have a height, given at the vertices (n,), between low and high."""
    inside = np.empty(faces.shape[0], np.bool_)
    for i in range(faces.shape[0]):
        a, b, c = height[faces[i, 0]], height[faces[i, 1]], height[faces[i, 2]]
        inside[i] = low < a < high and low < b < high and low < c < high
    return inside


@njit(cache=True)
def section_segments(vertices: Floats, faces: Ints, height: Floats) -> Floats:
    """Where triangles cross height 0, height (n,) given at the vertices: segments (k, 2, 3)."""
    segments = np.empty((1024, 2, 3))
    count = 0
    for i in range(faces.shape[0]):
        above = 0
        for k in range(3):
            above += height[faces[i, k]] > 0.0
        if above in (0, 3):
            continue
        if count == segments.shape[0]:
            segments = np.concatenate((segments, np.empty_like(segments)))
        end = 0
        for k in range(3):
            a, b = faces[i, k], faces[i, (k + 1) % 3]
            if (height[a] > 0.0) != (height[b] > 0.0):
                t = height[a] / (height[a] - height[b])
                for d in range(3):
                    segments[count, end, d] = vertices[a, d] + t * (vertices[b, d] - vertices[a, d])
                end += 1
        count += 1
    return segments[:count].copy()
