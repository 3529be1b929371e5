"""Plain exact solids: prisms on contours, cylinders, cones, solids of revolution."""

from collections.abc import Sequence

from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
)

from tractwright.errors import KernelError
from tractwright.geometry.contours import Contour
from tractwright.geometry.frames import Frame
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.sewing import plane_face
from tractwright.kernel.solid import Solid, one_solid
from tractwright.kernel.wires import along, axes, axis, contour_wire


@kernel_step("extruding a contour")
def extrude(contour: Contour, frame: Frame, height_mm: float, holes: Sequence[Contour] = ()) -> Solid:
    """The prism on a contour in the frame's x-y, along its z; a negative height goes the other way."""
    face = plane_face(frame, contour_wire(contour, frame), [contour_wire(hole, frame) for hole in holes])
    return one_solid(BRepPrimAPI_MakePrism(face, along(frame.z, height_mm)).Shape(), "extruding a contour")


@kernel_step("a cylinder")
def cylinder(frame: Frame, radius_mm: float, height_mm: float) -> Solid:
    """A cylinder on the frame's x-y about its z."""
    return one_solid(BRepPrimAPI_MakeCylinder(axes(frame), radius_mm, height_mm).Shape(), "a cylinder")


@kernel_step("a cone")
def cone(frame: Frame, radius_mm: float, top_radius_mm: float, height_mm: float) -> Solid:
    """A cone or its frustum: radius at z = 0 and at z = height; one of them may be 0."""
    return one_solid(BRepPrimAPI_MakeCone(axes(frame), radius_mm, top_radius_mm, height_mm).Shape(), "a cone")


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
