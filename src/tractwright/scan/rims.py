"""Rims in a flat face: the scan is cut just under the face, and points of the cuts that hang together are one rim."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import label

from tractwright.geometry.frames import Array, Frame, frame_from_normal
from tractwright.geometry.kernels import faces_between, heights_in_box, section_segments
from tractwright.geometry.meshes import Faces, Mask, Mesh, area_vectors, kept_faces
from tractwright.scan.planes import FlatFace
from tractwright.scan.shapes import Circle, rough_circle

CUTS_MM = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0)
WALL_MM = (1.0, 9.0)
"""Depths between which the walls of an opening are measured."""
PIXEL_MM = 0.8
AROUND_MM = 16.0
"""So far round a face its walls are looked for: deeper than WALL_MM, and wider than a round edge."""
SMALLEST_MM, LARGEST_MM = 3.0, 150.0
SCREW_MM = 17.0
"""Circles up to this size carry screws, studs or dowels; larger openings carry gas or water; judgement."""
SLOT_MM = 27.0
"""A slot for a screw is no longer than this; judgement."""
LEAST_COVER = 0.55
AT_LEAST = 24


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Walls:
    """Vertices between the depths of WALL_MM: place in the face (n, 2), depth (n,), normal's part in the face (n, 2)."""

    at_mm: Array
    depth_mm: Array
    normal: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Rim:
    """A closed set of cut points (n, 2). circle : through them, with its residual. hollow : whether the metal is outside.
    cover : share of the directions from its middle in which it was seen.
    """

    points_mm: Array
    circle: Circle
    size_mm: float
    hollow: bool
    cover: float

    @property
    def is_screw(self) -> bool:
        """A small circle."""
        return self.size_mm < SCREW_MM and self.circle.residual_mm < 0.4

    @property
    def is_slot(self) -> bool:
        """As long as a slot may be, and no circle."""
        return self.size_mm < SLOT_MM and not self.is_screw and not self.is_circle

    @property
    def is_circle(self) -> bool:
        """Round within what a scan shows."""
        return self.circle.residual_mm < max(0.3, 0.012 * self.circle.radius_mm)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class CutFace:
    """A flat face with its frame (z out of the metal, x any way), its walls, its hollow rims and all cut points (n, 2)."""

    face: FlatFace
    frame: Frame
    walls: Walls
    rims: tuple[Rim, ...]
    cuts_mm: Array


def cut_face(mesh: Mesh, face: FlatFace) -> CutFace:
    """The face cut under its surface."""
    frame = frame_from_normal(face.point_mm, face.normal, np.eye(3)[int(np.argmin(np.abs(face.normal)))])
    slab, depth = _slab(mesh, face)
    walls = _walls(slab, depth, frame, face)
    cuts = _cut_points(slab, depth, frame)
    rims = [rim for points in _clusters(cuts) if (rim := _rim(points, walls)) is not None]
    hollow = tuple(rim for rim in rims if rim.hollow and not _holds_another(rim, rims))
    return CutFace(face=face, frame=frame, walls=walls, rims=hollow, cuts_mm=cuts)


def _slab(mesh: Mesh, face: FlatFace) -> tuple[Mesh, Array]:
    """The triangles near the measured depths under the face and beside it, and the depth of their vertices under it."""
    low, high = face.low_mm - AROUND_MM, face.high_mm + AROUND_MM
    depth = heights_in_box(mesh.vertices_mm, face.point_mm, -face.normal, low, high)
    slab = kept_faces(mesh, faces_between(mesh.faces, depth, min(CUTS_MM) - 4.0, WALL_MM[1] + 4.0))
    return slab, -((slab.vertices_mm - face.point_mm) @ face.normal)


def _walls(slab: Mesh, depth: Array, frame: Frame, face: FlatFace) -> Walls:
    """The vertices of the walls; their normals turned so that the face's own triangles look out of the metal."""
    vectors = area_vectors(slab)
    top = faces_between(slab.faces, depth, -0.8, 0.8)
    outwards = 1.0 if float((vectors[top] @ face.normal).sum()) >= 0.0 else -1.0
    normals = outwards * _vertex_sums(slab.faces, vectors, len(slab.vertices_mm)) @ frame.matrix()[:2].T
    size = np.linalg.norm(normals, axis=1, keepdims=True)
    deep = (depth > WALL_MM[0]) & (depth < WALL_MM[1])
    flat = frame.to_local(slab.vertices_mm)[:, :2]
    return Walls(at_mm=flat[deep], depth_mm=depth[deep], normal=(normals / np.maximum(size, 1e-12))[deep])


