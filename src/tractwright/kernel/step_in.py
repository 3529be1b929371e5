"""STEP files that others wrote: what is in them, and in plain words why they cannot be used where they cannot."""

import re
from dataclasses import dataclass
from pathlib import Path

from OCP.BRepLib import BRepLib
from OCP.collections import Sequence_TCollection_AsciiString
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.STEPControl import STEPControl_Reader
from OCP.TopoDS import TopoDS_Shape

from tractwright.errors import KernelError
from tractwright.kernel.body import Body, ReadSolids
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.measure import volume
from tractwright.kernel.sewing import sewn_solid
from tractwright.kernel.solid import Solid, edges_of, faces_of, solids_of
from tractwright.kernel.step import quiet
from tractwright.kernel.survey import survey

_STEP = "reading STEP"
_LEAST_PART_MM, _MOST_PART_MM = 15.0, 1500.0
_TINY_MM2 = 1e-3
_FACETS = 100
_FACET_SHARE = 0.9
_MOST_EDGES_OF_A_FACET = 4


@dataclass(frozen=True, eq=False, slots=True)
class SolidsIn:
    """The solids of a file [mm], its own word for its unit, and what was odd and put right."""

    solids: tuple[Solid, ...]
    unit: str
    notes: tuple[str, ...]


@kernel_step(_STEP)
def solids_in(path: Path) -> SolidsIn:
    """Every solid in a STEP file [mm].

    Raises KernelError whose reason says what the file is instead: no STEP file, cut short, surfaces only, empty.
    """
    _look_at_text(path)
    quiet()
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise KernelError(_STEP, "the text begins as a STEP file but cannot be read as one")
    reader.TransferRoots()
    if reader.NbShapes() == 0:
        raise KernelError(_STEP, "it holds no shape at all")
    solids, notes = _solids(reader.OneShape())
    return SolidsIn(tuple(solids), _unit(reader), tuple(notes))


def read_solids(path: Path) -> ReadSolids:
    """Every solid in a STEP file face by face [mm], and what is odd about them. Raises KernelError as `solids_in` does."""
    found = solids_in(path)
    bodies = tuple(survey(Solid(item.shape), f"solid {number}") for number, item in enumerate(found.solids, start=1))
    return ReadSolids(
        bodies=bodies, unit=found.unit, notes=(*found.notes, *(note for body in bodies for note in _odd(body)))
    )


def _look_at_text(path: Path) -> None:
    if not path.is_file():
        raise KernelError(_STEP, "there is no such file")
    data = path.read_bytes()
    if not data.strip():
        raise KernelError(_STEP, "the file is empty")
    if not data.lstrip()[:13].upper().startswith(b"ISO-10303-21"):
        raise KernelError(_STEP, "it does not begin as a STEP file (ISO 10303-21)")
    if b"END-ISO-10303-21" not in data[-4096:].upper():
        raise KernelError(_STEP, "it is cut short: its last line is missing")


def _solids(shape: TopoDS_Shape) -> tuple[list[Solid], list[str]]:
    found = solids_of(shape)
    if not found:
        return _from_shells(shape)
    notes: list[str] = []
    if len(found) > 1:
        notes.append(f"{len(found)} solids in the file: each is read on its own")
    loose = len(faces_of(shape)) - sum(len(faces_of(item)) for item in found)
    if loose > 0:
        notes.append(f"{loose} faces belong to no solid and are left out")
    solids: list[Solid] = []
    for number, item in enumerate(found, start=1):
        if volume(Solid(item)) < 0.0:
            BRepLib.OrientClosedSolid_s(item)
            notes.append(f"solid {number} was inside out: turned")
        solids.append(Solid(item))
    return solids, notes


def _from_shells(shape: TopoDS_Shape) -> tuple[list[Solid], list[str]]:
    faces = faces_of(shape)
    if not faces:
        lines = len(edges_of(shape))
        raise KernelError(_STEP, f"it holds {lines} curves and no surface" if lines else "it holds points at most")
    try:
        solid = sewn_solid(faces, _STEP)
    except KernelError as fault:
        why = f"it holds only surfaces ({len(faces)}), and they close to no solid: {fault.reason}"
        raise KernelError(_STEP, why) from fault
    return [solid], [f"only surfaces ({len(faces)}), but they close: taken as a solid"]


def _unit(reader: STEPControl_Reader) -> str:
    lengths, angles, solid_angles = (Sequence_TCollection_AsciiString() for _ in range(3))
    reader.FileUnits(lengths, angles, solid_angles)
    names = {lengths.Value(i).ToCString() for i in range(1, lengths.Length() + 1)}
    return ", ".join(sorted(re.sub(r"\W", "", name).lower() for name in names)) or "not said"


def _odd(body: Body) -> list[str]:
    """What a reader of the result should know of a solid."""
    found: list[str] = []
    points = body.mesh[0]
    size = float((points.max(axis=0) - points.min(axis=0)).max())
    if size < _LEAST_PART_MM:
        found.append(f"{body.name} is {size:.3g} mm long at most: is the file's unit right?")
    if size > _MOST_PART_MM:
        found.append(f"{body.name} is {size:.0f} mm long: is the file's unit right?")
    if not body.valid:
        found.append(f"{body.name} does not pass the kernel's own check: openings and walls may be wrong")
    if not body.watertight:
        found.append(f"{body.name} is not watertight as triangles: its volume may be wrong")
    tiny = sum(face.area_mm2 < _TINY_MM2 for face in body.faces)
    if tiny:
        found.append(f"{body.name} has {tiny} faces under {_TINY_MM2:g} mm2")
    flat = sum(
        face.kind == "plane" and len(face.loops) == 1 and len(face.loops[0]) <= _MOST_EDGES_OF_A_FACET
        for face in body.faces
    )
    if flat >= _FACETS and flat > _FACET_SHARE * len(body.faces):
        found.append(
            f"{body.name} is made of {flat} flat facets: round openings and passages cannot be told from it exactly"
        )
    return found
