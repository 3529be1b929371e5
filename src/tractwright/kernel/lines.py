"""Curves in space as kernel wires: what goes out to be drawn on, and holds no solid."""

from collections.abc import Sequence
from dataclasses import dataclass

from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
from OCP.collections import Array1_double, Array1_gp_Pnt, Array1_int, HArray1_gp_Pnt
from OCP.Geom import Geom_BSplineCurve
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Compound, TopoDS_Edge, TopoDS_Wire

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.kernel.faults import kernel_step

_SAME_MM = 1e-9


@dataclass(frozen=True, eq=False, slots=True)
class Lines:
    """Wires that belong together [mm]."""

    shape: TopoDS_Compound


def lines_of(wires: Sequence[TopoDS_Wire]) -> Lines:
    """Wires as one thing that can be named."""
    builder = BRep_Builder()
    whole = TopoDS_Compound()
    builder.MakeCompound(whole)
    for wire in wires:
        builder.Add(whole, wire)
    return Lines(whole)


@kernel_step("a straight line")
def segment(start_mm: Array, end_mm: Array) -> TopoDS_Wire:
    """The straight line between two points."""
    return _wire([_straight(start_mm, end_mm)])


@kernel_step("a course with its leads")
def course(start_mm: Array, poles_mm: Array, end_mm: Array, degree: int) -> TopoDS_Wire:
    """A straight line to the first pole, the clamped uniform B-spline of the poles, a straight line from the last."""
    curve = [_spline(poles_mm, degree)]
    first = [_straight(start_mm, poles_mm[0])] if _apart(start_mm, poles_mm[0]) else []
    last = [_straight(poles_mm[-1], end_mm)] if _apart(poles_mm[-1], end_mm) else []
    return _wire([*first, *curve, *last])


@kernel_step("a closed line through points")
def ring(points_mm: Array) -> TopoDS_Wire:
    """The closed smooth line through points (n, 3), the first not repeated."""
    places = HArray1_gp_Pnt(1, len(points_mm))
    for i, place in enumerate(points_mm, start=1):
        places.SetValue(i, _point(place))
    maker = GeomAPI_Interpolate(places, True, 1e-7)
    maker.Perform()
    if not maker.IsDone():
        raise KernelError("a closed line through points", "no curve goes through them")
    return _wire([BRepBuilderAPI_MakeEdge(maker.Curve()).Edge()])


def _straight(start: Array, end: Array) -> TopoDS_Edge:
    return BRepBuilderAPI_MakeEdge(_point(start), _point(end)).Edge()


def _spline(poles: Array, degree: int) -> TopoDS_Edge:
    count = len(poles)
    spans = count - degree
    grid = Array1_gp_Pnt(1, count)
    for i, pole in enumerate(poles, start=1):
        grid.SetValue(i, _point(pole))
    knots, repeats = Array1_double(1, spans + 1), Array1_int(1, spans + 1)
    for i in range(spans + 1):
        knots.SetValue(i + 1, i / spans)
        repeats.SetValue(i + 1, degree + 1 if i in (0, spans) else 1)
    return BRepBuilderAPI_MakeEdge(Geom_BSplineCurve(grid, knots, repeats, degree, False)).Edge()


def _wire(edges: Sequence[TopoDS_Edge]) -> TopoDS_Wire:
    maker = BRepBuilderAPI_MakeWire()
    for edge in edges:
        maker.Add(edge)
    if not maker.IsDone():
        raise KernelError("a line in space", "its parts do not join")
    return maker.Wire()


def _apart(one: Array, two: Array) -> bool:
    return bool(abs(one - two).max() > _SAME_MM)


def _point(place: Array) -> gp_Pnt:
    return gp_Pnt(*(float(value) for value in place))
