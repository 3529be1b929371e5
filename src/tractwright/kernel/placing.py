"""A solid moved as a whole, its faces as exact as before."""

from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Trsf

from tractwright.geometry.frames import Frame
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.solid import Solid, one_solid

_STEP = "placing a solid"


@kernel_step(_STEP)
def placed(solid: Solid, frame: Frame) -> Solid:
    """The solid whose own axes lie in a frame of the outer axes: a point p of it comes to frame.to_world(p)."""
    move = gp_Trsf()
    x, y, z, o = frame.x, frame.y, frame.z, frame.origin_mm
    move.SetValues(x[0], y[0], z[0], o[0], x[1], y[1], z[1], o[1], x[2], y[2], z[2], o[2])
    return one_solid(BRepBuilderAPI_Transform(solid.shape, move, True).Shape(), _STEP)
