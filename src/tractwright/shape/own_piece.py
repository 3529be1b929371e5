"""A piece of the user's own among the built ones: the solid of its file, laid where the description says."""

from pathlib import Path

from tractwright.design.records import Piece
from tractwright.errors import KernelError
from tractwright.kernel.measure import is_valid, volume
from tractwright.kernel.mesh import is_watertight, mesh_volume, tessellate
from tractwright.kernel.packed import PackedSolid
from tractwright.kernel.placing import placed
from tractwright.kernel.solid import solid_to_bytes
from tractwright.kernel.step_in import solids_in
from tractwright.shape.finish import ANGLE_RAD, CHORD_MM
from tractwright.shape.records import BuiltPiece
from tractwright.standards.materials import material

_NOTE = "drawn by the user: its file is handed on unchanged"


def own_piece(piece: Piece, folder: Path) -> BuiltPiece:
    """The piece as its file has it, in the job frame. folder : the sheet's own. Raises KernelError where it cannot be read."""
    found = solids_in(folder / piece.own)
    if not 1 <= piece.own_solid <= len(found.solids):
        raise KernelError(f"reading {piece.own}", f"it holds {len(found.solids)} solids, not {piece.own_solid}")
    solid = placed(found.solids[piece.own_solid - 1], piece.own_frame)
    mesh, size = tessellate(solid, CHORD_MM, ANGLE_RAD), volume(solid)
    return BuiltPiece(
        name=piece.name,
        kind=piece.kind,
        solid=PackedSolid(solid_to_bytes(solid)),
        mesh=mesh,
        valid=is_valid(solid),
        watertight=is_watertight(*mesh),
        solids=1,
        volume_mm3=size,
        twin_volume_mm3=mesh_volume(*mesh),
        mass_kg=size * material(piece.material).density_kg_mm3,
        blends_wanted=0,
        blends_made=0,
        rung="",
        fallback="",
        notes=(_NOTE, *found.notes),
    )
