"""Flat faces of a scan: small cells with a normal each, planes that many cells agree on, fitted again on all triangles."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from tractwright.errors import ScanError
from tractwright.geometry.frames import Array, unit
from tractwright.geometry.kernels import cell_moments, faces_between, group_rows, plane_scores
from tractwright.geometry.meshes import Faces, Mask, Mesh, area_vectors, triangle_areas

Index = npt.NDArray[np.intp]

CELL_MM = 3.0
ON_PLANE_MM = 0.5
COSINE = float(np.cos(np.radians(8.0)))
TRIES = 260
MOST_TRIED, MOST_FLAT, MOST_PLANES = 240, 110, 40
"""So many planes are sought, so many flat ones kept, and so many in all where few are flat: round bodies give many strips,
the walls of square runners many planes; judgement.
"""
ROUND_DEG = 1.5
"""Where normals turn from side to side by more than this (root mean square), a set is a strip of a round body; judgement."""
LEAST_AREA_MM2 = 300.0
AROUND_MM = 70.0
STEEP_MM = 3.0
"""No triangle that lies on a face has a corner farther from it."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Cells:
    """A scan in cubic cells: cell of each triangle (m,); area (c,), middle (c, 3), normal (c, 3), thickness (c,): root
    of the least over the middle spread, 0 for a flat cell.
    """

    of_face: Faces
    area_mm2: Array
    middle_mm: Array
    normal: Array
    thickness: Array
    size_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class FlatFace:
    """A plane of the scan: a point on it, unit normal out of the metal, its area, and the spread about it [mm].

    low_mm, high_mm (3,) : the box round what lies on it, along the scan's axes; flatness_mm : peak to peak of 12 mm
    tiles' means about the plane: the face's own form with the scanner's warp.
    """

    low_mm: Array
    high_mm: Array
    point_mm: Array
    normal: Array
    area_mm2: float
    spread_mm: float
    flatness_mm: float


