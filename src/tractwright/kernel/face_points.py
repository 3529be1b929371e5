"""Points of a face's surface and the outward normals there, many at once: planes and B-splines in arrays, others one by one."""

from collections.abc import Callable

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp_Face
from OCP.Geom import Geom_BSplineSurface
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import TopoDS_Face
from scipy.interpolate import NdBSpline

from tractwright.geometry.frames import Array

AtPlaces = Callable[[Array], Array]
"""Places (n, 2) in the two numbers of a surface -> point and outward normal of any size, (n, 6) [mm]; no normal: zero."""


def points_on(face: TopoDS_Face) -> AtPlaces:
    """How points on a face and its outward normals are had."""
    surface = BRepAdaptor_Surface(face)
    side = -1.0 if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED else 1.0
    if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Plane:
        return _on_plane(surface, side)
    if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_BSplineSurface:
        spline = surface.BSpline()
        if not (spline.IsURational() or spline.IsVRational() or spline.IsUPeriodic() or spline.IsVPeriodic()):
            return _on_spline(spline, side)
    return _one_by_one(face)


def _on_plane(surface: BRepAdaptor_Surface, side: float) -> AtPlaces:
    at = surface.Plane().Position()
    origin, along, across = (
        np.array((item.X(), item.Y(), item.Z())) for item in (at.Location(), at.XDirection(), at.YDirection())
    )
    out = side * np.cross(along, across)

    def found(places: Array) -> Array:
        points = origin + places[:, :1] * along + places[:, 1:] * across
        return np.hstack([points, np.broadcast_to(out, points.shape)])

    return found


def _on_spline(spline: Geom_BSplineSurface, side: float) -> AtPlaces:
    u, v = (np.array(list(knots)) for knots in (spline.UKnotSequence(), spline.VKnotSequence()))
    rows, columns = spline.NbUPoles(), spline.NbVPoles()
    poles = (spline.Pole(i, j) for i in range(1, rows + 1) for j in range(1, columns + 1))
    corners = np.array([(pole.X(), pole.Y(), pole.Z()) for pole in poles]).reshape(rows, columns, 3)
    at = NdBSpline((u, v), corners, (spline.UDegree(), spline.VDegree()))

    def found(places: Array) -> Array:
        along, across = at(places, nu=(1, 0)), at(places, nu=(0, 1))
        return np.hstack([at(places), side * np.cross(along, across)])

    return found


def _one_by_one(face: TopoDS_Face) -> AtPlaces:
    known = BRepGProp_Face(face)

    def found(places: Array) -> Array:
        point, normal = gp_Pnt(), gp_Vec()
        rows: list[tuple[float, ...]] = []
        for u, v in places.tolist():
            known.Normal(u, v, point, normal)
            rows.append((point.X(), point.Y(), point.Z(), normal.X(), normal.Y(), normal.Z()))
        return np.array(rows)

    return found
