"""A kernel solid told as plain faces and edges: which surface, where, and what meets across every edge."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepGProp import BRepGProp, BRepGProp_Face
from OCP.BRepLib import BRepLib_ToolTriangulatedShape
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools, BRepTools_WireExplorer
from OCP.collections import IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.gp import gp_Dir, gp_Pnt, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Wire

from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.kernel.body import Body, BodyFace, EdgeKind, EdgeUse, FaceKind, joined_mesh
from tractwright.kernel.canonical import Form, is_straight, round_of, surface_form, swept_rad
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.measure import is_valid, volume
from tractwright.kernel.mesh import face_triangles, is_watertight, welded
from tractwright.kernel.polylines import edge_points
from tractwright.kernel.solid import Solid, faces_of

CHORD_MM = 0.05
_ANGLE_RAD = 0.3
_EDGE_CHORD_MM = 0.002
_NONE: Vec3 = (0.0, 0.0, 0.0)
_REVERSED = TopAbs_Orientation.TopAbs_REVERSED
_SURFACES: dict[GeomAbs_SurfaceType, FaceKind] = {
    GeomAbs_SurfaceType.GeomAbs_Plane: "plane",
    GeomAbs_SurfaceType.GeomAbs_Cylinder: "cylinder",
    GeomAbs_SurfaceType.GeomAbs_Cone: "cone",
    GeomAbs_SurfaceType.GeomAbs_Sphere: "sphere",
    GeomAbs_SurfaceType.GeomAbs_Torus: "torus",
}


@kernel_step("telling a solid face by face")
def survey(solid: Solid, name: str) -> Body:
    """The solid in plain numbers, its triangles within CHORD_MM of it."""
    shape = BRepBuilderAPI_Copy(solid.shape, False, False).Shape()
    BRepMesh_IncrementalMesh(shape, CHORD_MM, False, _ANGLE_RAD, False)
    faces = faces_of(shape)
    walks = _walks(faces)
    told = [_face(face, loops) for face, loops in zip(faces, _uses(walks), strict=True)]
    mesh = welded(*joined_mesh([face.mesh for face in told]))
    return Body(
        name=name,
        faces=tuple(told),
        volume_mm3=volume(solid),
        area_mm2=sum(face.area_mm2 for face in told),
        valid=is_valid(solid),
        watertight=is_watertight(*mesh),
        mesh=mesh,
    )


@dataclass(frozen=True, eq=False, slots=True)
class _Step:
    """An edge on a face's walk, and the direction along the face away from it."""

    number: int
    edge: TopoDS_Edge
    into: Vec3


def _walks(faces: list[TopoDS_Face]) -> list[list[list[_Step]]]:
    numbers = IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    for face in faces:
        TopExp.MapShapes_s(face, TopAbs_ShapeEnum.TopAbs_EDGE, numbers)
    found: list[list[list[_Step]]] = []
    for face in faces:
        loops = [[_step(edge, face, numbers.FindIndex(edge)) for edge in _edges(wire, face)] for wire in _wires(face)]
        found.append([loop for loop in loops if loop])
    return found


def _uses(walks: list[list[list[_Step]]]) -> Iterator[tuple[tuple[EdgeUse, ...], ...]]:
    """Every face's loops, the face across each edge looked up."""
    at: dict[int, list[tuple[int, Vec3]]] = {}
    for face, loops in enumerate(walks):
        for step in (step for loop in loops for step in loop):
            at.setdefault(step.number, []).append((face, step.into))
    for face, loops in enumerate(walks):
        yield tuple(tuple(_use(step, *_across(at[step.number], face)) for step in loop) for loop in loops)


def _across(sides: list[tuple[int, Vec3]], face: int) -> tuple[int, Vec3]:
    return next(((other, into) for other, into in sides if other != face), (-1, _NONE))


def _wires(face: TopoDS_Face) -> list[TopoDS_Wire]:
    """The wires of a face, the outer one first."""
    outer = BRepTools.OuterWire_s(face)
    explorer = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_WIRE)
    inner: list[TopoDS_Wire] = []
    while explorer.More():
        wire = TopoDS.Wire(explorer.Current())
        if not wire.IsSame(outer):
            inner.append(wire)
        explorer.Next()
    return [outer, *inner]


def _edges(wire: TopoDS_Wire, face: TopoDS_Face) -> list[TopoDS_Edge]:
    explorer = BRepTools_WireExplorer(wire, face)
    found: list[TopoDS_Edge] = []
    while explorer.More():
        edge = explorer.Current()
        if not BRep_Tool.Degenerated_s(edge):
            found.append(edge)
        explorer.Next()
    return found


def _step(edge: TopoDS_Edge, face: TopoDS_Face, number: int) -> _Step:
    return _Step(number, edge, _into(edge, face))


def _into(edge: TopoDS_Edge, face: TopoDS_Face) -> Vec3:
    """Outward normal cross the walk's direction, at the edge's middle."""
    curve = BRepAdaptor_Curve(edge)
    middle = (curve.FirstParameter() + curve.LastParameter()) / 2.0
    place, along, normal = gp_Pnt(), gp_Vec(), gp_Vec()
    curve.D1(middle, place, along)
    flat = BRep_Tool.CurveOnSurface_s(edge, face, 0.0, 0.0)
    if flat is None:
        return _NONE
    on_face = flat.Value(middle)
    BRepGProp_Face(face).Normal(on_face.X(), on_face.Y(), place, normal)
    way = np.cross(_xyz(normal), _xyz(along)) * (-1.0 if edge.Orientation() == _REVERSED else 1.0)
    length = float(np.linalg.norm(way))
    return vec3(way / length) if length > 0.0 else _NONE


