"""Plane sections of curved surfaces known by triangles and normals: the bulge between corners is put back.

A chord of length L over a curve whose normals at its ends differ by dn lies off it by t (1 - t) / 2 (dn . chord) along the
normal, to the third order: what the Hermite cubic through both ends gives. So sections are far finer than the triangles.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from tractwright.geometry.frames import Array, Frame, unit
from tractwright.kernel.body import Body

_WELD_MM = 1e-5


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Wall:
    """Triangles of a passage's wall: corners and normals (m, 3, 3), corner numbers (m, 3) equal where corners meet."""

    corners_mm: Array
    normals: Array
    numbers: npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Cut:
    """A closed section: points (n, 2) in the plane's x-y, area, centroid."""

    points_mm: Array
    area_mm2: float
    centre_mm: Array


def wall_of(body: Body, faces: frozenset[int]) -> Wall:
    """The triangles of some faces of a body."""
    parts = [body.faces[index] for index in sorted(faces)]
    corners = np.concatenate([part.mesh[0][part.mesh[1]] for part in parts])
    normals = np.concatenate([part.normals[part.mesh[1]] for part in parts])
    _, numbers = np.unique(np.round(corners.reshape(-1, 3) / _WELD_MM), axis=0, return_inverse=True)
    return Wall(corners_mm=corners, normals=normals, numbers=numbers.reshape(-1, 3).astype(np.int64))


def cuts(wall: Wall, frame: Frame) -> list[Cut]:
    """The closed loops in which the frame's x-y plane cuts the wall."""
    heights = (wall.corners_mm - np.array(frame.origin_mm)) @ np.array(frame.z)
    above = heights >= 0.0
    crossed = np.flatnonzero(above.any(axis=1) & ~above.all(axis=1))
    starts, ends = _sides(above[crossed])
    sides = np.stack([starts, ends], axis=1)
    places, normals, keys = _crossings(wall, crossed, heights, sides, frame)
    return [_cut(places[loop, 0], normals[loop, 0]) for loop in _loops(keys)]


def _sides(above: npt.NDArray[np.bool_]) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Which side (0: corners 0-1, 1: 1-2, 2: 2-0) of each triangle goes down through the plane, and which goes up."""
    after = np.roll(above, -1, axis=1)
    return np.argmax(above & ~after, axis=1), np.argmax(~above & after, axis=1)


def _crossings(
    wall: Wall, crossed: npt.NDArray[np.int64], heights: Array, sides: npt.NDArray[np.int64], frame: Frame
) -> tuple[Array, Array, npt.NDArray[np.int64]]:
    """Points and in-plane unit normals (m, 2, 2) where each triangle's two sides are crossed, and the sides' keys (m, 2, 2)."""
    rows = crossed[:, None]
    other = (sides + 1) % 3
    first, second = wall.numbers[rows, sides], wall.numbers[rows, other]
    swap = first > second
    a, b = np.where(swap, other, sides), np.where(swap, sides, other)
    low, high = wall.corners_mm[rows, a], wall.corners_mm[rows, b]
    n_low, n_high = wall.normals[rows, a], wall.normals[rows, b]
    h_low, h_high = heights[rows, a], heights[rows, b]
    t = (h_low / (h_low - h_high))[..., None]
    chord, turn = high - low, n_high - n_low
    normal = unit(n_low + turn * t)
    bulge = 0.5 * t * (1.0 - t) * np.sum(turn * chord, axis=-1, keepdims=True)
    z = np.array(frame.z)
    flat = normal - (normal @ z)[..., None] * z
    size = np.maximum(np.linalg.norm(flat, axis=-1, keepdims=True), 0.2)
    place = low + chord * t + bulge * flat / size**2
    axes = np.array([frame.x, frame.y]).T
    keys = np.stack([np.minimum(first, second), np.maximum(first, second)], axis=-1)
    return (place - np.array(frame.origin_mm)) @ axes, unit(flat @ axes + 1e-12), keys


def _loops(keys: npt.NDArray[np.int64]) -> list[npt.NDArray[np.int64]]:
    """Closed runs of segments, each segment by its row; runs that do not close are left out."""
    at = {tuple(start): row for row, start in enumerate(keys[:, 0].tolist())}
    ends = [tuple(end) for end in keys[:, 1].tolist()]
    left = set(range(len(keys)))
    found: list[npt.NDArray[np.int64]] = []
    while left:
        row = first = min(left)
        run: list[int] = []
        while row in left:
            left.discard(row)
            run.append(row)
            row = at.get(ends[row], -1)
        if row == first and len(run) > 2:
            found.append(np.array(run, dtype=np.int64))
    return found


def _cut(points: Array, normals: Array) -> Cut:
    """Area by the points and the bulges between them."""
    after, n_after = np.roll(points, -1, axis=0), np.roll(normals, -1, axis=0)
    chords = after - points
    polygon = shapely.Polygon(points)
    middle = np.array(polygon.centroid.coords[0])
    bulges = np.sum((n_after - normals) * chords, axis=1) * np.linalg.norm(chords, axis=1) / 12.0
    bulges *= float(np.sign(np.sum(normals * (points - middle))))
    area = float(polygon.area + bulges.sum())
    moment = polygon.area * middle + bulges @ ((points + after) / 2.0)
    return Cut(points_mm=points, area_mm2=area, centre_mm=moment / area)
