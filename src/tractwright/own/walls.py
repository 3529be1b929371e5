"""Thinnest walls of a solid, by the ball that shrinks until it touches the metal's surface twice.

Source: Ma, Bae, Choi (2012), 3D medial point approximation using nearest neighbors (memory): the shrinking ball.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.spatial import KDTree

from tractwright.geometry.frames import Array, Vec3, unit, vec3
from tractwright.kernel.body import Body

_ASKED, _AGAINST = 12000, 80000
_ROUNDS = 40
_THICKEST_MM = 16.0
"""Thicker metal is no thin wall."""
_FACING = -0.7
"""Walls lie between surfaces that look away from one another: near an edge the ball only touches the edge's other side."""
_APART_MM = 12.0
_PLACES = 12
_NEAR_MM = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinWall:
    """A place: on the surface, and how thick the metal under it is [mm]; between : kinds of the surfaces on both sides."""

    at_mm: Vec3
    thickness_mm: float
    between: tuple[str, str]


def thin_walls(body: Body) -> tuple[ThinWall, ...]:
    """The thinnest places, thinnest first, each well apart from the others; sides square to one another are no wall."""
    cloud = _cloud(body, _AGAINST)
    rows = np.linspace(0, len(cloud.points) - 1, min(_ASKED, len(cloud.points))).astype(np.int64)
    thick, across = _balls(cloud, rows)
    facing = (np.sum(cloud.normals[rows] * cloud.normals[across], axis=1) < _FACING) & (thick < _THICKEST_MM)
    found: list[ThinWall] = []
    order: list[int] = np.argsort(np.where(facing, thick, np.inf), kind="stable").tolist()
    for k in order:
        if not facing[k] or len(found) == _PLACES:
            break
        place = cloud.points[rows[k]]
        if all(float(np.linalg.norm(place - np.array(other.at_mm))) > _APART_MM for other in found):
            sides = cloud.faces[[rows[k], across[k]]].tolist()
            kinds = sorted(body.faces[side].kind for side in sides)
            exact = _through(body, place, -cloud.normals[rows[k]], float(thick[k]))
            found.append(ThinWall(at_mm=vec3(place), thickness_mm=exact, between=(kinds[0], kinds[1])))
    return tuple(sorted(found, key=lambda wall: wall.thickness_mm))


@dataclass(frozen=True, eq=False, slots=True)
class _Cloud:
    points: Array
    normals: Array
    faces: npt.NDArray[np.int64]


def _cloud(body: Body, count: int) -> _Cloud:
    """Points spread over the surface by area with its true normals, in no order of place."""
    corners = np.concatenate([face.mesh[0][face.mesh[1]] for face in body.faces])
    normals = np.concatenate([face.normals[face.mesh[1]] for face in body.faces])
    owner = np.concatenate([np.full(len(face.mesh[1]), k) for k, face in enumerate(body.faces)])
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    lot = np.random.default_rng(1)
    chosen = np.minimum(np.searchsorted(np.cumsum(area), lot.random(count) * area.sum()), len(area) - 1)
    u, v = np.sqrt(lot.random(count))[:, None], lot.random(count)[:, None]
    weights = np.stack([1.0 - u, u * (1.0 - v), u * v], axis=1)
    return _Cloud(
        np.sum(corners[chosen] * weights, axis=1), unit(np.sum(normals[chosen] * weights, axis=1)), owner[chosen]
    )


def _balls(cloud: _Cloud, rows: npt.NDArray[np.int64]) -> tuple[Array, npt.NDArray[np.int64]]:
    """For each row the diameter of the largest ball under it, and the row it touches across."""
    tree = KDTree(cloud.points)
    point, normal = cloud.points[rows], cloud.normals[rows]
    radius = np.full(len(rows), _THICKEST_MM / 2.0)
    across = rows.copy()
    live = np.arange(len(rows))
    for _ in range(_ROUNDS):
        centre = point[live] - normal[live] * radius[live, None]
        answer = tree.query(centre, distance_upper_bound=_THICKEST_MM, workers=1)
        distance, near = np.asarray(answer[0]), np.minimum(np.asarray(answer[1]), len(cloud.points) - 1)
        step = point[live] - cloud.points[near]
        along = np.sum(step * normal[live], axis=1)
        smaller = (distance < radius[live] - 1e-4) & (along > 1e-9) & (near != rows[live])
        fresh = np.sum(step * step, axis=1) / np.maximum(2.0 * along, 1e-9)
        live, near, fresh = live[smaller], near[smaller], fresh[smaller]
        if not len(live):
            break
        radius[live], across[live] = np.minimum(fresh, radius[live]), near
    return 2.0 * radius, across


def _through(body: Body, place: Array, way: Array, about_mm: float) -> float:
    """How far a line into the metal runs before it comes out, by the triangles; the ball's answer where it meets none."""
    points, faces = body.mesh
    corners = points[faces]
    near = np.linalg.norm(corners - place, axis=2).min(axis=1) < about_mm + _NEAR_MM + np.ptp(corners, axis=1).max(
        axis=1
    )
    a, ab, ac = corners[near, 0], corners[near, 1] - corners[near, 0], corners[near, 2] - corners[near, 0]
    across = np.cross(way, ac)
    size = np.sum(ab * across, axis=1)
    safe = np.where(np.abs(size) > 1e-12, size, 1.0)
    step = place - a
    u = np.sum(step * across, axis=1) / safe
    side = np.cross(step, ab)
    v, t = side @ way / safe, np.sum(ac * side, axis=1) / safe
    hit = (np.abs(size) > 1e-12) & (u >= -1e-9) & (v >= -1e-9) & (u + v <= 1.0 + 1e-9) & (t > 0.05)
    lengths = t[hit & (t < about_mm + _NEAR_MM)]
    return float(lengths.min()) if len(lengths) else about_mm
