"""What a scanner leaves behind is dropped, and every drop is counted."""

from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from tractwright.errors import ScanError
from tractwright.geometry.frames import Array
from tractwright.geometry.kernels import group_rows, longest_edges
from tractwright.geometry.meshes import Mask, Mesh, kept_faces, part_of_faces, split_long, triangle_areas
from tractwright.geometry.meshfile_any import read_mesh

MILLIMETRES = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4}
SMALLEST_PART = 0.002
"""A separate piece of less than this share of the whole area is a stray; judgement."""
LONGEST_EDGE_MM = 4.0
"""Longer edges than a scanner makes would leave walls without points to measure."""
SHORTEST_MM, LONGEST_MM = 60.0, 2500.0
"""An inlet manifold's longest side lies between these; judgement, to notice a wrong unit."""
USUAL_MM = (150.0, 900.0)
"""Usual longest sides: the first unit that brings the part among them is guessed; judgement."""
FARTHEST_MM = 1.0e6
"""Corners farther out than this are no part's; judgement."""
MOST_TRIANGLES = 4.0e7
"""A surface that needs more triangles of LONGEST_EDGE_MM than this is no manifold's; judgement."""
MOST_SHOWN = 3000


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class CleanScan:
    """The mesh [mm], its long triangles halved to LONGEST_EDGE_MM, and what was dropped.

    Dropped are triangles with no number in a corner, without area, met twice, and stray pieces; dropped_mm (k, 3): middles
    of some of the stray ones, for a picture. unit_note : what was guessed of the unit; other_units : what else it may be.
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
    dropped_mm: Array = field(default_factory=lambda: np.zeros((0, 3)), compare=False)
    unit_note: str = ""
    other_units: tuple[str, ...] = ()

    def notes(self) -> tuple[str, ...]:
        """One line for each kind of drop."""
        counts = (
            (self.not_numbers, "with a corner that is no number"),
            (self.no_area, "without area"),
            (self.twice, "met twice"),
            (self.stray_triangles, f"in {self.stray_parts} stray pieces"),
        )
        dropped = [f"{count} triangles {what} dropped" for count, what in counts if count]
        parts = [f"the scan holds {self.parts} separate pieces, all taken as the part"] if self.parts > 1 else []
        unit = [self.unit_note] if self.unit_note else []
        return (f"scan: {self.triangles_read} triangles read, {self.triangles_kept} kept", *unit, *dropped, *parts)


def read_scan(path: Path, unit: str | None) -> CleanScan:
    """The scan file read, joined, made mm and cleaned. unit : None to guess it from the part's size.

    Raises ScanError where nothing usable is left.
    """
    file = read_mesh(path)
    if unit is not None:
        return cleaned(_scaled(file.mesh, MILLIMETRES[unit]), path.name)
    if file.stated_mm is not None:
        return cleaned(_scaled(file.mesh, file.stated_mm), path.name)
    (name, *others), note = guessed_units(file.mesh, path.name)
    clean = cleaned(_scaled(file.mesh, MILLIMETRES[name]), path.name)
    return replace(clean, unit_note=note, other_units=tuple(others))


def guessed_units(mesh: Mesh, file: str) -> tuple[list[str], str]:
    """The units that make the mesh as large as a manifold, the likeliest first, and what to say of that.

    Raises ScanError where none does.
    """
    inner = mesh.vertices_mm[_all_true(np.isfinite(mesh.vertices_mm))]
    low, high = np.quantile(inner, (0.002, 0.998), axis=0) if len(inner) else (np.zeros(3), np.zeros(3))
    longest = float(np.max(high - low))
    usual = [name for name, mm in MILLIMETRES.items() if USUAL_MM[0] <= longest * mm <= USUAL_MM[1]]
    possible = usual or [name for name, mm in MILLIMETRES.items() if SHORTEST_MM <= longest * mm <= LONGEST_MM]
    if not possible:
        reason = f"its longest side is {longest:.3g} in the file's numbers: no unit makes that a manifold"
        raise ScanError(file, reason, "numbers in mm, cm, m or inch")
    best = possible[0]
    others = f", {' or '.join(possible[1:])} would do as well" if len(possible) > 1 else ""
    size = f"the longest side is then {longest * MILLIMETRES[best]:.0f} mm"
    return possible, f"unit guessed as {best}: {size}{others}; [scan] unit says otherwise"


def _scaled(mesh: Mesh, factor: float) -> Mesh:
    return mesh if factor == 1.0 else Mesh(vertices_mm=mesh.vertices_mm * factor, faces=mesh.faces)


def cleaned(mesh: Mesh, name: str) -> CleanScan:
    """The mesh without what a scanner leaves behind. name : of the file, for errors: nothing left, no part's size."""
    read = len(mesh.faces)
    with np.errstate(invalid="ignore"):
        sound = _all_true(np.abs(mesh.vertices_mm) < FARTHEST_MM)
    mesh, not_numbers = _only(mesh, _all_true(sound[mesh.faces]))
    mesh, no_area = _only(mesh, triangle_areas(mesh) > 1e-9)
    mesh, twice = _only(mesh, _first_met(mesh))
    if len(mesh.faces) == 0:
        raise ScanError(name, "no triangle with area and finite corners is left", "a scan of the part's surface")
    parts = np.unique(part_of_faces(mesh), return_inverse=True)[1]
    area = np.bincount(parts, triangle_areas(mesh))
    kept = area >= SMALLEST_PART * area.sum()
    strays = kept_faces(mesh, ~kept[parts])
    mesh, stray = _only(mesh, kept[parts])
    _refuse_wrong_size(mesh, name)
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
        dropped_mm=strays.vertices_mm[:: max(1, len(strays.vertices_mm) // MOST_SHOWN)],
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


def _refuse_wrong_size(mesh: Mesh, name: str) -> None:
    """Raises ScanError for loose triangles, a longest side that no manifold has, and soups too large to be a surface."""
    if len(mesh.faces) == 0:
        raise ScanError(name, "its triangles do not hang together: no surface", "a scan of the part's surface")
    longest = float(np.ptp(mesh.vertices_mm, axis=0).max())
    if not SHORTEST_MM <= longest <= LONGEST_MM:
        accepted = f"a part of {SHORTEST_MM:.0f} to {LONGEST_MM:.0f} mm; [scan] unit is mm, cm, m or inch"
        raise ScanError(name, f"with the unit taken its longest side is {longest:.3g} mm", accepted)
    areas, edge = triangle_areas(mesh), np.sqrt(longest_edges(mesh.vertices_mm, mesh.faces)[0])
    height = 2.0 * areas / np.maximum(edge, 1e-9)
    needed = float(np.sum((1.0 + 2.0 * edge / LONGEST_EDGE_MM) * (1.0 + 2.0 * height / LONGEST_EDGE_MM)))
    if needed > MOST_TRIANGLES:
        area = float(areas.sum()) / 1e6
        raise ScanError(name, f"its triangles cover {area:.3g} m2 and run criss-cross: no surface of a part", "a scan")
