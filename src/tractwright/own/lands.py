"""Metal round every opening of a joint face, up to the nearest other thing in the face."""

from dataclasses import replace

import shapely

from tractwright.geometry.contours import Contour, polyline
from tractwright.own.records import JointFace, Opening
from tractwright.own.slots import ends_of

_CHORD_MM = 0.002


def with_lands(face: JointFace) -> JointFace:
    """The face with each opening's narrowest land and what lies beyond it."""
    return replace(face, openings=tuple(_with_land(face, opening) for opening in face.openings))


def _with_land(face: JointFace, opening: Opening) -> Opening:
    own = _ring(opening.contour)
    others = [(other.name, _ring(other.contour)) for other in face.openings if other is not opening]
    others += [("outline", _ring(outline)) for outline in face.outlines]
    others += [("groove", _ring(edge)) for groove in face.grooves for edge in (groove.inner, groove.outer)]
    others += [(f"hole {k}", _disc(face, k - 1)) for k in range(1, len(face.holes) + 1)]
    land, beside = min(((own.distance(shape), name) for name, shape in others), default=(float("inf"), ""))
    return replace(opening, land_mm=float(land), beside=beside)


def _ring(contour: Contour) -> shapely.LinearRing:
    return shapely.LinearRing(polyline(contour, _CHORD_MM))


def _disc(face: JointFace, index: int) -> shapely.Polygon:
    hole = face.holes[index]
    return shapely.MultiPoint(face.frame.to_local(ends_of(hole))[:, :2]).convex_hull.buffer(
        hole.mouth_mm / 2.0, quad_segs=64
    )
