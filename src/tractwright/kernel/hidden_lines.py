"""What is seen of a solid from one side: visible and hidden edges as polylines for drawings."""

from dataclasses import dataclass

from OCP.BRepLib import BRepLib
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopoDS import TopoDS_Shape

from tractwright.geometry.frames import Array, Frame
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.polylines import edge_points, joined
from tractwright.kernel.solid import Solid, edges_of
from tractwright.kernel.wires import axes

Lines = tuple[Array, ...]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class View:
    """Polylines, each (n, 2) in the frame's x-y [mm].

    visible, hidden : sharp edges and silhouettes; smooth : visible edges between faces that run into each other without
    a corner, drawn thin or left out.
    """

    visible: Lines
    hidden: Lines
    smooth: Lines


@kernel_step("view of a solid")
def view(solid: Solid, frame: Frame, chord_mm: float = 0.05) -> View:
    """The solid seen against the frame's z (the eye far along +z), laid out on the frame's x-y."""
    seen = HLRBRep_Algo()
    seen.Add(solid.shape, None, 0)
    seen.Projector(HLRAlgo_Projector(axes(frame)))
    seen.Update()
    seen.Hide()
    lines = HLRBRep_HLRToShape(seen)
    return View(
        visible=_polylines((lines.VCompound(), lines.OutLineVCompound()), chord_mm),
        hidden=_polylines((lines.HCompound(), lines.OutLineHCompound()), chord_mm),
        smooth=_polylines((lines.Rg1LineVCompound(), lines.RgNLineVCompound()), chord_mm),
    )


def _polylines(compounds: tuple[TopoDS_Shape | None, ...], chord_mm: float) -> Lines:
    found: list[Array] = []
    for compound in compounds:
        if compound is None or compound.IsNull():
            continue
        BRepLib.BuildCurves3d_s(compound)
        found += [edge_points(edge, chord_mm)[:, :2] for edge in edges_of(compound)]
    return tuple(joined(found, 1e-4))
