"""Faces that follow a plane contour: upright sides, rounded roots, chamfers. A line gives a plane or cylinder, an arc a
cylinder, cone or torus: what the cutter leaves, exactly.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot, pi

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.gp import gp_Ax1, gp_Vec
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face
from shapely.geometry import Polygon

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, Vertex, arc_of, polyline
from tractwright.geometry.frames import Frame, vec3
from tractwright.geometry.offsets import is_smooth, offset_contour
from tractwright.kernel.sewing import plane_face
from tractwright.kernel.solid import faces_of
from tractwright.kernel.wires import arc_edge, axis, contour_wire, direction, point

_Place = tuple[float, float]
_LEAST_RADIUS_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A stretch of a side's section, as (offset from the contour, height): a line, or a quarter arc about `centre`."""

    start: _Place
    end: _Place
    centre: _Place | None = None


def segments(contour: Contour) -> list[tuple[Vertex, Vertex]]:
    """Start and end of every segment."""
    return list(zip(contour, contour[1:] + contour[:1], strict=True))


def carried_offset(contour: Contour, distance_mm: float) -> Contour:
    """The parallel contour with the same segments. Raises KernelError where corners or tight places forbid it."""
    moved = offset_contour(contour, distance_mm)
    if not is_smooth(contour) or len(moved) != len(contour) or not Polygon(polyline(moved)).is_valid:
        raise KernelError("a rounded edge", f"the contour cannot carry a radius of {abs(distance_mm):.2f} mm")
    return moved


def rounded_offset(contour: Contour, distance_mm: float) -> Contour:
    """The parallel contour where a blend of that radius ends.

    Raises KernelError also where an arc is so tight that the ball that leaves the blend would pass its centre.
    """
    for start, end in segments(contour):
        shrinks = start[2] * distance_mm < 0.0
        if abs(start[2]) >= 1e-12 and shrinks and arc_of(start, end)[2] < 2.0 * abs(distance_mm):
            raise KernelError("a rounded edge", f"a blend of {abs(distance_mm):.2f} mm does not fit a tight arc")
    return carried_offset(contour, distance_mm)


def level(contour: Contour, frame: Frame, height_mm: float, holes: Iterable[Contour] = ()) -> TopoDS_Face:
    """The flat face inside a contour, at a height over the frame's x-y."""
    at_height = frame.moved((0.0, 0.0, height_mm))
    return plane_face(at_height, contour_wire(contour, at_height), [contour_wire(hole, at_height) for hole in holes])


def broken_side(
    contour: Contour, frame: Frame, span: tuple[float, float], break_mm: float
) -> tuple[list[TopoDS_Face], Contour]:
    """The upright side of a contour with its upper edge chamfered, and the contour that is left on top."""
    low, high = span
    faces = swept(contour, frame, Profile(start=(0.0, low), end=(0.0, high - break_mm)))
    if break_mm <= 0.0:
        return faces, contour
    top = carried_offset(contour, -break_mm)
    return faces + swept(contour, frame, Profile(start=(0.0, high - break_mm), end=(-break_mm, high))), top


def swept(contour: Contour, frame: Frame, profile: Profile) -> list[TopoDS_Face]:
    """The profile carried round the whole contour."""
    return [face for start, end in segments(contour) for face in swept_segment(frame, start, end, profile)]


def swept_segment(frame: Frame, start: Vertex, end: Vertex, profile: Profile) -> list[TopoDS_Face]:
    """The profile carried along one line or round one arc."""
    if abs(start[2]) < 1e-12:
        length = hypot(end[0] - start[0], end[1] - start[1])
        outwards = (end[1] - start[1]) / length, (start[0] - end[0]) / length
        run = vec3(frame.turn((end[0] - start[0], end[1] - start[1], 0.0)))
        return faces_of(BRepPrimAPI_MakePrism(_profile_edge(frame, start, outwards, profile), gp_Vec(*run)).Shape())
    cx, cy, radius, _, sweep = arc_of(start, end)
    side = 1.0 if sweep > 0 else -1.0
    outwards = side * (start[0] - cx) / radius, side * (start[1] - cy) / radius
    if any(radius + side * offset < _LEAST_RADIUS_MM for offset, _ in (profile.start, profile.end)):
        raise KernelError("a rounded edge", f"an arc of radius {radius:.2f} mm is too tight for it")
    turn = axis(frame, cx, cy) if side > 0 else gp_Ax1(point(frame, cx, cy), direction(vec3(frame.turn((0, 0, -1)))))
    edge = _profile_edge(frame, start, outwards, profile)
    return faces_of(BRepPrimAPI_MakeRevol(edge, turn, abs(sweep)).Shape())


def _profile_edge(frame: Frame, start: Vertex, outwards: _Place, profile: Profile) -> TopoDS_Edge:
    """The profile in the plane square to the contour at a segment's start."""
    origin = vec3(frame.to_world((start[0], start[1], 0.0)))
    x, z = frame.turn((*outwards, 0.0)), frame.turn((outwards[1], -outwards[0], 0.0))
    square = Frame(origin_mm=origin, x=vec3(x), y=frame.z, z=vec3(z))
    if profile.centre is None:
        return BRepBuilderAPI_MakeEdge(point(square, *profile.start), point(square, *profile.end)).Edge()
    (sx, sy), (ex, ey), (cx, cy) = profile.start, profile.end, profile.centre
    turn = (sx - cx) * (ey - cy) - (sy - cy) * (ex - cx)
    return arc_edge(square, profile.centre, profile.start, pi / 2.0 if turn > 0 else -pi / 2.0)
