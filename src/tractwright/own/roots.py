"""Root radii where the metal round a passage rises from a plate: by the faces that meet the plate's outer plane."""

import numpy as np
import shapely

from tractwright.geometry.frames import Array, frame_from_normal
from tractwright.kernel.body import Body, BodyFace, EdgeUse
from tractwright.own.faces import polygon_of
from tractwright.own.records import JointFace

_SAME_MM = 1e-3
_SAME_WAY = 1e-6
_TANGENT = 0.35
_LOW_MM, _HIGH_MM = 0.3, 2.0
_ROUND = ("torus", "cylinder", "sphere")


def root_mm(body: Body, face: JointFace, plate_mm: float, centre_mm: Array) -> float | None:
    """The least root radius round a passage [mm], 0 where walls rise from the plate without one; None where no wall rises
    from it there. centre_mm : a point of the passage in the plate's outer plane or near it.
    """
    away = -np.array(face.frame.z)
    level = np.array(face.frame.origin_mm) + away * plate_mm
    frame = frame_from_normal(level, away, face.frame.x)
    here = shapely.Point(frame.to_local(centre_mm)[:2])
    found: list[float] = []
    for other in body.faces:
        if other.kind != "plane" or float(np.dot(other.axis, away)) < 1.0 - _SAME_WAY:
            continue
        if abs(float(frame.to_local(other.origin_mm)[2])) > _SAME_MM:
            continue
        round_it = [loop for loop in other.loops[1:] if polygon_of(loop, frame).buffer(0.0).contains(here)]
        found += [_radius(body, use, away) for loop in round_it for use in loop if use.other >= 0]
    return min(found, default=None)


def _radius(body: Body, use: EdgeUse, away: Array) -> float:
    """Of the face across one edge of the plate: 0 where it rises at an angle."""
    across = body.faces[use.other]
    if float(np.dot(use.into, away)) > _TANGENT:
        return 0.0
    return across.radius_mm if across.kind in _ROUND else _rolled(across, use, away)


def _rolled(face: BodyFace, use: EdgeUse, away: Array) -> float:
    """The radius a ball had that left such a face: a circle that leaves a plane tangentially stands h over it at a distance
    d with R = (d^2 + h^2) / 2h.
    """
    height = (face.mesh[0] - use.points_mm[0]) @ away
    near = (height > _LOW_MM) & (height < _HIGH_MM)
    line = use.points_mm - np.outer((use.points_mm - use.points_mm[0]) @ away, away)
    foot = face.mesh[0][near] - np.outer(height[near], away)
    if not len(foot):
        return 0.0
    fine = np.concatenate([line[:-1] + (line[1:] - line[:-1]) * t for t in np.linspace(0.0, 1.0, 9)])
    aside = np.linalg.norm(foot[:, None] - fine[None], axis=2).min(axis=1)
    return float(np.median((aside**2 + height[near] ** 2) / (2.0 * height[near])))
