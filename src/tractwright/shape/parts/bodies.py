"""Exact solids with their mesh twins."""

from collections.abc import Sequence

from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame
from tractwright.kernel.checked import Checked
from tractwright.kernel.mesh import mesh_body, tessellate
from tractwright.kernel.primitives import extrude, revolve
from tractwright.kernel.solid import Solid
from tractwright.kernel.twins import twin_of_prism, twin_of_revolution

_CHORD_MM = 0.02
_ANGLE_RAD = 0.15


def body(solid: Solid) -> Checked:
    """A sewn body with its own triangles as twin, within 0.02 mm."""
    return Checked(solid=solid, twin=mesh_body(*tessellate(solid, _CHORD_MM, _ANGLE_RAD)))


def turned(profile: Contour, frame: Frame) -> Checked:
    """A solid of revolution about the frame's z; profile (radius, height, bulge), counter-clockwise."""
    return Checked(solid=revolve(profile, frame), twin=twin_of_revolution(profile, frame))


def prism(contour: Contour, frame: Frame, height_mm: float, holes: Sequence[Contour] = ()) -> Checked:
    """A prism on a contour in the frame's x-y along its z, with holes."""
    twin = twin_of_prism(contour, frame, height_mm)
    for hole in holes:
        twin = twin - twin_of_prism(hole, frame, height_mm)
    return Checked(solid=extrude(contour, frame, height_mm, holes), twin=twin)
