"""The one door to the mesher: an exact solid's file in, tetrahedra with straight edges out.

It works in a child process with a limit, for it falls over on some solids. Edges are straight though displacements are
quadratic: edges bent onto a small blend turn tetrahedra inside out.
"""

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from tractwright.errors import KernelError
from tractwright.geometry.frames import Array
from tractwright.kernel.child import Work, in_children
from tractwright.kernel.packed import PackedSolid
from tractwright.strength.finite.body import Body, body

_STEP = "meshing a solid"
_TETRAHEDRON = 4
_DELAUNAY = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Grain:
    """How fine: edges no longer than `largest_mm`; round surfaces in so many edges a full turn, but none shorter than
    `smallest_mm` for that.
    """

    largest_mm: float
    smallest_mm: float
    a_turn: float = 12.0


def meshed(
    solids: Sequence[Path | PackedSolid], grain: Grain, at_once: int, limit_seconds: float
) -> list[Body | KernelError]:
    """Each solid, or what a STEP or BREP file holds, in tetrahedra, in order; a KernelError in its place where there is
    no mesh.

    limit_seconds : processor time of each.
    """
    works = [Work(function=tetrahedra, arguments=(solid, grain), step=_STEP) for solid in solids]
    return [
        found if isinstance(found, KernelError) else body(*found)
        for found in in_children(works, at_once, limit_seconds)
    ]


def tetrahedra(solid: Path | PackedSolid, grain: Grain) -> tuple[Array, npt.NDArray[np.int32]]:
    """Points (n, 3) [mm] and corners of tetrahedra (m, 4). Raises KernelError where there are none.

    For a child process: it may fall over.
    """
    if isinstance(solid, Path):
        return _tetrahedra(solid, grain)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "solid.step"
        path.write_bytes(import_module("tractwright.kernel.step").step_bytes([("solid", solid.opened())], "solid"))
        return _tetrahedra(path, grain)


def _tetrahedra(path: Path, grain: Grain) -> tuple[Array, npt.NDArray[np.int32]]:
    gmsh: Any = import_module("gmsh")
    gmsh.initialize(interruptible=False)
    try:
        for name, value in _options(grain).items():
            gmsh.option.setNumber(name, value)
        gmsh.model.occ.importShapes(str(path), True)
        gmsh.model.occ.synchronize()
        gmsh.model.mesh.generate(3)
        return _read(gmsh)
    except Exception as fault:  # the mesher raises nothing narrower
        raise KernelError(_STEP, str(fault)) from fault
    finally:
        gmsh.finalize()


def _options(grain: Grain) -> dict[str, float]:
    """One thread and a fixed seed: the same file gives the same mesh."""
    return {
        "General.Terminal": 0,
        "General.NumThreads": 1,
        "Mesh.RandomSeed": 1,
        "Mesh.Algorithm3D": _DELAUNAY,
        "Mesh.MeshSizeMax": grain.largest_mm,
        "Mesh.MeshSizeMin": grain.smallest_mm,
        "Mesh.MeshSizeFromCurvature": grain.a_turn,
        "Mesh.MeshSizeFromPoints": 0,
    }


def _read(gmsh: Any) -> tuple[Array, npt.NDArray[np.int32]]:
    tags, coordinates, _ = gmsh.model.mesh.getNodes()
    _, joined = gmsh.model.mesh.getElementsByType(_TETRAHEDRON)
    if not len(joined):
        raise KernelError(_STEP, "no tetrahedra came out")
    used, tets = np.unique(joined, return_inverse=True)
    where = np.zeros(int(tags.max()) + 1, dtype=np.int64)
    where[tags] = np.arange(len(tags))
    points = np.asarray(coordinates, dtype=np.float64).reshape(-1, 3)[where[used]]
    return points, tets.reshape(-1, 4).astype(np.int32)
