"""Planes, cylinders, lines and circles that a file holds as free-form surfaces and curves: known again for what they are."""

from dataclasses import dataclass

import numpy as np
from OCP.BRepGProp import BRepGProp_Face
from OCP.gp import gp_Circ, gp_Cone, gp_Cylinder, gp_Dir, gp_Lin, gp_Pln, gp_Pnt, gp_Sphere, gp_Vec
from OCP.ShapeAnalysis import ShapeAnalysis_CanonicalRecognition
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face

from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.kernel.body import FaceKind

_SAME_MM = 1e-4
_NONE: Vec3 = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """What a surface is: place and axis (a plane's outward normal), radius [mm], whether the metal lies outside it."""

    kind: FaceKind
    origin_mm: Vec3
    axis: Vec3
    radius_mm: float
    hollow: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A circle or an arc of one."""

    centre_mm: Vec3
    axis: Vec3
    radius_mm: float


def surface_form(face: TopoDS_Face) -> Form | None:
    """The plane, cylinder, cone or sphere that a free-form face keeps to; None where it is none of them."""
    asked = ShapeAnalysis_CanonicalRecognition(face)
    place, normal = _outward(face)
    plane, cylinder, cone, sphere = gp_Pln(), gp_Cylinder(), gp_Cone(), gp_Sphere()
    if asked.IsPlane(_SAME_MM, plane):
        return Form(kind="plane", origin_mm=vec3(place), axis=vec3(normal), radius_mm=0.0, hollow=False)
    if asked.IsCylinder(_SAME_MM, cylinder):
        return _about("cylinder", cylinder.Location(), cylinder.Axis().Direction(), cylinder.Radius(), (place, normal))
    if asked.IsCone(_SAME_MM, cone):
        return _about("cone", cone.Location(), cone.Axis().Direction(), cone.RefRadius(), (place, normal))
    if asked.IsSphere(_SAME_MM, sphere):
        middle = _xyz(sphere.Location())
        hollow = float((place - middle) @ normal) < 0.0
        return Form(kind="sphere", origin_mm=vec3(middle), axis=_NONE, radius_mm=sphere.Radius(), hollow=hollow)
    return None


def is_straight(edge: TopoDS_Edge) -> bool:
    """Whether a free-form edge keeps to a line."""
    return ShapeAnalysis_CanonicalRecognition(edge).IsLine(_SAME_MM, gp_Lin())


def round_of(edge: TopoDS_Edge) -> Round | None:
    """The circle that a free-form edge keeps to; None where it keeps to none."""
    circle = gp_Circ()
    if not ShapeAnalysis_CanonicalRecognition(edge).IsCircle(_SAME_MM, circle):
        return None
    middle, axis = vec3(_xyz(circle.Location())), vec3(_xyz(circle.Axis().Direction()))
    return Round(centre_mm=middle, axis=axis, radius_mm=circle.Radius())


def swept_rad(points_mm: Array, on: Round) -> float:
    """How far points (n, 3) of an arc go round its axis, positive by the right hand."""
    z = np.array(on.axis)
    x = np.cross(z, np.eye(3)[int(np.argmin(np.abs(z)))])
    out = points_mm - np.array(on.centre_mm)
    angle = np.unwrap(np.arctan2(out @ np.cross(z, x), out @ x))
    return float(angle[-1] - angle[0])


def _about(kind: FaceKind, at: gp_Pnt, way: gp_Dir, radius_mm: float, seen: tuple[Array, Array]) -> Form:
    place, normal = seen
    origin, axis = _xyz(at), _xyz(way)
    out = place - origin
    out = out - axis * (out @ axis)
    return Form(
        kind=kind, origin_mm=vec3(origin), axis=vec3(axis), radius_mm=radius_mm, hollow=float(out @ normal) < 0.0
    )


def _outward(face: TopoDS_Face) -> tuple[Array, Array]:
    """A point amid a face's parameters, and the unit normal out of the metal there."""
    seen = BRepGProp_Face(face)
    u_low, u_high, v_low, v_high = seen.Bounds()
    place, normal = gp_Pnt(), gp_Vec()
    seen.Normal((u_low + u_high) / 2.0, (v_low + v_high) / 2.0, place, normal)
    way = _xyz(normal)
    return _xyz(place), way / max(float(np.linalg.norm(way)), 1e-12)


def _xyz(item: gp_Pnt | gp_Vec | gp_Dir) -> Array:
    return np.array([item.X(), item.Y(), item.Z()])
