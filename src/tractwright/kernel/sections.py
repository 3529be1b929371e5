"""Plane sections of a solid: the cut face's area and its outlines."""

from dataclasses import dataclass

import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array, Frame
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.polylines import edge_points
from tractwright.kernel.solid import Solid, faces_of


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Section:
    """area_mm2 of metal cut; loops_mm: closed outlines, each (n, 2) in the frame's x-y, first point not repeated."""

    area_mm2: float
    loops_mm: tuple[Array, ...]


@kernel_step("plane section")
def plane_section(solid: Solid, frame: Frame, chord_mm: float = 0.02) -> Section:
    """Where the frame's x-y plane cuts a solid; nothing cut gives area 0 and no loops."""
    cut = _cut_shape(solid.shape, frame)
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(cut, properties)
    loops = [_loop(wire, frame, chord_mm) for face in faces_of(cut) for wire in _wires(face)]
    return Section(area_mm2=abs(float(properties.Mass())), loops_mm=tuple(loops))


def _cut_shape(shape: TopoDS_Shape, frame: Frame) -> TopoDS_Shape:
    box = Bnd_Box()
    BRepBndLib.Add_s(shape, box)
    low, high = box.CornerMin(), box.CornerMax()
    corners = np.array([[low.X(), low.Y(), low.Z()], [high.X(), high.Y(), high.Z()]]) - np.array(frame.origin_mm)
    reach = float(np.abs(corners).sum()) + 1.0
    plane = gp_Pln(gp_Ax3(gp_Pnt(*frame.origin_mm), gp_Dir(*frame.z), gp_Dir(*frame.x)))
    sheet = BRepBuilderAPI_MakeFace(plane, -reach, reach, -reach, reach).Face()
    common = BRepAlgoAPI_Common(sheet, shape)
    if not common.IsDone():
        raise KernelError("plane section", "the cut failed")
    return common.Shape()


def _wires(face: TopoDS_Face) -> list[TopoDS_Wire]:
    explorer = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_WIRE)
    found: list[TopoDS_Wire] = []
    while explorer.More():
        found.append(TopoDS.Wire(explorer.Current()))
        explorer.Next()
    return found


def _loop(wire: TopoDS_Wire, frame: Frame, chord_mm: float) -> Array:
    explorer = BRepTools_WireExplorer(wire)
    runs: list[Array] = []
    while explorer.More():
        runs.append(edge_points(explorer.Current(), chord_mm)[:-1])
        explorer.Next()
    return frame.to_local(np.concatenate(runs))[:, :2]
