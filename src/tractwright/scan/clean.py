"""What a scanner leaves behind is dropped, and every drop is counted."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tractwright.errors import ScanError
from tractwright.geometry.kernels import group_rows
from tractwright.geometry.meshes import Mask, Mesh, kept_faces, part_of_faces, split_long, triangle_areas, welded
from tractwright.geometry.meshfile import read_stl

MILLIMETRES = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4}
SMALLEST_PART = 0.002
"""A separate piece of less than this share of the whole area is a stray; judgement."""
LONGEST_EDGE_MM = 4.0
"""Longer edges than a scanner makes would leave walls without points to measure."""
SHORTEST_MM, LONGEST_MM = 60.0, 2500.0
"""An inlet manifold's longest side lies between these; judgement, to notice a wrong unit."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class CleanScan:
    """The mesh [mm], its long triangles halved to LONGEST_EDGE_MM, and what was dropped.

    Dropped are triangles with no number in a corner, without area, met twice, and stray pieces.
    """

    mesh: Mesh
    triangles_read: int
    triangles_kept: int
    not_numbers: int
    no_area: int
    twice: int
    stray_parts: int
    stray_triangles: int
    parts: int

    def notes(self) -> tuple[str, ...]:
        """One line for each kind of drop."""
        counts = (
            (self.not_numbers, "with a corner that is no number"),
            (self.no_area, "without area"),
            (self.twice, "met twice"),
            (self.stray_triangles, f"in {self.stray_parts} stray pieces"),
        )
        dropped = [f"{count} triangles {what} dropped" for count, what in counts if count]
        return (f"scan: {self.triangles_read} triangles read, {self.triangles_kept} kept", *dropped)


def read_scan(path: Path, unit: str) -> CleanScan:
    """The scan file read, joined, made mm and cleaned. Raises ScanError where nothing usable is left."""
    triangles = read_stl(path)
    mesh = welded(triangles)
    scaled = Mesh(vertices_mm=mesh.vertices_mm * MILLIMETRES[unit], faces=mesh.faces)
    return cleaned(scaled, path.name)


def cleaned(mesh: Mesh, name: str) -> CleanScan:
    """The mesh without what a scanner leaves behind. name : of the file, for errors: nothing left, no part's size."""
    read = len(mesh.faces)
    mesh, not_numbers = _only(mesh, _all_true(_all_true(np.isfinite(mesh.vertices_mm))[mesh.faces]))
    mesh, no_area = _only(mesh, triangle_areas(mesh) > 1e-9)
    mesh, twice = _only(mesh, _first_met(mesh))
    if len(mesh.faces) == 0:
        raise ScanError(name, "no triangle with area and finite corners is left", "a scan of the part's surface")
    parts = np.unique(part_of_faces(mesh), return_inverse=True)[1]
    area = np.bincount(parts, triangle_areas(mesh))
    kept = area >= SMALLEST_PART * area.sum()
    mesh, stray = _only(mesh, kept[parts])
    _refuse_wrong_unit(mesh, name)
    return CleanScan(
        mesh=split_long(mesh, LONGEST_EDGE_MM),
        triangles_read=read,
        triangles_kept=len(mesh.faces),
        not_numbers=not_numbers,
        no_area=no_area,
        twice=twice,
        stray_parts=int((~kept).sum()),
        stray_triangles=stray,
        parts=int(kept.sum()),
    )


def _only(mesh: Mesh, keep: Mask) -> tuple[Mesh, int]:
    return (mesh, 0) if keep.all() else (kept_faces(mesh, keep), int((~keep).sum()))


def _all_true(marks: Mask) -> Mask:
    """Whether all along the last axis are true."""
    return np.logical_and.reduce(marks, axis=-1)


def _first_met(mesh: Mesh) -> Mask:
    """Marks the first of each set of triangles with the same three corners."""
    rows = np.ascontiguousarray(np.sort(mesh.faces, axis=1)).view(np.uint32)
    first, _ = group_rows(rows)
    keep = np.zeros(len(mesh.faces), dtype=bool)
    keep[first] = True
    return keep


def _refuse_wrong_unit(mesh: Mesh, name: str) -> None:
    longest = float(np.ptp(mesh.vertices_mm, axis=0).max())
    if not SHORTEST_MM <= longest <= LONGEST_MM:
        accepted = f"a part of {SHORTEST_MM:.0f} to {LONGEST_MM:.0f} mm; [scan] unit is mm, cm, m or inch"
        raise ScanError(name, f"with the unit given its longest side is {longest:.3g} mm", accepted)
