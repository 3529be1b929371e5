"""Triangles of a solid: welded along shared edges, checked for watertightness, and as a body for mesh booleans."""

from dataclasses import dataclass

import manifold3d
import numpy as np
import numpy.typing as npt
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.solid import Solid, faces_of

Faces = npt.NDArray[np.int32]
_WELD_MM = 1e-5


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Meshed:
    """A copy of a solid whose faces hold triangles."""

    shape: TopoDS_Shape

    @kernel_step("tessellation")
    def triangles(self) -> tuple[Array, Faces]:
        """Vertices (n, 3) [mm] and triangles (m, 3), counter-clockwise seen from outside. Raises KernelError where a face could
        not be meshed.
        """
        points: list[Array] = []
        triangles: list[Faces] = []
        count = 0
        for face in faces_of(self.shape):
            corners, own = face_triangles(face)
            points.append(corners)
            triangles.append(own + count)
            count += len(corners)
        if not points:
            raise KernelError("tessellation", "there is no face to mesh")
        return welded(np.concatenate(points), np.concatenate(triangles))


@kernel_step("tessellation")
def meshed(solid: Solid, chord_mm: float, angle_rad: float) -> Meshed:
    """The solid with triangles. Faces are meshed side by side: their triangles do not depend on it.

    chord_mm : farthest a triangle strays from its face; angle_rad : widest turn between neighbours on one face.
    The solid itself keeps no triangles, so the result does not hang on what was asked before.
    """
    shape = BRepBuilderAPI_Copy(solid.shape, False, False).Shape()
    BRepMesh_IncrementalMesh(shape, chord_mm, False, angle_rad, True)
    return Meshed(shape=shape)


def tessellate(solid: Solid, chord_mm: float = 0.05, angle_rad: float = 0.3) -> tuple[Array, Faces]:
    """Vertices (n, 3) [mm] and triangles (m, 3) of a solid, counter-clockwise seen from outside, as `meshed` has them.

    Raises KernelError where a face could not be meshed.
    """
    return meshed(solid, chord_mm, angle_rad).triangles()


def is_watertight(vertices_mm: Array, faces: Faces) -> bool:
    """Whether every edge is shared by exactly two triangles that run through it in opposite directions."""
    directed = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]).astype(np.int64)
    size = len(vertices_mm)
    forward = np.sort(directed[:, 0] * size + directed[:, 1])
    backward = np.sort(directed[:, 1] * size + directed[:, 0])
    return len(faces) > 0 and bool((np.diff(forward) > 0).all()) and bool((forward == backward).all())


def mesh_volume(vertices_mm: Array, faces: Faces) -> float:
    """Volume inside closed triangles [mm3], by the divergence theorem."""
    a, b, c = (vertices_mm[faces[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)


def mesh_body(vertices_mm: Array, faces: Faces) -> manifold3d.Manifold:
    """The triangles as a body for booleans. Raises KernelError where they do not bound one."""
    mesh = manifold3d.Mesh64(vert_properties=np.ascontiguousarray(vertices_mm), tri_verts=faces.astype(np.uint64))
    body = manifold3d.Manifold(mesh)
    if body.status() != manifold3d.Error.NoError:
        raise KernelError("triangles as a body", str(body.status()))
    return body


def face_triangles(face: TopoDS_Face) -> tuple[Array, Faces]:
    """The triangles a meshed face holds. Raises KernelError where it holds none."""
    location = TopLoc_Location()
    mesh = BRep_Tool.Triangulation_s(face, location)
    if mesh is None:
        raise KernelError("tessellation", "a face could not be meshed")
    nodes = (mesh.Node(i) for i in range(1, mesh.NbNodes() + 1))
    if not location.IsIdentity():
        moved = location.Transformation()
        nodes = (node.Transformed(moved) for node in nodes)
    points = np.array([(node.X(), node.Y(), node.Z()) for node in nodes])
    corners = np.array([mesh.Triangle(i).Get() for i in range(1, mesh.NbTriangles() + 1)], dtype=np.int32) - 1
    if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
        corners = corners[:, ::-1]
    return points, corners


def welded(points: Array, triangles: Faces) -> tuple[Array, Faces]:
    """One vertex for points that round to one place; triangles that lose a corner go."""
    _, first, inverse = np.unique(np.round(points / _WELD_MM), axis=0, return_index=True, return_inverse=True)
    faces = inverse.ravel()[triangles].astype(np.int32)
    a, b, c = faces.T
    return points[first], np.ascontiguousarray(faces[(a != b) & (b != c) & (c != a)])
