"""Tubes as exact solids: a smooth surface through stations x angles of points, closed into a solid.

The surface interpolates: cubic along, cubic and periodic around. It is cut in two halves, for a surface that closes on
itself carries a seam that later steps trip over. Measured: the volume is that of the points to 0.01-0.1 %.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.collections import Array1_double, Array1_int, Array2_gp_Pnt, List_TopoDS_Shape
from OCP.Geom import Geom_BSplineSurface
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Wire
from scipy.interpolate import BSpline, NdBSpline, make_interp_spline

from tractwright.geometry.frames import Array, unit
from tractwright.kernel.sewing import sewn_solid
from tractwright.kernel.solid import Solid

_DEGREE = 3


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Skin:
    """A tube's side without its ends: two faces, and the closed wire at the first and at the last station."""

    faces: tuple[TopoDS_Face, TopoDS_Face]
    first: TopoDS_Wire
    last: TopoDS_Wire


def skin_of(points_mm: Array) -> Skin:
    """The interpolating side of a tube.

    points_mm : (stations, angles, 3), the angles closed without repeating the first, counter-clockwise seen from the
        last station; an even count of angles. Rows whose distance changes gently give the smoothest surface.
    """
    along, around = _splines(points_mm)
    halves = [_surface(_between(around, start, start + 0.5), along.t, len(points_mm)) for start in (0.0, 0.5)]
    faces = [BRepBuilderAPI_MakeFace(half, 1e-6).Face() for half in halves]
    return Skin(faces=(faces[0], faces[1]), first=_ring(halves, 0.0), last=_ring(halves, 1.0))


def skin_solid(points_mm: Array) -> Solid:
    """The tube closed by plane ends: the first and the last row each lie in a plane. Raises KernelError."""
    return banded_solid([points_mm], "skin")


def banded_solid(bands_mm: Sequence[Array], step: str) -> Solid:
    """A closed body of tubes one after the other, each beginning with the row that the one before ends with, an edge
    between them; plane ends. Raises KernelError naming the step where it does not close.
    """
    skins = [skin_of(band) for band in bands_mm]
    ends = [_cap(skins[0].first, bands_mm[0][0]), _cap(skins[-1].last, bands_mm[-1][-1])]
    return sewn_solid([*(face for skin in skins for face in skin.faces), *ends], step)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class SkinSurface:
    """The very surface that `skin_of` makes of the same points, to be asked for places without the kernel.

    Places are (around, along): around 0 to 1 and on, periodic; along 0 at the first station to 1 at the last.
    """

    spline: NdBSpline

    def at(self, places: Array, derivative: tuple[int, int] = (0, 0)) -> Array:
        """Points, or derivatives by (around, along), at places (n, 2): (n, 3)."""
        asked = np.column_stack([places[:, 0] % 1.0, np.clip(places[:, 1], 0.0, 1.0)])
        return np.asarray(self.spline(asked, nu=derivative), dtype=float)

    def normal(self, places: Array) -> Array:
        """Unit normals (n, 3), to the side that around x along points to."""
        return unit(np.cross(self.at(places, (1, 0)), self.at(places, (0, 1))))


def skin_surface(points_mm: Array) -> SkinSurface:
    """The surface through points (stations, angles, 3)."""
    along, around = _splines(points_mm)
    poles = around.c.reshape(len(around.c), len(points_mm), 3)
    return SkinSurface(spline=NdBSpline((around.t, along.t), poles, _DEGREE))


def _splines(points: Array) -> tuple[BSpline, BSpline]:
    """The spline along (its knots) and the periodic spline around whose values are rows of poles along."""
    stations, angles, _ = points.shape
    steps = np.linalg.norm(np.diff(points, axis=0), axis=2).mean(axis=1)
    places = np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    along = make_interp_spline(places, points.reshape(stations, -1), k=_DEGREE)
    poles = _periodic_poles(np.swapaxes(along.c.reshape(stations, angles, 3), 0, 1).reshape(angles, -1))
    knots = np.arange(-_DEGREE, angles + _DEGREE + 1) / angles
    return along, BSpline(knots, np.concatenate([poles[-1:], poles, poles[:2]]), _DEGREE)


def _periodic_poles(values: Array) -> Array:
    """Poles of the uniform periodic cubic spline through values (n, k): (p[i-1] + 4 p[i] + p[i+1]) / 6 = value[i]."""
    waves = np.fft.rfft(values, axis=0)
    weight = (2.0 + np.cos(2.0 * np.pi * np.arange(len(waves)) / len(values))) / 3.0
    return np.fft.irfft(waves / weight[:, None], n=len(values), axis=0)


def _between(spline: BSpline, start: float, end: float) -> BSpline:
    """The part of a spline between two parameters, its end knots repeated so that it begins and ends on its poles."""
    whole = spline
    for place in (start, end):
        held = int(np.sum(np.abs(whole.t - place) < 1e-12))
        if held < _DEGREE:
            whole = whole.insert_knot(place, _DEGREE - held)
    first = int(np.flatnonzero(np.abs(whole.t - start) < 1e-12)[-1])
    last = int(np.flatnonzero(np.abs(whole.t - end) < 1e-12)[0])
    inner = whole.t[first + 1 : last]
    knots = np.concatenate([np.full(_DEGREE + 1, start), inner, np.full(_DEGREE + 1, end)])
    return BSpline(knots, whole.c[first - _DEGREE : last], _DEGREE)


def _surface(part: BSpline, along_knots: Array, stations: int) -> Geom_BSplineSurface:
    poles = part.c.reshape(len(part.c), stations, 3)
    grid = Array2_gp_Pnt(1, poles.shape[0], 1, stations)
    for i, row in enumerate(poles, start=1):
        for j, pole in enumerate(row, start=1):
            grid.SetValue(i, j, gp_Pnt(*(float(value) for value in pole)))
    u_knots, u_counts = _knots(part.t)
    v_knots, v_counts = _knots(along_knots)
    return Geom_BSplineSurface(grid, u_knots, v_knots, u_counts, v_counts, _DEGREE, _DEGREE, False, False)


def _knots(knots: Array) -> tuple[Array1_double, Array1_int]:
    kept, counts = np.unique(np.round(knots, 13), return_counts=True)
    values = Array1_double(1, len(kept))
    repeats = Array1_int(1, len(kept))
    for i, (value, count) in enumerate(zip(kept, counts, strict=True), start=1):
        values.SetValue(i, float(value))
        repeats.SetValue(i, int(count))
    return values, repeats


def _ring(halves: list[Geom_BSplineSurface], place: float) -> TopoDS_Wire:
    edges = List_TopoDS_Shape()
    for half in halves:
        edge: TopoDS_Edge = BRepBuilderAPI_MakeEdge(half.VIso(place)).Edge()
        edges.Append(edge)
    maker = BRepBuilderAPI_MakeWire()
    maker.Add(edges)
    return maker.Wire()


def _cap(ring: TopoDS_Wire, row: Array) -> TopoDS_Face:
    centre = row.mean(axis=0)
    normal = unit(np.cross(row - centre, np.roll(row, -1, axis=0) - centre).sum(axis=0))
    plane = gp_Pln(gp_Pnt(*map(float, centre)), gp_Dir(*map(float, normal)))
    return BRepBuilderAPI_MakeFace(plane, ring).Face()
