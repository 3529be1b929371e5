"""From a checked body to the record of a built piece: triangles, watertightness, the STEP file read back."""

import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from manifold3d import Manifold

from tractwright.design.records import Piece
from tractwright.errors import KernelError
from tractwright.kernel.checked import Checked
from tractwright.kernel.measure import is_valid, rough_volume, volume
from tractwright.kernel.mesh import Meshed, is_watertight, mesh_volume, meshed
from tractwright.kernel.packed import PackedSolid
from tractwright.kernel.solid import Solid, solid_to_bytes
from tractwright.kernel.step import read_step, write_step
from tractwright.kernel.twins import lumps, mesh_of_twin
from tractwright.shape.records import BuiltPiece
from tractwright.standards.materials import material

CHORD_MM = 0.05
ANGLE_RAD = 0.2
_SAME_SHARE = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Blends:
    """Root and foot blends wanted and made."""

    wanted: int = 0
    made: int = 0


def finely_meshed(body: Checked) -> Meshed:
    """The body's solid with the triangles that its piece goes out with."""
    return meshed(body.solid, CHORD_MM, ANGLE_RAD)


def finished(piece: Piece, body: Checked, fine: Meshed, blends: Blends, notes: tuple[str, ...] = ()) -> BuiltPiece:
    """The piece with everything checked of it; fine : its body, finely meshed. Raises KernelError where the STEP file does not
    give the solid back.
    """
    mesh = fine.triangles()
    size = volume(body.solid)
    _agree(mesh_volume(*mesh), size, 20.0 * _SAME_SHARE, "the triangles hold another volume than the solid")
    _agree(body.twin.volume(), size, 5.0 * _SAME_SHARE, "the mesh twin holds another volume than the solid")
    back = _read_back(piece.name, body.solid)
    return BuiltPiece(
        name=piece.name,
        kind=piece.kind,
        solid=PackedSolid(solid_to_bytes(body.solid)),
        mesh=mesh,
        valid=is_valid(body.solid) and is_valid(back),
        watertight=is_watertight(*mesh),
        solids=1,
        volume_mm3=size,
        twin_volume_mm3=body.twin.volume(),
        mass_kg=size * material(piece.material).density_kg_mm3,
        blends_wanted=blends.wanted,
        blends_made=blends.made,
        rung="; ".join(dict.fromkeys(body.rungs)),
        fallback="",
        notes=notes,
    )


def only_twin(
    piece: Piece, twin: Manifold, fault: KernelError, blends: Blends, notes: tuple[str, ...] = ()
) -> BuiltPiece:
    """The piece as its mesh twin, where no exact solid could be made."""
    vertices, faces = mesh_of_twin(twin)
    return BuiltPiece(
        name=piece.name,
        kind=piece.kind,
        solid=None,
        mesh=(vertices, np.ascontiguousarray(faces)),
        valid=False,
        watertight=is_watertight(vertices, faces),
        solids=lumps(twin),
        volume_mm3=twin.volume(),
        twin_volume_mm3=twin.volume(),
        mass_kg=twin.volume() * material(piece.material).density_kg_mm3,
        blends_wanted=blends.wanted,
        blends_made=blends.made,
        rung="none",
        fallback=str(fault),
        notes=notes,
    )


def _read_back(name: str, solid: Solid) -> Solid:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "piece.step"
        write_step([(name, solid)], path, name)
        found = read_step(path)
    if len(found) != 1:
        raise KernelError("reading the STEP file back", f"{len(found)} solids in it, not one")
    _agree(
        rough_volume(found[0]), rough_volume(solid), _SAME_SHARE, "the STEP file holds another volume than the solid"
    )
    return found[0]


def _agree(one: float, other: float, share: float, what: str) -> None:
    if abs(one - other) > share * abs(other):
        raise KernelError("checking the finished piece", f"{what}: {one:.0f} and {other:.0f} mm3")
