"""Radii of a solid's inner corners: what limits the cutters that can make it."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Vec3, vec3
from tractwright.kernel.body import Body, BodyFace
from tractwright.own.records import Hole
from tractwright.own.slots import ends_of

_SHARP = 0.2
_LEAST_EDGE_MM = 1.0
_SAME_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class InnerRadius:
    """A radius [mm] that hollow faces round a corner have: how many faces, and a place on the largest of them."""

    radius_mm: float
    faces: int
    at_mm: Vec3


def inner_radii(body: Body, holes: tuple[Hole, ...]) -> tuple[InnerRadius, ...]:
    """Every radius of a corner between walls, rising: round faces hollow to the metal's outside that are no holes."""
    found: dict[float, list[BodyFace]] = {}
    for face in body.faces:
        if face.kind in ("cylinder", "torus", "sphere") and face.hollow and _corner(face, holes):
            found.setdefault(round(face.radius_mm, 2), []).append(face)
    return tuple(
        InnerRadius(radius_mm=radius, faces=len(faces), at_mm=_middle(max(faces, key=lambda item: item.area_mm2)))
        for radius, faces in sorted(found.items())
    )


def sharp_edges(body: Body) -> tuple[Vec3, ...]:
    """Middles of straight edges along which a wall rises from a plane face without any radius, the longest first."""
    found: dict[int, tuple[float, Vec3]] = {}
    for face in (item for item in body.faces if item.kind == "plane"):
        for use in (use for loop in face.loops for use in loop if use.kind == "line"):
            length = float(np.linalg.norm(use.points_mm[-1] - use.points_mm[0]))
            if float(np.dot(use.into, face.axis)) > _SHARP and length > _LEAST_EDGE_MM:
                found[use.edge] = (length, vec3(use.points_mm.mean(axis=0)))
    return tuple(place for _, place in sorted(found.values(), reverse=True))


def _corner(face: BodyFace, holes: tuple[Hole, ...]) -> bool:
    """Not a hole's own wall, nor a bore right round."""
    if face.kind != "cylinder":
        return True
    turn = face.area_mm2 / max(face.radius_mm, 1e-9)
    axis = np.array(face.axis)
    height = float(np.ptp(face.mesh[0] @ axis))
    if turn > 1.75 * np.pi * height:
        return False
    return not any(_is_of(face, hole) for hole in holes)


def _is_of(face: BodyFace, hole: Hole) -> bool:
    into = np.array(hole.into)
    if abs(float(into @ np.array(face.axis))) < 1.0 - 1e-6:
        return False
    off = np.cross(np.array(face.origin_mm) - ends_of(hole), into)
    return float(np.linalg.norm(off, axis=1).min()) < _SAME_MM


def _middle(face: BodyFace) -> Vec3:
    points = face.mesh[0]
    return vec3(points[int(np.argmin(np.linalg.norm(points - points.mean(axis=0), axis=1)))])
