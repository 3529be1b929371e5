"""Numeric kernels of the finite elements: ten-node tetrahedra with straight edges, so that every gradient is linear in one.

Nodes of a tetrahedron: corners 0 to 3, then middles of the edges 01, 12, 02, 03, 13, 23. A row of the system is 3 node +
axis; `number` says which unknown it is, -1 where the displacement is given. Sums over four points are exact for stiffness.
Source key: zienkiewicz_taylor.
"""

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Ints32 = npt.NDArray[np.int32]

_FAR, _NEAR = 0.5854101966249685, 0.1381966011250105


@njit(cache=True)
def corner_gradients(corners: Floats, gradients: Floats) -> float:
    """Gradients (4, 3) of the corner coordinates, written into `gradients`; gives the volume."""
    ax, ay, az = corners[1, 0] - corners[0, 0], corners[1, 1] - corners[0, 1], corners[1, 2] - corners[0, 2]
    bx, by, bz = corners[2, 0] - corners[0, 0], corners[2, 1] - corners[0, 1], corners[2, 2] - corners[0, 2]
    cx, cy, cz = corners[3, 0] - corners[0, 0], corners[3, 1] - corners[0, 1], corners[3, 2] - corners[0, 2]
    gradients[1, 0], gradients[1, 1], gradients[1, 2] = by * cz - bz * cy, bz * cx - bx * cz, bx * cy - by * cx
    gradients[2, 0], gradients[2, 1], gradients[2, 2] = cy * az - cz * ay, cz * ax - cx * az, cx * ay - cy * ax
    gradients[3, 0], gradients[3, 1], gradients[3, 2] = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    six = ax * gradients[1, 0] + ay * gradients[1, 1] + az * gradients[1, 2]
    for axis in range(3):
        for corner in range(1, 4):
            gradients[corner, axis] /= six
        gradients[0, axis] = -gradients[1, axis] - gradients[2, axis] - gradients[3, axis]
    return abs(six) / 6.0


@njit(cache=True)
def node_gradients(gradients: Floats, at: Floats, out: Floats) -> None:
    """Gradients (10, 3) of the ten shape functions where the corner coordinates are `at`."""
    for axis in range(3):
        for corner in range(4):
            out[corner, axis] = (4.0 * at[corner] - 1.0) * gradients[corner, axis]
        out[4, axis] = 4.0 * (at[0] * gradients[1, axis] + at[1] * gradients[0, axis])
        out[5, axis] = 4.0 * (at[1] * gradients[2, axis] + at[2] * gradients[1, axis])
        out[6, axis] = 4.0 * (at[0] * gradients[2, axis] + at[2] * gradients[0, axis])
        out[7, axis] = 4.0 * (at[0] * gradients[3, axis] + at[3] * gradients[0, axis])
        out[8, axis] = 4.0 * (at[1] * gradients[3, axis] + at[3] * gradients[1, axis])
        out[9, axis] = 4.0 * (at[2] * gradients[3, axis] + at[3] * gradients[2, axis])


@njit(cache=True)
def tet_stiffness(corners: Floats, lame: float, shear: float, out: Floats) -> None:
    """Stiffness (30, 30) of one tetrahedron, the upper half of it, written into `out`."""
    gradients = np.empty((4, 3))
    shapes = np.empty((10, 3))
    at = np.empty(4)
    weight = corner_gradients(corners, gradients) / 4.0
    out[:, :] = 0.0
    for point in range(4):
        for corner in range(4):
            at[corner] = _FAR if corner == point else _NEAR
        node_gradients(gradients, at, shapes)
        for p in range(10):
            for q in range(p, 10):
                px, py, pz = shapes[p, 0] * weight, shapes[p, 1] * weight, shapes[p, 2] * weight
                qx, qy, qz = shapes[q, 0], shapes[q, 1], shapes[q, 2]
                both = shear * (px * qx + py * qy + pz * qz)
                i, j = 3 * p, 3 * q
                out[i, j] += (lame + shear) * px * qx + both
                out[i, j + 1] += lame * px * qy + shear * py * qx
                out[i, j + 2] += lame * px * qz + shear * pz * qx
                out[i + 1, j] += lame * py * qx + shear * px * qy
                out[i + 1, j + 1] += (lame + shear) * py * qy + both
                out[i + 1, j + 2] += lame * py * qz + shear * pz * qy
                out[i + 2, j] += lame * pz * qx + shear * px * qz
                out[i + 2, j + 1] += lame * pz * qy + shear * py * qz
                out[i + 2, j + 2] += (lame + shear) * pz * qz + both


