"""Further scans, of the bay, the bonnet or a brace: brought to the scan of the old part, and kept off."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tractwright.design.pattern import DistanceGrid
from tractwright.geometry.frames import Array, Frame
from tractwright.geometry.meshes import Mesh
from tractwright.geometry.registration import LEAST_OVERLAP, STILL, Motion, from_pairs, registered
from tractwright.job.space_tables import MoreScan, Scan
from tractwright.scan.clean import read_scan
from tractwright.scan.space import in_frame
from tractwright.scan.surroundings import kept_off

LOOSE_MM = 0.5
"""A fit that leaves more than this is doubted, as sources that differ by it are (common practice, no source)."""
PICKED_MM = 3.0
"""Picked points that miss each other by more than this are doubted; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Surroundings:
    """The space that further scans leave free, and what to say of how well they lie."""

    grids: tuple[DistanceGrid, ...]
    notes: tuple[str, ...]


def surroundings(scan: Scan, old: Mesh, frame: Frame, ports_mm: Array, folder: Path) -> Surroundings:
    """Every further scan in the job frame as a grid to stay off. old : the old part's scan in its own axes.

    ports_mm (n, 2) : middles of the ports, in front of which it is free. Raises ScanError where a file cannot be used.
    """
    grids: list[DistanceGrid] = []
    notes: list[str] = []
    for more in scan.more:
        found = read_scan(folder / more.file, more.unit or scan.unit)
        motion, said = brought(more, found.mesh, old)
        there = Mesh(vertices_mm=motion.moved(found.mesh.vertices_mm), faces=found.mesh.faces)
        grid, words = kept_off(in_frame(there, frame), more.name, ports_mm)
        grids += [grid] if grid is not None else []
        notes += [f"{more.name}: {note}" for note in (*found.notes(), *said, *words)]
    return Surroundings(grids=tuple(grids), notes=tuple(notes))


def brought(more: MoreScan, mesh: Mesh, old: Mesh) -> tuple[Motion, tuple[str, ...]]:
    """How a further scan is moved to the old part's, and how well that is known."""
    motion, notes = STILL, list[str]()
    if more.points_here_mm:
        motion, left = from_pairs(np.array(more.points_here_mm), np.array(more.points_there_mm))
        notes.append(f"picked points leave {left:.2f} mm" + ("; pick them again" if left > PICKED_MM else ""))
    if more.by == "surface":
        found = registered(mesh, old, motion)
        motion = found.motion
        notes.append(f"the surface it shares, {100 * found.overlap:.0f} % of it, leaves {found.residual_mm:.2f} mm")
        if found.overlap < LEAST_OVERLAP or found.residual_mm > LOOSE_MM:
            notes.append("it hardly lies on the scan of the old part: pick three or more points in both")
    return motion, tuple(notes)
