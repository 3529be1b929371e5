"""Solids sewn from faces that meet along the same edges: no boolean operation, so nothing that can go wrong in one."""

from collections.abc import Iterable, Sequence

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeSolid, BRepBuilderAPI_Sewing
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepLib import BRepLib
from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt
from OCP.ShapeFix import ShapeFix_Face
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Wire

from tractwright.errors import KernelError
from tractwright.geometry.frames import Frame
from tractwright.kernel.solid import Solid

_TOLERANCE_MM = 1e-4


def plane_face(frame: Frame, outline: TopoDS_Wire, holes: Sequence[TopoDS_Wire] = ()) -> TopoDS_Face:
    """The part of the frame's x-y plane inside the outline and outside the holes; every wire lies in that plane."""
    plane = gp_Pln(gp_Ax3(gp_Pnt(*frame.origin_mm), gp_Dir(*frame.z), gp_Dir(*frame.x)))
    maker = BRepBuilderAPI_MakeFace(plane, outline, True)
    for hole in holes:
        maker.Add(hole)
    fixer = ShapeFix_Face(maker.Face())
    fixer.FixOrientation()
    return fixer.Face()


def sewn_solid(faces: Iterable[TopoDS_Face], step: str) -> Solid:
    """The solid that closed faces bound, turned outside out. Raises KernelError where they do not close."""
    sewing = BRepBuilderAPI_Sewing(_TOLERANCE_MM)
    for face in faces:
        sewing.Add(face)
    sewing.Perform()
    if sewing.NbFreeEdges() or sewing.NbMultipleEdges():
        raise KernelError(
            step, f"{sewing.NbFreeEdges()} edges left open, {sewing.NbMultipleEdges()} shared by too many"
        )
    found = TopExp_Explorer(sewing.SewedShape(), TopAbs_ShapeEnum.TopAbs_SHELL)
    if not found.More():
        raise KernelError(step, "the faces make no shell")
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell(found.Current())).Solid()
    if not BRepLib.OrientClosedSolid_s(solid):
        raise KernelError(step, "the shell is not closed")
    if not BRepCheck_Analyzer(solid).IsValid():
        raise KernelError(step, "the sewn solid is not valid")
    return Solid(solid)