def _vertex_sums(faces: Faces, vectors: Array, count: int) -> Array:
    return np.stack(
        [sum(np.bincount(faces[:, k], vectors[:, axis], count) for k in range(3)) for axis in range(3)], axis=1
    )


def _cut_points(slab: Mesh, depth: Array, frame: Frame) -> Array:
    """Points (n, 2) half a pixel apart along every cut."""
    found: list[Array] = [np.zeros((0, 2))]
    for cut in CUTS_MM:
        segments = section_segments(slab.vertices_mm, slab.faces, depth - cut)
        flat = frame.to_local(segments)[..., :2]
        length = np.linalg.norm(flat[:, 1] - flat[:, 0], axis=1)
        steps = np.maximum(1, np.ceil(length / (0.5 * PIXEL_MM))).astype(int)
        which = np.repeat(np.arange(len(flat)), steps)
        place = (np.arange(len(which)) - np.repeat(np.cumsum(steps) - steps, steps) + 0.5) / np.repeat(steps, steps)
        found.append(flat[which, 0] * (1.0 - place[:, None]) + flat[which, 1] * place[:, None])
    return np.concatenate(found)


def _clusters(points: Array) -> list[Array]:
    """Points that hang together on a raster, as sets (n, 2)."""
    if len(points) == 0:
        return []
    pixel = np.floor((points - points.min(axis=0)) / PIXEL_MM).astype(int)
    raster = np.zeros(pixel.max(axis=0) + 1, dtype=bool)
    raster[pixel[:, 0], pixel[:, 1]] = True
    names = np.zeros(raster.shape, dtype=np.int32)
    label(raster, structure=np.ones((3, 3), dtype=int), output=names)
    own = names[pixel[:, 0], pixel[:, 1]]
    order = np.argsort(own, kind="stable")
    return np.split(points[order], np.cumsum(np.bincount(own))[:-1])[1:]


def _rim(points: Array, walls: Walls) -> Rim | None:
    """The cluster as a rim, or None where it is too small, too large, too open."""
    extent = np.ptp(points, axis=0)
    if len(points) < AT_LEAST or not SMALLEST_MM <= extent.max() <= LARGEST_MM or extent.min() < 0.25 * extent.max():
        return None
    circle = rough_circle(points[:: max(1, len(points) // 400)])
    around = extent.max() < 1.6 * circle.radius_mm or circle.residual_mm > 0.1 * circle.radius_mm
    middle = (points.max(axis=0) + points.min(axis=0)) / 2.0 if around else circle.centre_mm
    cover = seen_round(points, middle)
    if cover < LEAST_COVER:
        return None
    low, high = points.min(axis=0) - PIXEL_MM, points.max(axis=0) + PIXEL_MM
    inside = ((walls.at_mm > low) & (walls.at_mm < high)).all(axis=1)
    beside = inside & _beside(walls.at_mm, inside, points)
    inwards = np.sum((middle - walls.at_mm[beside]) * walls.normal[beside])
    return Rim(points_mm=points, circle=circle, size_mm=float(extent.max()), hollow=bool(inwards > 0.0), cover=cover)


def _beside(at_mm: Array, among: Mask, points: Array) -> Mask:
    """Marks those of the places that share a pixel of two with one of the points."""
    low = points.min(axis=0) - 4.0 * PIXEL_MM
    shape = np.ceil((points.max(axis=0) - low) / (2.0 * PIXEL_MM)).astype(int) + 3
    raster = np.zeros(shape, dtype=bool)
    cell = ((points - low) / (2.0 * PIXEL_MM)).astype(int)
    raster[cell[:, 0], cell[:, 1]] = True
    marked = np.zeros(len(at_mm), dtype=bool)
    own = ((at_mm[among] - low) / (2.0 * PIXEL_MM)).astype(int)
    marked[np.flatnonzero(among)] = raster[own[:, 0], own[:, 1]]
    return marked


def seen_round(points: Array, middle: Array) -> float:
    """Share of the directions from a middle, in 36 steps, in which points were seen."""
    away = points - middle
    angle = np.arctan2(away[:, 1], away[:, 0])
    return len(np.unique(np.floor((angle + np.pi) / (2.0 * np.pi) * 36.0))) / 36.0


def _holds_another(rim: Rim, rims: list[Rim]) -> bool:
    """Whether a hollow rim lies inside this one: then this one is a skin, not an opening."""
    low, high = rim.points_mm.min(axis=0), rim.points_mm.max(axis=0)
    return any(
        other is not rim
        and other.hollow
        and other.size_mm < 0.95 * rim.size_mm
        and bool(((other.points_mm > low) & (other.points_mm < high)).all())
        for other in rims
    )
