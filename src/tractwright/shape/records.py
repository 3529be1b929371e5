"""What the shape stage hands over: each piece as an exact solid, with everything that was checked of it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.design.records import Piece, PieceKind
from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.kernel.packed import PackedSolid

Mesh = tuple[Array, npt.NDArray[np.int32]]
"""Vertices (n, 3) [mm] and triangles (m, 3), counter-clockwise seen from outside."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class BuiltPiece:
    """One piece as built, in the job frame.

    solid : the exact solid, packed for the way; None where every rung of the ladder failed. Then `mesh` is the mesh
        twin and `fallback` says at which step and why. A faceted solid is never put in its place.
    mesh : the solid's tessellation. valid : the kernel's check, on the solid and on its STEP file read back.
    watertight : the tessellation is closed and manifold. solids : how many.
    twin_volume_mm3 : the same piece made of meshes only, which the solid was compared with at each step.
    blends_wanted, blends_made : root and foot blends asked for, and those measured on the mesh.
    rung : which attempt it came from and what it needed, '' the first, plain one. notes : what a reader should know.
    left_out : bosses that could not be made; each is a finding.
    """

    name: str
    kind: PieceKind
    solid: PackedSolid | None
    mesh: Mesh
    valid: bool
    watertight: bool
    solids: int
    volume_mm3: float
    twin_volume_mm3: float
    mass_kg: float
    blends_wanted: int
    blends_made: int
    rung: str
    fallback: str
    notes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class BuiltSpacer:
    """An insulating spacer as built, in the job frame: its exact solid, its triangles, its volume. solid None : it could
    not be built, fallback says why.
    """

    name: str
    solid: PackedSolid | None
    mesh: Mesh
    volume_mm3: float
    fallback: str = ""


NO_MESH: Mesh = (np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int32))


def nothing_built(piece: Piece, fault: KernelError) -> BuiltPiece:
    """The record of a piece of which there is neither a solid nor a twin."""
    return BuiltPiece(
        name=piece.name,
        kind=piece.kind,
        solid=None,
        mesh=NO_MESH,
        valid=False,
        watertight=False,
        solids=0,
        volume_mm3=0.0,
        twin_volume_mm3=0.0,
        mass_kg=0.0,
        blends_wanted=0,
        blends_made=0,
        rung="none",
        fallback=str(fault),
    )
