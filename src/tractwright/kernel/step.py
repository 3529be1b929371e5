"""STEP files: pieces with their names, alone or as an assembly, in AP242; the same pieces give the same bytes."""

import itertools
import re
import tempfile
from collections.abc import Sequence
from pathlib import Path

from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Gravity
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_Reader, STEPControl_StepModelType
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from tractwright.errors import KernelError
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.lines import Lines
from tractwright.kernel.solid import Solid, solids_of

_STAMP = "2000-01-01T00:00:00"
"""A fixed time in every header: files are compared by their bytes."""


@kernel_step("writing STEP")
def write_step(pieces: Sequence[tuple[str, Solid | Lines]], path: Path, name: str) -> None:
    """Write named pieces or lines; several become an assembly of that name, a single one stands alone.

    Raises KernelError where the writer fails.
    """
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    labels = [_named(tool.AddShape(solid.shape, False), piece) for piece, solid in pieces]
    if len(labels) > 1:
        whole = _named(tool.NewShape(), name)
        for (piece, _), label in zip(pieces, labels, strict=True):
            _named(tool.AddComponent(whole, label, TopLoc_Location()), piece)
        tool.UpdateAssemblies()
    quiet()
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(False)
    writer.SetLayerMode(False)
    Interface_Static.SetCVal_s("write.step.schema", "AP242DIS")
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetCVal_s("write.step.product.name", name)
    if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
        raise KernelError("writing STEP", f"{name} could not be translated")
    if writer.Write(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise KernelError("writing STEP", f"{path} could not be written")
    path.write_text(_settled(path.read_text(encoding="utf-8"), name), encoding="utf-8", newline="\n")


def step_bytes(pieces: Sequence[tuple[str, Solid | Lines]], name: str) -> bytes:
    """What `write_step` writes. Raises KernelError where the writer fails."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "part.step"
        write_step(pieces, path, name)
        return path.read_bytes()


@kernel_step("reading STEP")
def read_step(path: Path) -> tuple[Solid, ...]:
    """The solids in a STEP file, in the file's order [mm]. Raises KernelError where it cannot be read."""
    quiet()
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise KernelError("reading STEP", f"{path} is not a STEP file that can be read")
    reader.TransferRoots()
    return tuple(Solid(shape) for shape in solids_of(reader.OneShape()))


def _named(label: TDF_Label, name: str) -> TDF_Label:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))
    return label


def _settled(text: str, name: str) -> str:
    """The file without time, path and the writer's running count of assemblies."""
    count = itertools.count(1)

    def counted(match: re.Match[str]) -> str:
        """Its line is broken where the count grows by a digit: written in one."""
        rest = re.sub(r"\n *", "", match[1])
        return f"NEXT_ASSEMBLY_USAGE_OCCURRENCE('{next(count)}'{rest};"

    fixed = {
        r"FILE_DESCRIPTION\(.*?\);": lambda _: f"FILE_DESCRIPTION(('{name}'),'2;1');",
        r"FILE_NAME\(.*?\);": lambda _: f"FILE_NAME('{name}','{_STAMP}',(''),(''),'tractwright','tractwright','');",
        r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('\d+'(.*?);": counted,
    }
    for pattern, written in fixed.items():
        text = re.sub(pattern, written, text, flags=re.DOTALL)
    return text


def quiet() -> None:
    """The translator reports to the console otherwise."""
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Alarm)
