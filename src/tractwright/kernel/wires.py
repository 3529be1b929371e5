"""Kernel edges and wires from plane contours: lines and circular arcs stay exactly that."""

from math import atan2, cos, hypot, pi, sin

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex, BRepBuilderAPI_MakeWire
from OCP.Geom import Geom_Circle, Geom_Ellipse
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Edge, TopoDS_Vertex, TopoDS_Wire

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour, Vertex, arc_of
from tractwright.geometry.frames import Frame, Vec3, vec3


def point(frame: Frame, x: float, y: float, z: float = 0.0) -> gp_Pnt:
    """A kernel point from coordinates in a frame."""
    return gp_Pnt(*vec3(frame.to_world((x, y, z))))


def direction(vector: Vec3) -> gp_Dir:
    """A kernel direction."""
    return gp_Dir(*vector)


def along(vector: Vec3, length_mm: float) -> gp_Vec:
    """A kernel step along a unit vector."""
    return gp_Vec(*(component * length_mm for component in vector))


def axes(frame: Frame) -> gp_Ax2:
    """The frame as kernel axes: main direction z, x direction x."""
    return gp_Ax2(gp_Pnt(*frame.origin_mm), direction(frame.z), direction(frame.x))


def axis(frame: Frame, x: float = 0.0, y: float = 0.0) -> gp_Ax1:
    """The line through (x, y) of the frame along its z."""
    return gp_Ax1(point(frame, x, y), direction(frame.z))


def contour_edges(contour: Contour, frame: Frame) -> list[TopoDS_Edge]:
    """One edge a segment, in order, sharing their vertices."""
    corners = [BRepBuilderAPI_MakeVertex(point(frame, x, y)).Vertex() for x, y, _ in contour]
    return [
        _edge(frame, contour[i], contour[(i + 1) % len(contour)], (corners[i], corners[(i + 1) % len(contour)]))
        for i in range(len(contour))
    ]


def contour_wire(contour: Contour, frame: Frame) -> TopoDS_Wire:
    """The closed wire of a contour in the frame's x-y. Raises KernelError where it does not close."""
    maker = BRepBuilderAPI_MakeWire()
    for edge in contour_edges(contour, frame):
        maker.Add(edge)
    if not maker.IsDone():
        raise KernelError("wire of a contour", "its segments do not join")
    return maker.Wire()


def circle_wire(frame: Frame, radius_mm: float) -> TopoDS_Wire:
    """A full circle about the frame's z as one edge."""
    edge = BRepBuilderAPI_MakeEdge(gp_Circ(axes(frame), radius_mm)).Edge()
    return BRepBuilderAPI_MakeWire(edge).Wire()


def arc_edge(frame: Frame, centre: tuple[float, float], start: tuple[float, float], sweep_rad: float) -> TopoDS_Edge:
    """An arc in the frame's x-y from a start point through a signed angle."""
    radius = hypot(start[0] - centre[0], start[1] - centre[1])
    circle = gp_Circ(_arc_axes(frame, centre, start, sweep_rad), radius)
    return BRepBuilderAPI_MakeEdge(circle, 0.0, abs(sweep_rad)).Edge()


def ellipse_quarter_edge(frame: Frame, centre: tuple[float, float], half_x_mm: float, half_y_mm: float) -> TopoDS_Edge:
    """The quarter of an axis-parallel ellipse in the frame's x-y from (centre - half_x) to (centre - half_y).

    Equal half axes give a circle's quarter, so that revolving it gives an exact torus.
    """
    x, y = centre
    if abs(half_x_mm - half_y_mm) < 1e-9:
        return arc_edge(frame, centre, (x - half_x_mm, y), pi / 2.0)
    left = BRepBuilderAPI_MakeVertex(point(frame, x - half_x_mm, y)).Vertex()
    low = BRepBuilderAPI_MakeVertex(point(frame, x, y - half_y_mm)).Vertex()
    wide = half_x_mm > half_y_mm
    main = frame.turn((-1.0, 0.0, 0.0) if wide else (0.0, -1.0, 0.0))
    ellipse = Geom_Ellipse(
        gp_Ax2(point(frame, x, y), direction(frame.z), direction(vec3(main))),
        max(half_x_mm, half_y_mm),
        min(half_x_mm, half_y_mm),
    )
    first = 0.0 if wide else -pi / 2.0
    return BRepBuilderAPI_MakeEdge(ellipse, left, low, first, first + pi / 2.0).Edge()


def _arc_axes(frame: Frame, centre: tuple[float, float], start: tuple[float, float], sweep: float) -> gp_Ax2:
    """Axes in which an arc starts at angle 0 and runs forward."""
    angle = atan2(start[1] - centre[1], start[0] - centre[0])
    side = 1.0 if sweep > 0 else -1.0
    main = frame.turn((0.0, 0.0, side))
    first = frame.turn((cos(angle), sin(angle), 0.0))
    return gp_Ax2(point(frame, *centre), direction(vec3(main)), direction(vec3(first)))


def _edge(frame: Frame, start: Vertex, end: Vertex, corners: tuple[TopoDS_Vertex, TopoDS_Vertex]) -> TopoDS_Edge:
    if abs(start[2]) < 1e-12:
        return BRepBuilderAPI_MakeEdge(*corners).Edge()
    cx, cy, radius, _, sweep = arc_of(start, end)
    circle = Geom_Circle(_arc_axes(frame, (cx, cy), start[:2], sweep), radius)
    maker = BRepBuilderAPI_MakeEdge(circle, *corners, 0.0, abs(sweep))
    if not maker.IsDone():
        raise KernelError("edge of a contour", f"an arc of radius {radius:.4f} mm could not be made")
    return maker.Edge()
