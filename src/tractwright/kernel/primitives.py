"""Plain exact solids: prisms on contours, solids of revolution."""

from collections.abc import Sequence

from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.gp import gp_Vec

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame, Vec3
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.sewing import plane_face
from tractwright.kernel.solid import Solid, one_solid
from tractwright.kernel.wires import along, axis, contour_wire


@kernel_step("extruding a contour")
def extrude(contour: Contour, frame: Frame, height_mm: float, holes: Sequence[Contour] = ()) -> Solid:
    """The prism on a contour in the frame's x-y, along its z; a negative height goes the other way."""
    face = plane_face(frame, contour_wire(contour, frame), [contour_wire(hole, frame) for hole in holes])
    return one_solid(BRepPrimAPI_MakePrism(face, along(frame.z, height_mm)).Shape(), "extruding a contour")


@kernel_step("extruding a contour aslant")
def slanted(contour: Contour, frame: Frame, step_mm: Vec3) -> Solid:
    """The prism on a contour in the frame's x-y, carried along a step that may lean [mm, outer frame]."""
    face = plane_face(frame, contour_wire(contour, frame))
    return one_solid(BRepPrimAPI_MakePrism(face, gp_Vec(*step_mm)).Shape(), "extruding a contour aslant")


@kernel_step("revolving a profile")
def revolve(profile: Contour, frame: Frame) -> Solid:
    """The solid of revolution about the frame's z. profile: (radius, height, bulge), counter-clockwise, radius >= 0."""
    if min(radius for radius, _, _ in profile) < -1e-9:
        raise KernelError("revolving a profile", "it crosses the axis")
    half_plane = Frame(origin_mm=frame.origin_mm, x=frame.x, y=frame.z, z=_minus(frame))
    face = plane_face(half_plane, contour_wire(profile, half_plane))
    return one_solid(BRepPrimAPI_MakeRevol(face, axis(frame)).Shape(), "revolving a profile")


def _minus(frame: Frame) -> tuple[float, float, float]:
    """The third axis of the half plane x-z: x cross z = -y."""
    return (-frame.y[0], -frame.y[1], -frame.y[2])
