"""Triangle meshes: joined corners, areas, separate parts, sections, a coarse twin for pictures."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array
from tractwright.geometry.kernels import group_rows, half_crosses, joined_parts, longest_edges

Faces = npt.NDArray[np.int32]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Mesh:
    """vertices_mm (n, 3); faces (m, 3), counter-clockwise seen from outside where the maker kept to that."""

    vertices_mm: Array
    faces: Faces


def welded(triangles: npt.NDArray[np.float32]) -> Mesh:
    """Triangles (m, 3, 3) with equal corners made one vertex."""
    with np.errstate(invalid="ignore"):
        corners = np.ascontiguousarray(triangles.reshape(-1, 3) + np.float32(0.0))
    first, group = group_rows(corners.view(np.uint32))
    return Mesh(vertices_mm=corners[first].astype(np.float64), faces=group.reshape(-1, 3))


def area_vectors(mesh: Mesh) -> Array:
    """For each triangle its normal times its area (m, 3) [mm2]."""
    return half_crosses(mesh.vertices_mm, mesh.faces)


def triangle_areas(mesh: Mesh) -> Array:
    """Area of each triangle (m,) [mm2]."""
    return np.linalg.norm(area_vectors(mesh), axis=1)


def signed_volume(mesh: Mesh) -> float:
    """Volume inside [mm3], negative where the triangles look inwards; meaningful for closed meshes."""
    middle = mesh.vertices_mm.mean(axis=0)
    corner = mesh.vertices_mm[mesh.faces[:, 0]] - middle
    return float(np.sum(corner * area_vectors(mesh)) / 3.0)


def part_of_faces(mesh: Mesh) -> npt.NDArray[np.int32]:
    """For each triangle a number that is the same for all triangles joined to it (m,)."""
    return joined_parts(mesh.faces, len(mesh.vertices_mm))[mesh.faces[:, 0]]


def kept_faces(mesh: Mesh, keep: Mask) -> Mesh:
    """The triangles marked (m,), and only the vertices they use."""
    faces = mesh.faces[keep]
    used = np.zeros(len(mesh.vertices_mm), dtype=bool)
    used[faces.ravel()] = True
    number = np.cumsum(used, dtype=np.int32) - 1
    return Mesh(vertices_mm=mesh.vertices_mm[used], faces=number[faces].astype(np.int32))


def split_long(mesh: Mesh, longest_mm: float) -> Mesh:
    """The same surface with no edge longer than that: triangles halved across their longest edge, again and again.

    Neighbours need not share the new corners: for measuring and cutting, not for what must be closed.
    """
    vertices, faces = mesh.vertices_mm, mesh.faces
    done: list[Faces] = []
    while len(faces):
        square, first = longest_edges(vertices, faces)
        long = square > longest_mm**2
        done.append(faces[~long])
        faces, first = faces[long], first[long]
        rows = np.arange(len(faces))
        a, b, c = (faces[rows, (first + k) % 3] for k in range(3))
        middle = (len(vertices) + rows).astype(np.int32)
        vertices = np.concatenate([vertices, (vertices[a] + vertices[b]) / 2.0])
        halves = [np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)]
        faces = np.concatenate(halves).astype(np.int32)
    return Mesh(vertices_mm=vertices, faces=np.concatenate([np.zeros((0, 3), np.int32), *done]))


def coarse(mesh: Mesh, cell_mm: float) -> Mesh:
    """The mesh with all vertices of a cubic cell drawn together at their mean: for pictures, not for measuring."""
    cell = np.floor(mesh.vertices_mm / cell_mm).astype(np.int64)
    rows = np.ascontiguousarray((cell - cell.min(axis=0)).astype(np.uint32))
    first, group = group_rows(rows)
    count = np.bincount(group, minlength=len(first))
    sums = [np.bincount(group, mesh.vertices_mm[:, axis], len(first)) for axis in range(3)]
    faces = group[mesh.faces]
    whole = (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])
    faces = faces[whole]
    once, _ = group_rows(np.ascontiguousarray(np.sort(faces, axis=1)).view(np.uint32))
    drawn = Mesh(vertices_mm=np.stack(sums, axis=1) / count[:, None], faces=faces[once])
    return kept_faces(drawn, np.ones(len(drawn.faces), dtype=bool))
