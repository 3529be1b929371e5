"""Points spread over a part of a solid's surface, and the normals there, both exact whatever the triangles between them.

A mesh fine enough to measure a blend on takes half a minute. A coarse one is used here for no more than to know where, in
the two numbers of each face's surface, the face is: the points themselves are taken from the surface.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Tool
from OCP.BRepBndLib import BRepBndLib
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.kernel.face_points import AtPlaces, points_on
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.mesh import Meshed, face_triangles
from tractwright.kernel.solid import faces_of

Box = tuple[Array, Array]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PartSurface:
    """Triangles over a part of a surface: corners_mm (m, 3, 3), the surface's two numbers there (m, 3, 2), their faces (m,)."""

    corners_mm: Array
    places: Array
    owner: npt.NDArray[np.intp]
    faces: tuple[AtPlaces, ...]

    def chosen(self, which: npt.NDArray[np.bool_]) -> "PartSurface":
        """Some of the triangles."""
        return PartSurface(
            corners_mm=self.corners_mm[which], places=self.places[which], owner=self.owner[which], faces=self.faces
        )

    def exact(self, triangle: npt.NDArray[np.intp], share: Array) -> tuple[Array, Array]:
        """Points (n, 3) [mm] of the surface and its outward unit normals, zero where it has none.

        triangle (n,), share (n, 3) : of the triangle's corners, in the numbers of its surface.
        """
        places = np.einsum("nk,nkj->nj", share, self.places[triangle])
        found = np.empty((len(places), 6))
        owner = self.owner[triangle]
        for face in np.unique(owner):
            mine = owner == face
            found[mine] = self.faces[face](places[mine])
        sizes = np.linalg.norm(found[:, 3:], axis=1, keepdims=True)
        return found[:, :3], found[:, 3:] / np.where(sizes > 0.0, sizes, 1.0)


@kernel_step("the surface of a part")
def surface_near(meshed: Meshed, boxes: Sequence[Box]) -> PartSurface:
    """The surface of a solid in any of the boxes, each its low and its high corner.

    Raises KernelError where a face could not be meshed, or none comes into a box.
    """
    faces = [face for face in faces_of(meshed.shape) if _in_boxes(*_bounds(face), boxes)]
    if not faces:
        raise KernelError("the surface of a part", "no face comes into a box")
    corners, places = zip(*(_triangles(face) for face in faces), strict=True)
    owner = np.repeat(np.arange(len(faces)), [len(item) for item in corners])
    whole = PartSurface(
        corners_mm=np.concatenate(corners),
        places=np.concatenate(places),
        owner=owner,
        faces=tuple(points_on(face) for face in faces),
    )
    return whole.chosen(_in_boxes(whole.corners_mm.min(axis=1), whole.corners_mm.max(axis=1), boxes))


def _in_boxes(low: Array, high: Array, boxes: Sequence[Box]) -> npt.NDArray[np.bool_]:
    """Whether what reaches from low to high (..., 3) touches any of the boxes."""
    touching = np.zeros(low.shape[:-1], dtype=bool)
    for box in boxes:
        touching |= ((low <= box[1]) & (high >= box[0])).all(axis=-1)
    return touching


def _bounds(face: TopoDS_Face) -> Box:
    box = Bnd_Box()
    BRepBndLib.Add_s(face, box, False)
    low, high = box.CornerMin(), box.CornerMax()
    return np.array([low.X(), low.Y(), low.Z()]), np.array([high.X(), high.Y(), high.Z()])


def _triangles(face: TopoDS_Face) -> tuple[Array, Array]:
    """Corners (m, 3, 3) of a meshed face's triangles and the surface's numbers there (m, 3, 2)."""
    points, triangles = face_triangles(face)
    mesh = BRep_Tool.Triangulation_s(face, TopLoc_Location())
    if mesh is None or not mesh.HasUVNodes():
        raise KernelError("the surface of a part", "a face's mesh does not say where on the surface it is")
    nodes = (mesh.UVNode(i) for i in range(1, mesh.NbNodes() + 1))
    places = np.array([(node.X(), node.Y()) for node in nodes])
    return points[triangles], places[triangles]