def _use(step: _Step, other: int, into: Vec3) -> EdgeUse:
    curve = BRepAdaptor_Curve(step.edge)
    kind: EdgeKind = "other"
    centre, axis, radius, sweep = _NONE, _NONE, 0.0, 0.0
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
        kind = "line"
    elif curve.GetType() == GeomAbs_CurveType.GeomAbs_Circle:
        kind, circle = "circle", curve.Circle()
        centre, axis, radius = vec3(_xyz(circle.Location())), vec3(_xyz(circle.Axis().Direction())), circle.Radius()
        sweep = curve.LastParameter() - curve.FirstParameter()
        sweep = -sweep if step.edge.Orientation() == _REVERSED else sweep
    points = edge_points(step.edge, _EDGE_CHORD_MM)
    if kind == "other" and is_straight(step.edge):
        kind = "line"
    elif kind == "other" and (on := round_of(step.edge)) is not None:
        kind, centre, axis, radius, sweep = "circle", on.centre_mm, on.axis, on.radius_mm, swept_rad(points, on)
    return EdgeUse(
        edge=step.number,
        other=other,
        kind=kind,
        points_mm=points,
        into=into,
        centre_mm=centre,
        axis=axis,
        radius_mm=radius,
        sweep_rad=sweep,
    )


def _face(face: TopoDS_Face, loops: tuple[tuple[EdgeUse, ...], ...]) -> BodyFace:
    surface = BRepAdaptor_Surface(face)
    kind = _SURFACES.get(surface.GetType(), "other")
    outwards = face.Orientation() != _REVERSED
    known = surface_form(face) if kind == "other" else None
    form = _form(surface, kind, outwards) if known is None else known
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, properties)
    return BodyFace(
        kind=form.kind,
        origin_mm=form.origin_mm,
        axis=form.axis,
        radius_mm=form.radius_mm,
        hollow=form.hollow,
        area_mm2=abs(float(properties.Mass())),
        loops=loops,
        mesh=face_triangles(face),
        normals=_normals(face),
    )


def _form(surface: BRepAdaptor_Surface, kind: FaceKind, outwards: bool) -> Form:
    origin, axis, radius = _placed(surface, kind, outwards)
    hollow = kind not in ("plane", "other") and _hollow(surface, outwards)
    return Form(kind=kind, origin_mm=origin, axis=axis, radius_mm=radius, hollow=hollow)


def _normals(face: TopoDS_Face) -> Array:
    """The surface's outward normals at the face's mesh points (n, 3)."""
    location = TopLoc_Location()
    mesh = BRep_Tool.Triangulation_s(face, location)
    BRepLib_ToolTriangulatedShape.ComputeNormals_s(face, mesh)
    turned = location.Transformation()
    sign = -1.0 if face.Orientation() == _REVERSED else 1.0
    return np.array([_xyz(mesh.Normal(i).Transformed(turned)) for i in range(1, mesh.NbNodes() + 1)]) * sign


def _hollow(surface: BRepAdaptor_Surface, outwards: bool) -> bool:
    """A round surface's own normal points away from its axis where its frame is right-handed."""
    direct = {
        GeomAbs_SurfaceType.GeomAbs_Cylinder: lambda: surface.Cylinder().Direct(),
        GeomAbs_SurfaceType.GeomAbs_Cone: lambda: surface.Cone().Direct(),
        GeomAbs_SurfaceType.GeomAbs_Sphere: lambda: surface.Sphere().Direct(),
        GeomAbs_SurfaceType.GeomAbs_Torus: lambda: surface.Torus().Direct(),
    }[surface.GetType()]()
    return direct != outwards


def _placed(surface: BRepAdaptor_Surface, kind: FaceKind, outwards: bool) -> tuple[Vec3, Vec3, float]:
    if kind == "plane":
        plane = surface.Plane()
        normal = _xyz(plane.Axis().Direction()) * (1.0 if plane.Direct() == outwards else -1.0)
        return vec3(_xyz(plane.Location())), vec3(normal), 0.0
    if kind == "cylinder":
        cylinder = surface.Cylinder()
        return vec3(_xyz(cylinder.Location())), vec3(_xyz(cylinder.Axis().Direction())), cylinder.Radius()
    if kind == "cone":
        cone = surface.Cone()
        return vec3(_xyz(cone.Location())), vec3(_xyz(cone.Axis().Direction())), cone.RefRadius()
    if kind == "sphere":
        sphere = surface.Sphere()
        return vec3(_xyz(sphere.Location())), _NONE, sphere.Radius()
    if kind == "torus":
        torus = surface.Torus()
        return vec3(_xyz(torus.Location())), vec3(_xyz(torus.Axis().Direction())), torus.MinorRadius()
    return _NONE, _NONE, 0.0


def _xyz(place: gp_Pnt | gp_Vec | gp_Dir) -> Array:
    return np.array([place.X(), place.Y(), place.Z()])
