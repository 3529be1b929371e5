"""Plates with tubes between them and posts on them, sewn face by face.

No boolean operation, so nothing that can fail at a tangent blend. Whoever asks sees to it that the parts keep clear of
one another; a mesh twin shows whether they did.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Wire

from tractwright.geometry.contours import Contour, Vertex, arc_of
from tractwright.geometry.frames import Array, Frame, vec3
from tractwright.kernel.bands import broken_side, carried_offset
from tractwright.kernel.sewing import plane_face, sewn_solid
from tractwright.kernel.skins import Skin, skin_of
from tractwright.kernel.solid import Solid, faces_of
from tractwright.kernel.wires import arc_edge, axis, circle_wire, contour_wire, point


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A flat plate: its contour in the frame's x-y at the near face, its far face thickness_mm along z.

    break_mm : chamfer of the far face's edge; 0 a sharp one.
    """

    frame: Frame
    contour: Contour
    thickness_mm: float
    break_mm: float = 0.0

    @property
    def rim(self) -> Contour:
        """The outline of the far face. Raises KernelError where the contour cannot carry the chamfer."""
        return carried_offset(self.contour, -self.break_mm) if self.break_mm > 0.0 else self.contour


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Tube:
    """A tube from one plate to another, plates by their place in the list.

    outer_mm (rows, angles, 3) runs from the first plate's far face to the last plate's far face, inner_mm from near face
    to near face; both end rows of each lie in those planes.
    """

    first: int
    last: int
    outer_mm: Array
    inner_mm: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A post turned about a line square to a plate, standing on its far face.

    at_mm : the line's place in the plate's x-y. profile : (radius, height over the near face, bulge), an open chain from
    the line at the post's top to the post's foot on the far face.
    """

    plate: int
    at_mm: tuple[float, float]
    profile: tuple[Vertex, ...]


def tubular_body(plates: Sequence[Plate], tubes: Sequence[Tube], posts: Sequence[Post], step: str) -> Solid:
    """Everything as one solid. Raises KernelError where the faces do not close."""
    outer = [skin_of(tube.outer_mm) for tube in tubes]
    inner = [skin_of(tube.inner_mm) for tube in tubes]
    faces = [face for skin in (*outer, *inner) for face in skin.faces]
    for index, plate in enumerate(plates):
        here = [item for item in posts if item.plate == index]
        sides, rim = broken_side(plate.contour, plate.frame, (0.0, plate.thickness_mm), plate.break_mm)
        faces += sides
        near = contour_wire(plate.contour, plate.frame)
        faces.append(plane_face(plate.frame, near, _rings(index, tubes, inner)))
        top = plate.frame.moved((0.0, 0.0, plate.thickness_mm))
        feet = [circle_wire(top.moved((*item.at_mm, 0.0)), item.profile[-1][0]) for item in here]
        faces.append(plane_face(top, contour_wire(rim, top), [*_rings(index, tubes, outer), *feet]))
        faces += [face for item in here for face in _post_faces(plate.frame, item)]
    return sewn_solid(faces, step)


def _rings(index: int, tubes: Sequence[Tube], skins: Sequence[Skin]) -> list[TopoDS_Wire]:
    found: list[TopoDS_Wire] = []
    for tube, skin in zip(tubes, skins, strict=True):
        if tube.first == index:
            found.append(skin.first)
        if tube.last == index:
            found.append(skin.last)
    return found


def _post_faces(plate: Frame, item: Post) -> list[TopoDS_Face]:
    here = plate.moved((*item.at_mm, 0.0))
    half_plane = Frame(origin_mm=here.origin_mm, x=here.x, y=here.z, z=vec3([-c for c in here.y]))
    edges = [_edge(half_plane, start, end) for start, end in pairwise(item.profile)]
    return [face for edge in edges for face in faces_of(BRepPrimAPI_MakeRevol(edge, axis(here)).Shape())]


def _edge(half_plane: Frame, start: Vertex, end: Vertex) -> TopoDS_Edge:
    if abs(start[2]) < 1e-12:
        return BRepBuilderAPI_MakeEdge(point(half_plane, *start[:2]), point(half_plane, *end[:2])).Edge()
    cx, cy, _, _, sweep = arc_of(start, end)
    return arc_edge(half_plane, (cx, cy), start[:2], sweep)
