"""Root radii where the metal round a passage rises from a plate: by the faces that meet the plate's outer plane."""

import numpy as np
import shapely

from tractwright.geometry.frames import Array, frame_from_normal
from tractwright.kernel.body import Body, BodyFace, EdgeUse
from tractwright.own.faces import polygon_of
from tractwright.own.records import JointFace

_SAME_MM = 1e-3
_SAME_WAY = 1e-6
_TANGENT = 0.05
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
    if abs(float(np.dot(use.into, away))) > _TANGENT:
        return 0.0
    return across.radius_mm if across.kind in _ROUND else _height(across, use, away)


def _height(face: BodyFace, use: EdgeUse, away: Array) -> float:
    """How high a face that leaves the plate tangentially rises: a root's radius where the wall stands square."""
    return float(((face.mesh[0] - use.points_mm[0]) @ away).max())