@njit(cache=True)
def neighbours(tets: Ints32, count: int) -> tuple[Ints, Ints32]:
    """Nodes that share a tetrahedron with each node, itself among them, in order: where each list starts, and the lists."""
    starts = np.zeros(count + 1, dtype=np.int64)
    for tet in range(len(tets)):
        for k in range(10):
            starts[tets[tet, k] + 1] += 1
    for node in range(count):
        starts[node + 1] += starts[node]
    around = np.empty(starts[count], dtype=np.int32)
    filled = starts[:-1].copy()
    for tet in range(len(tets)):
        for k in range(10):
            node = tets[tet, k]
            around[filled[node]] = tet
            filled[node] += 1
    seen = np.full(count, -1, dtype=np.int64)
    firsts = np.zeros(count + 1, dtype=np.int64)
    for node in range(count):
        found = 0
        for place in range(starts[node], starts[node + 1]):
            for k in range(10):
                other = tets[around[place], k]
                if seen[other] != node:
                    seen[other] = node
                    found += 1
        firsts[node + 1] = firsts[node] + found
    lists = np.empty(firsts[count], dtype=np.int32)
    seen[:] = -1
    for node in range(count):
        last = firsts[node]
        for place in range(starts[node], starts[node + 1]):
            for k in range(10):
                other = tets[around[place], k]
                if seen[other] != node:
                    seen[other] = node
                    lists[last] = other
                    last += 1
        lists[firsts[node] : last].sort()
    return firsts, lists


@njit(cache=True)
def upper_pattern(firsts: Ints, lists: Ints32, number: Ints, unknowns: int) -> tuple[Ints, Ints32]:
    """Places of the upper half of the system, row by row: where each row starts, and its columns in order."""
    starts = np.zeros(unknowns + 1, dtype=np.int64)
    for node in range(len(firsts) - 1):
        for axis in range(3):
            row = number[3 * node + axis]
            if row < 0:
                continue
            found = 0
            for place in range(firsts[node], firsts[node + 1]):
                for other in range(3):
                    if number[3 * lists[place] + other] >= row:
                        found += 1
            starts[row + 1] = found
    for row in range(unknowns):
        starts[row + 1] += starts[row]
    columns = np.empty(starts[unknowns], dtype=np.int32)
    for node in range(len(firsts) - 1):
        for axis in range(3):
            row = number[3 * node + axis]
            if row < 0:
                continue
            last = starts[row]
            for place in range(firsts[node], firsts[node + 1]):
                for other in range(3):
                    column = number[3 * lists[place] + other]
                    if column >= row:
                        columns[last] = column
                        last += 1
    return starts, columns


@njit(cache=True)
def place_of(columns: Ints32, low: int, high: int, column: int) -> int:
    """Where a column stands in a row's ordered columns."""
    while low < high:
        middle = (low + high) // 2
        if columns[middle] < column:
            low = middle + 1
        else:
            high = middle
    return low


@njit(cache=True)
def scatter(block: Floats, unknown: Ints, starts: Ints, columns: Ints32, values: Floats) -> None:
    """Add the upper half of one tetrahedron's matrix (30, 30) to the upper half of the system."""
    for i in range(30):
        if unknown[i] < 0:
            continue
        for j in range(i, 30):
            if unknown[j] < 0:
                continue
            row, column = min(unknown[i], unknown[j]), max(unknown[i], unknown[j])
            values[place_of(columns, int(starts[row]), int(starts[row + 1]), column)] += block[i, j]


@njit(cache=True)
def take(points: Floats, tet: Ints32, number: Ints, corners: Floats, unknown: Ints) -> None:
    """Into corners (4, 3) where a tetrahedron's corners are, into unknown (30,) the numbers of its nodes' movements."""
    for k in range(10):
        for axis in range(3):
            unknown[3 * k + axis] = number[3 * tet[k] + axis]
    for corner in range(4):
        corners[corner] = points[tet[corner]]


