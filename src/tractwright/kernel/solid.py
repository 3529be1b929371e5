"""One exact solid as a plain frozen value; between stages it travels packed."""

import io
from dataclasses import dataclass

from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.collections import IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid

from tractwright.errors import KernelError
from tractwright.kernel.faults import kernel_step


@dataclass(frozen=True, eq=False, slots=True)
class Solid:
    """A boundary representation of one solid [mm]. The shape is never changed: every operation gives a new one."""

    shape: TopoDS_Shape


def solid_to_bytes(solid: Solid) -> bytes:
    """The solid in the kernel's binary form, without its triangles."""
    stream = io.BytesIO()
    BinTools.Write_s(solid.shape, stream, False, False, BinTools_FormatVersion.BinTools_FormatVersion_CURRENT)
    return stream.getvalue()


def solid_from_bytes(data: bytes) -> Solid:
    """The solid that `solid_to_bytes` wrote. Raises KernelError where the bytes hold none."""
    shape = TopoDS_Shape()
    with kernel_step("reading a solid from bytes"):
        BinTools.Read_s(shape, io.BytesIO(data))
    return Solid(shape)


def one_solid(shape: TopoDS_Shape, step: str) -> Solid:
    """The only solid of a shape. Raises KernelError, naming the step, where it holds none or several."""
    found = solids_of(shape)
    if len(found) != 1:
        raise KernelError(step, f"{len(found)} solids came out, not one")
    return Solid(found[0])


def solids_of(shape: TopoDS_Shape) -> list[TopoDS_Solid]:
    """The solids in a shape, each once."""
    return [TopoDS.Solid(item) for item in _parts(shape, TopAbs_ShapeEnum.TopAbs_SOLID)]


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    """The faces of a shape, each once, with its orientation in it."""
    return [TopoDS.Face(item) for item in _parts(shape, TopAbs_ShapeEnum.TopAbs_FACE)]


def edges_of(shape: TopoDS_Shape) -> list[TopoDS_Edge]:
    """The edges of a shape, each once."""
    return [TopoDS.Edge(item) for item in _parts(shape, TopAbs_ShapeEnum.TopAbs_EDGE)]


def _parts(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> list[TopoDS_Shape]:
    found = IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    TopExp.MapShapes_s(shape, kind, found)
    return [found.FindKey(i + 1) for i in range(found.Extent())]
