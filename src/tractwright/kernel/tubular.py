"""Plates joined by tubes, sewn face by face: no boolean operation, so it cannot fail at a tangent blend."""

from collections.abc import Sequence
from dataclasses import dataclass

from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.TopoDS import TopoDS_Face, TopoDS_Wire

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Array, Frame
from tractwright.kernel.sewing import plane_face, sewn_solid
from tractwright.kernel.skins import Skin, skin_of
from tractwright.kernel.solid import Solid, faces_of
from tractwright.kernel.wires import along, contour_wire


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A flat plate: its contour in the frame's x-y at the near face, its far face thickness_mm along z."""

    frame: Frame
    contour: Contour
    thickness_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Tube:
    """A tube from one plate to another. outer_mm (rows, angles, 3) runs from the first plate's far face to the last
    plate's far face, inner_mm from near face to near face; both end rows of each lie in those planes."""

    first: int
    last: int
    outer_mm: Array
    inner_mm: Array


def tubular_body(plates: Sequence[Plate], tubes: Sequence[Tube], step: str) -> Solid:
    """The plates and the tubes between them, hollow, as one solid. Raises KernelError where it does not close."""
    outer = [skin_of(tube.outer_mm) for tube in tubes]
    inner = [skin_of(tube.inner_mm) for tube in tubes]
    faces = [face for skin in (*outer, *inner) for face in skin.faces]
    for index, plate in enumerate(plates):
        wire = contour_wire(plate.contour, plate.frame)
        sides = BRepPrimAPI_MakePrism(wire, along(plate.frame.z, plate.thickness_mm))
        faces += faces_of(sides.Shape())
        faces.append(plane_face(plate.frame, wire, _rings(index, tubes, inner)))
        far = plate.frame.moved((0.0, 0.0, plate.thickness_mm))
        faces.append(plane_face(far, contour_wire(plate.contour, far), _rings(index, tubes, outer)))
    return sewn_solid(faces, step)


def _rings(index: int, tubes: Sequence[Tube], skins: Sequence[Skin]) -> list[TopoDS_Wire]:
    found: list[TopoDS_Wire] = []
    for tube, skin in zip(tubes, skins, strict=True):
        if tube.first == index:
            found.append(skin.first)
        if tube.last == index:
            found.append(skin.last)
    return found