def cells_of(mesh: Mesh, size_mm: float = 0.0) -> Cells:
    """The mesh in cells of CELL_MM, or of three mean edges where the scan is coarser."""
    edge = float(np.sqrt(np.median(triangle_areas(mesh)[:: max(1, len(mesh.faces) // 50_000)]) * 2.3))
    size = size_mm or max(CELL_MM, 3.0 * edge)
    middle = mesh.vertices_mm[mesh.faces].mean(axis=1)
    low = mesh.vertices_mm.min(axis=0)
    rows = np.ascontiguousarray(((middle - low) / size).astype(np.uint32))
    first, group = group_rows(rows)
    area, moment, second = cell_moments(mesh.vertices_mm - low, mesh.faces, group, len(first))
    centre = moment / area[:, None]
    spread = second / area[:, None, None] - centre[:, :, None] * centre[:, None, :]
    values, axes = np.linalg.eigh(spread)
    thickness = np.sqrt(np.maximum(values[:, 0], 0.0) / np.maximum(values[:, 1], 1e-12))
    return Cells(
        of_face=group,
        area_mm2=area,
        middle_mm=centre + low,
        normal=axes[:, :, 0],
        thickness=thickness,
        size_mm=size,
    )


def flat_faces(mesh: Mesh, cells: Cells) -> tuple[FlatFace, ...]:
    """The planes that carry most area, largest first. Raises ScanError where there is none."""
    sets = sorted(_cell_sets(cells), key=lambda on: -cells.area_mm2[on].sum())
    flat = [on for on in sets if not _is_round(cells, on)][:MOST_FLAT]
    strips = [on for on in sets if not any(on is other for other in flat)][: max(0, MOST_PLANES - len(flat))]
    if not sets:
        raise ScanError("scan", "no flat face found", "a scan of a part with machined faces")
    found = [_fitted(mesh, cells, on) for on in (*flat, *strips)]
    return tuple(sorted(found, key=lambda face: -face.area_mm2))


def _cell_sets(cells: Cells) -> Iterator[Index]:
    """Numbers of cells that lie on a plane together, each cell in one set."""
    left = np.flatnonzero((cells.thickness < 0.3) & (cells.area_mm2 > 0.2 * cells.size_mm**2))
    chance = np.random.default_rng(0)
    for _ in range(MOST_TRIED):
        if cells.area_mm2[left].sum() < LEAST_AREA_MM2:
            return
        point, normal = _best_plane(cells, left, chance)
        on = left[_agrees(cells, left, point, normal, ON_PLANE_MM)]
        left = left[~_agrees(cells, left, point, normal, 2.0 * ON_PLANE_MM)]
        if cells.area_mm2[on].sum() >= LEAST_AREA_MM2:
            yield on


def _is_round(cells: Cells, on: Index) -> bool:
    """Whether a set is a strip of a round body: its cells' normals turn as one goes along it, as a flat face's do not."""
    area = cells.area_mm2[on]
    point, normal = _plane_through(cells.middle_mm[on], area)
    across = np.linalg.svd(normal[None])[2][1:]
    place = (cells.middle_mm[on] - point) @ across.T
    lean = (cells.normal[on] * np.sign(cells.normal[on] @ normal)[:, None]) @ across.T
    weight = np.sqrt(area)[:, None]
    rows = np.column_stack([place, np.ones(len(place))])
    slope = np.linalg.lstsq(rows * weight, lean * weight, rcond=None)[0][:2]
    return float(np.linalg.norm((place @ slope) * weight) / np.linalg.norm(weight)) > np.radians(ROUND_DEG)


def _agrees(cells: Cells, index: Index, point: Array, normal: Array, reach: float) -> Mask:
    near = np.abs((cells.middle_mm[index] - point) @ normal) < reach
    return near & (np.abs(cells.normal[index] @ normal) > COSINE)


def _best_plane(cells: Cells, index: Index, chance: np.random.Generator) -> tuple[Array, Array]:
    """The best of many one-cell guesses, then drawn to the cells that agree with it."""
    area = cells.area_mm2[index]
    points, normals = cells.middle_mm[index], cells.normal[index]
    picks = chance.choice(len(index), min(TRIES, len(index)), replace=False, p=area / area.sum())
    scores = plane_scores(points, normals, area, picks, 1.2 * ON_PLANE_MM, COSINE)
    best = picks[int(np.argmax(scores))]
    point, normal = points[best], normals[best]
    for reach in (3.0, 2.0, 1.5, 1.0, 1.0):
        on = index[_agrees(cells, index, point, normal, reach * ON_PLANE_MM)]
        if len(on) < 4:
            break
        point, normal = _plane_through(cells.middle_mm[on], cells.area_mm2[on])
    return point, normal


def _plane_through(points: Array, weights: Array) -> tuple[Array, Array]:
    """The plane of least squares, robust: far points lose their weight (Tukey's biweight at 4.685 spreads)."""
    point, normal = points[0], np.zeros(3)
    weight = weights
    for _ in range(8):
        point = weight @ points / weight.sum()
        away = points - point
        normal = np.linalg.eigh((away * weight[:, None]).T @ away)[1][:, 0]
        share = away @ normal / (4.685 * robust_spread(away @ normal))
        weight = weights * np.where(np.abs(share) < 1.0, (1.0 - share**2) ** 2, 0.0)
    return point, normal


def robust_spread(values: Array) -> float:
    """Standard deviation by the median of absolute values, not drawn by strays."""
    return float(1.4826 * np.median(np.abs(values))) + 1e-9


def _fitted(mesh: Mesh, cells: Cells, on: Index) -> FlatFace:
    """The plane fitted to all triangles of its cells, its normal turned out of the metal."""
    among = np.zeros(len(cells.area_mm2), dtype=bool)
    among[on] = True
    faces = mesh.faces[among[cells.of_face]]
    face = _through_triangles(mesh, faces)
    middles = mesh.vertices_mm[faces].mean(axis=1)
    out_of_metal = _side_of_metal(mesh, face.point_mm, face.normal, middles) <= 0
    return face if out_of_metal else replace(face, normal=-face.normal)


def refitted(mesh: Mesh, face: FlatFace) -> FlatFace:
    """The same face fitted to every triangle that lies on it and looks its way, not only to clean cells."""
    height = (mesh.vertices_mm - face.point_mm) @ face.normal
    near = mesh.faces[faces_between(mesh.faces, height, -STEEP_MM, STEEP_MM)]
    vectors = area_vectors(Mesh(vertices_mm=mesh.vertices_mm, faces=near))
    looks = np.abs(vectors @ face.normal) > 0.7 * np.linalg.norm(vectors, axis=1)
    found = _through_triangles(mesh, near[looks & (np.abs(height[near].mean(axis=1)) < 1.2 * ON_PLANE_MM)])
    return found if found.normal @ face.normal > 0 else replace(found, normal=-found.normal)


def _through_triangles(mesh: Mesh, faces: Faces) -> FlatFace:
    middles = mesh.vertices_mm[faces].mean(axis=1)
    areas = triangle_areas(Mesh(vertices_mm=mesh.vertices_mm, faces=faces))
    point, normal = _plane_through(middles, areas)
    height = (middles - point) @ normal
    inner = np.abs(height) < 4.0 * robust_spread(height)
    return FlatFace(
        low_mm=middles[inner].min(axis=0),
        high_mm=middles[inner].max(axis=0),
        point_mm=point,
        normal=normal,
        area_mm2=float(areas[inner].sum()),
        spread_mm=robust_spread(height),
        flatness_mm=_flatness(middles[inner] - point, height[inner], normal),
    )


def _side_of_metal(mesh: Mesh, point: Array, normal: Array, middles: Array) -> float:
    """Positive where more of the scan round the face lies on the normal's side."""
    low, high = middles.min(axis=0) - AROUND_MM / 2, middles.max(axis=0) + AROUND_MM / 2
    every = mesh.vertices_mm[:: max(1, len(mesh.vertices_mm) // 60_000)]
    near = every[((every > low) & (every < high)).all(axis=1)]
    height = (near - point) @ normal
    return float(((height > 1.0) & (height < AROUND_MM)).sum()) - float(((height < -1.0) & (height > -AROUND_MM)).sum())


def _flatness(away: Array, height: Array, normal: Array) -> float:
    """Peak to peak [mm] of the mean heights of 12 mm tiles that hold enough triangles."""
    x = unit(np.cross(normal, np.eye(3)[int(np.argmin(np.abs(normal)))]))
    tile = np.floor(np.stack([away @ x, away @ np.cross(normal, x)], axis=1) / 12.0).astype(np.int64)
    _, which = np.unique(tile, axis=0, return_inverse=True)
    count = np.bincount(which)
    mean = np.bincount(which, height) / count
    full = mean[count >= 20]
    return float(np.ptp(full)) if len(full) > 1 else 0.0
