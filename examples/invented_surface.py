"""Triangles on the zero surface of a signed distance: one vertex a cell, four cells round an edge make a face."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
from numba import njit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int32]
Field = Callable[[Floats], Floats]

BLOCK = 8


def triangles_of(field: Field, low: Floats, high: Floats, step: float) -> tuple[Floats, Ints]:
    """Vertices (n, 3) lying on the surface and faces (m, 3), counter-clockwise seen from outside."""
    samples = _sample(field, low, high, step)
    vertices, faces = _net(samples)
    points = low + step * vertices
    for _ in range(2):
        points = points - _step_to_surface(field, points, step)
    return points, _split(points, faces)


def _sample(field: Field, low: Floats, high: Floats, step: float) -> npt.NDArray[np.float32]:
    """The field on a grid; blocks that the surface cannot reach carry their middle's value only."""
    blocks = np.ceil((high - low) / (step * BLOCK)).astype(int)
    index = np.stack(np.meshgrid(*(np.arange(n) for n in blocks), indexing="ij"), axis=-1).reshape(-1, 3)
    middle = field(low + step * BLOCK * (index + 0.5))
    coarse = np.repeat(middle.reshape(blocks).astype(np.float32), BLOCK, axis=0)
    samples = np.repeat(np.repeat(coarse, BLOCK, axis=1), BLOCK, axis=2)
    near = index[np.abs(middle) < step * BLOCK * 0.87 + 3.0] * BLOCK
    inside = np.stack(np.meshgrid(*(np.arange(BLOCK),) * 3, indexing="ij"), axis=-1).reshape(-1, 3)
    for some in np.array_split(near, len(near) // 2000 + 1):
        place = (some[:, None, :] + inside).reshape(-1, 3)
        samples[place[:, 0], place[:, 1], place[:, 2]] = field(low + step * place)
    return samples


def _step_to_surface(field: Field, points: Floats, step: float) -> Floats:
    """The step of Newton along the gradient, not longer than half a cell."""
    value = field(points)
    shift = 1e-3
    slope = np.stack([(field(points + shift * axis) - value) / shift for axis in np.eye(3)], axis=1)
    move = slope * (value / np.maximum((slope**2).sum(axis=1), 0.05))[:, None]
    size = np.linalg.norm(move, axis=1, keepdims=True)
    return move * np.minimum(1.0, 0.5 * step / np.maximum(size, 1e-12))


def _split(points: Floats, quads: Ints) -> Ints:
    """Each four-sided face cut along its shorter diagonal."""
    a, b, c, d = (points[quads[:, k]] for k in range(4))
    across = ((a - c) ** 2).sum(axis=1) <= ((b - d) ** 2).sum(axis=1)
    first = np.where(across[:, None], quads[:, [0, 1, 2]], quads[:, [0, 1, 3]])
    second = np.where(across[:, None], quads[:, [0, 2, 3]], quads[:, [1, 2, 3]])
    return np.concatenate([first, second])


@njit(cache=True)
def _net(samples: npt.NDArray[np.float32]) -> tuple[Floats, Ints]:
    """Vertices in cell units and four-sided faces."""
    nx, ny, nz = samples.shape
    number = np.full((nx, ny, nz), -1, np.int32)
    vertices = np.empty((1024, 3))
    count = 0
    for i in range(nx - 1):
        for j in range(ny - 1):
            for k in range(nz - 1):
                sx, sy, sz, crossings = _crossings(samples, i, j, k)
                if crossings == 0:
                    continue
                if count == vertices.shape[0]:
                    vertices = np.concatenate((vertices, np.empty_like(vertices)))
                vertices[count, 0] = i + sx / crossings
                vertices[count, 1] = j + sy / crossings
                vertices[count, 2] = k + sz / crossings
                number[i, j, k] = count
                count += 1
    return vertices[:count].copy(), _faces(samples, number)


@njit(cache=True)
def _crossings(samples: npt.NDArray[np.float32], i: int, j: int, k: int) -> tuple[float, float, float, int]:
    """Sum and number of the places where a cell's edges cross zero."""
    sx, sy, sz, crossings = 0.0, 0.0, 0.0, 0
    for a in range(8):
        x, y, z = a & 1, (a >> 1) & 1, (a >> 2) & 1
        here = samples[i + x, j + y, k + z]
        for axis in range(3):
            if (a >> axis) & 1:
                continue
            dx, dy, dz = int(axis == 0), int(axis == 1), int(axis == 2)
            there = samples[i + x + dx, j + y + dy, k + z + dz]
            if (here < 0.0) == (there < 0.0):
                continue
            t = here / (here - there)
            sx += x + dx * t
            sy += y + dy * t
            sz += z + dz * t
            crossings += 1
    return sx, sy, sz, crossings


@njit(cache=True)
def _faces(samples: npt.NDArray[np.float32], number: Ints) -> Ints:
    """A four-sided face round every grid edge that crosses zero, turned to look from metal to air."""
    nx, ny, nz = samples.shape
    faces = np.empty((1024, 4), np.int32)
    count = 0
    for i in range(1, nx - 1):
        for j in range(1, ny - 1):
            for k in range(1, nz - 1):
                for axis in range(3):
                    dx, dy, dz = int(axis == 0), int(axis == 1), int(axis == 2)
                    inside = samples[i, j, k] < 0.0
                    if inside == (samples[i + dx, j + dy, k + dz] < 0.0):
                        continue
                    if count == faces.shape[0]:
                        faces = np.concatenate((faces, np.empty_like(faces)))
                    a, b, c = dz, dx, dy
                    p, q, r = dy, dz, dx
                    around = (
                        number[i, j, k],
                        number[i - a, j - b, k - c],
                        number[i - a - p, j - b - q, k - c - r],
                        number[i - p, j - q, k - r],
                    )
                    for m in range(4):
                        faces[count, m] = around[m] if inside else around[3 - m]
                    count += 1
    return faces[:count].copy()