@njit(cache=True)
def fill_stiffness(
    points: Floats, tets: Ints32, elastic: Floats, number: Ints, starts: Ints, columns: Ints32
) -> Floats:
    """Values of the stiffness at those places. points (n, 3); tets (m, 10); elastic (m, 2): Lame's two moduli."""
    values = np.zeros(len(columns))
    block = np.empty((30, 30))
    corners = np.empty((4, 3))
    unknown = np.empty(30, dtype=np.int64)
    for tet in range(len(tets)):
        take(points, tets[tet], number, corners, unknown)
        tet_stiffness(corners, elastic[tet, 0], elastic[tet, 1], block)
        scatter(block, unknown, starts, columns, values)
    return values


@njit(cache=True)
def fill_mass(
    points: Floats, tets: Ints32, density: Floats, table: Floats, number: Ints, starts: Ints, columns: Ints32
) -> Floats:
    """Values of the consistent mass at those places. density (m,); table (10, 10): of a tetrahedron of volume 1."""
    values = np.zeros(len(columns))
    block = np.zeros((30, 30))
    corners = np.empty((4, 3))
    gradients = np.empty((4, 3))
    unknown = np.empty(30, dtype=np.int64)
    for tet in range(len(tets)):
        take(points, tets[tet], number, corners, unknown)
        mass = density[tet] * corner_gradients(corners, gradients)
        for p in range(10):
            for q in range(10):
                for axis in range(3):
                    block[3 * p + axis, 3 * q + axis] = mass * table[p, q]
        scatter(block, unknown, starts, columns, values)
    return values


@njit(cache=True)
def pushed_back(points: Floats, tets: Ints32, elastic: Floats, moved: Floats) -> Floats:
    """Forces (n, 3) that hold the nodes at the displacements `moved` (n, 3): stiffness times displacement, tet by tet."""
    forces = np.zeros(moved.shape)
    block = np.empty((30, 30))
    corners = np.empty((4, 3))
    for tet in range(len(tets)):
        for corner in range(4):
            corners[corner] = points[tets[tet, corner]]
        tet_stiffness(corners, elastic[tet, 0], elastic[tet, 1], block)
        for i in range(30):
            for j in range(i, 30):
                forces[tets[tet, i // 3], i % 3] += block[i, j] * moved[tets[tet, j // 3], j % 3]
                if j > i:
                    forces[tets[tet, j // 3], j % 3] += block[i, j] * moved[tets[tet, i // 3], i % 3]
    return forces


@njit(cache=True)
def node_stresses(points: Floats, tets: Ints32, elastic: Floats, moved: Floats, corners_of: Floats) -> Floats:
    """Stresses (n, 6) at the nodes, xx yy zz yz xz xy, each the mean of its tetrahedra by volume.

    corners_of (10, 4) : the corner coordinates of the ten nodes.
    """
    total = np.zeros((len(points), 6))
    weight = np.zeros(len(points))
    corners = np.empty((4, 3))
    gradients = np.empty((4, 3))
    shapes = np.empty((10, 3))
    slope = np.empty((3, 3))
    for tet in range(len(tets)):
        for corner in range(4):
            corners[corner] = points[tets[tet, corner]]
        volume = corner_gradients(corners, gradients)
        lame, shear = elastic[tet, 0], elastic[tet, 1]
        for k in range(10):
            node_gradients(gradients, corners_of[k], shapes)
            slope[:, :] = 0.0
            for p in range(10):
                for axis in range(3):
                    for along in range(3):
                        slope[axis, along] += moved[tets[tet, p], axis] * shapes[p, along]
            spread = lame * (slope[0, 0] + slope[1, 1] + slope[2, 2])
            node = tets[tet, k]
            for axis in range(3):
                total[node, axis] += volume * (spread + 2.0 * shear * slope[axis, axis])
            total[node, 3] += volume * shear * (slope[1, 2] + slope[2, 1])
            total[node, 4] += volume * shear * (slope[0, 2] + slope[2, 0])
            total[node, 5] += volume * shear * (slope[0, 1] + slope[1, 0])
            weight[node] += volume
    for node in range(len(points)):
        if weight[node] > 0.0:
            total[node] /= weight[node]
    return total
