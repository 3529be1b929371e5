"""Metal round a passage along its length, and the thickness of the plates at its ends."""

import numpy as np
import shapely

from tractwright.geometry.closest import distances_to
from tractwright.geometry.frames import Array, unit
from tractwright.kernel.body import Body, BodyFace, EdgeUse, Mesh, joined_mesh
from tractwright.own.faces import polygon_of
from tractwright.own.records import JointFace, Passage
from tractwright.own.skins import passage_skin

_THICKEST_MM = 12.0
"""Thicker metal than this round a passage is no skin any more, but a block. Source: shop_judgement."""
_CLOCKS = 48
_ROUNDS = 2
_PAST_PLATE_MM = 1.0
_LEAST_PLATE_MM, _MOST_PLATE_MM = 2.0, 60.0
_PLATE_SHARE = 0.02
_SAME_WAY = 1e-6
_SAME_MM = 1e-3


def walls_along(body: Body, passage: Passage, others: frozenset[int], barred: frozenset[int]) -> tuple[Array, Array]:
    """Stations (n,) along a passage and the least metal round it at each (n,) [mm]: to the outside, or half of what stands
    between it and another passage.

    others : faces of the other passages; barred : faces of the two joints, which are no outside here.
    """
    skin = passage_skin(body, passage, np.linspace(0.0, passage.length_mm, len(passage.s_mm)), _CLOCKS)
    outside = frozenset(range(len(body.faces))) - passage.inside - others - barred
    points = skin.points_mm.reshape(-1, 3)
    far = np.minimum(_away(body, outside, points, 1.0), _away(body, others, points, 0.5))
    return skin.s_mm, np.minimum(far.reshape(len(skin.s_mm), _CLOCKS).min(axis=1), _THICKEST_MM)


def without_plates(s_mm: Array, wall_mm: Array, plates_mm: tuple[float, float], length_mm: float) -> Array:
    """The walls with those inside the plates at both ends replaced by the nearest outside them."""
    free = (s_mm > plates_mm[0] + _PAST_PLATE_MM) & (s_mm < length_mm - plates_mm[1] - _PAST_PLATE_MM)
    return np.interp(s_mm, s_mm[free], wall_mm[free]) if free.any() else wall_mm


def _away(body: Body, faces: frozenset[int], points: Array, share: float) -> Array:
    """Distance of points to some faces, times a share; far where there is no such face."""
    if not faces:
        return np.full(len(points), np.inf)
    vertices, triangles = joined_mesh([_smoother(body.faces[index]) for index in sorted(faces)])
    return distances_to(vertices, triangles.astype(np.int32), points, 2.0 * _THICKEST_MM) * share


def _smoother(face: BodyFace) -> Mesh:
    """A curved face's triangles cut in four, and again, each new corner put back onto the curve that its edge's normals
    tell: a chord of length L whose normals differ by dn lies dn . chord / 8 off the curve in its middle.
    """
    (points, triangles), normals = face.mesh, face.normals
    for _ in range(_ROUNDS if face.kind != "plane" else 0):
        edges = np.sort(triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
        pairs, which = np.unique(edges, axis=0, return_inverse=True)
        a, b = pairs.T
        turn, chord = normals[b] - normals[a], points[b] - points[a]
        middle = unit(normals[a] + normals[b] + 1e-12)
        bulge = np.sum(turn * chord, axis=1, keepdims=True) / 8.0
        fresh = which.reshape(-1, 3) + len(points)
        x, y, z = triangles.T
        u, v, w = fresh.T
        quarters = [(x, u, w), (u, y, v), (w, v, z), (u, v, w)]
        triangles = np.concatenate([np.stack(part, axis=1) for part in quarters])
        points = np.concatenate([points, (points[a] + points[b]) / 2.0 + middle * bulge])
        normals = np.concatenate([normals, middle])
    return points, triangles.astype(np.int32)


def plate_mm(body: Body, face: JointFace) -> float | None:
    """Thickness of the plate behind a joint face [mm]: to the largest plane face that looks the other way and lies over
    it; None where there is none.
    """
    outline = shapely.union_all([shapely.Polygon([(x, y) for x, y, _ in ring]).buffer(0.0) for ring in face.outlines])
    best: tuple[float, float] | None = None
    for index, other in enumerate(body.faces):
        if index in face.faces or other.kind != "plane" or float(np.dot(other.axis, face.frame.z)) > _SAME_WAY - 1.0:
            continue
        depth = -float(face.frame.to_local(other.origin_mm)[2])
        if not _LEAST_PLATE_MM < depth < _MOST_PLATE_MM or other.area_mm2 < _PLATE_SHARE * face.area_mm2:
            continue
        area = float(polygon_of(other.loops[0], face.frame).buffer(0.0).intersection(outline).area)
        if area > 0.0 and (best is None or other.area_mm2 > best[0]):
            best = (other.area_mm2, depth)
    return best[1] if best else None


def seat_radius_mm(body: Body, at_mm: Array, into: Array, depth_mm: float) -> float:
    """How wide the flat is that a screw's head bears on: from its axis to the nearest edge of the plane face that lies so
    deep and looks along it [mm]; 0 where there is none.
    """
    place = at_mm + into * depth_mm
    for face in body.faces:
        if face.kind != "plane" or float(np.dot(face.axis, into)) < 1.0 - _SAME_WAY:
            continue
        uses = [use for loop in face.loops for use in loop]
        if abs(float((np.array(face.origin_mm) - place) @ into)) < _SAME_MM and any(_is_round(u, place) for u in uses):
            away = [np.linalg.norm(use.points_mm - place, axis=1).min() for use in uses if not _is_round(use, place)]
            rims = [use.radius_mm for use in uses if _is_round(use, place)]
            return float(min(away, default=max(rims)))
    return 0.0


def _is_round(use: EdgeUse, place: Array) -> bool:
    """Whether an edge is a circle round a place."""
    return use.kind == "circle" and float(np.linalg.norm(np.array(use.centre_mm) - place)) < _SAME_MM


def without_lips(s_mm: Array, value: Array, lips_mm: tuple[float, float]) -> Array:
    """Values (n,) along a passage with those inside the rounding of its two openings replaced by the nearest outside it."""
    free = (s_mm >= lips_mm[0]) & (s_mm <= float(s_mm[-1]) - lips_mm[1])
    return np.interp(s_mm, s_mm[free], value[free])
