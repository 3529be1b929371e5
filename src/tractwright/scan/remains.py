"""What a scan shows at a place where a hole is expected: what is left of its rim, closed metal, an edge, or nothing."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.ndimage import binary_closing, binary_dilation

from tractwright.geometry.frames import Array
from tractwright.geometry.meshes import Mesh, area_vectors
from tractwright.scan.rims import CutFace, seen_round
from tractwright.scan.shapes import rough_circle

PIXEL_MM = 0.5
HALF_MM = 24.0
"""Half the window that is looked at round a place."""
ON_FACE_MM = 0.7
STRAYED_MM = 1.5
"""What is left of a rim lies so near to the place where the hole is expected; judgement."""
LEAST_LEFT = 0.2
"""Less than this share of a rim proves no hole; judgement."""
DIRECTIONS = 72
WALL_NEAR_MM = 2.0
HOLE_LIKE_MM = 0.5
"""What is left of a rim has the other holes' radius within this; judgement."""

Raster = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Remains:
    """What is at a place of a face.

    rim_share : of a hole's rim that was seen, 0 for no hole; rim_at (2,) and rim_mm : its middle and diameter;
    closed : share of the place that is seen to be flat metal; edge : of the directions in which metal begins again, the
    share in which a wall is seen there: 1 where the metal ends, 0 where it is merely not shown.
    """

    rim_share: float
    rim_at: Array
    rim_mm: float
    closed: float
    edge: float

    @property
    def seen(self) -> float:
        """How well it is seen that there is no hole, 0..1."""
        return max(self.closed, self.edge)


def remains_at(mesh: Mesh, cut: CutFace, at_mm: Array, diameter_mm: float) -> Remains:
    """What the scan shows at a place (2,) of the face, where holes have that diameter."""
    metal = _metal(mesh, cut, at_mm)
    x, y = np.meshgrid(_axis(), _axis(), indexing="ij")
    inside = np.hypot(x, y) < 0.4 * diameter_mm
    share, middle, size = _rim_left(cut, at_mm, diameter_mm)
    return Remains(
        rim_share=share,
        rim_at=middle,
        rim_mm=size,
        closed=float(metal[inside].mean()),
        edge=_edge(metal, cut, at_mm, diameter_mm),
    )


def _axis() -> Array:
    return np.arange(-HALF_MM, HALF_MM + PIXEL_MM / 2.0, PIXEL_MM)


def _metal(mesh: Mesh, cut: CutFace, at_mm: Array) -> Raster:
    """Where in the window the face itself was seen, by the triangles that lie in it."""
    local = cut.frame.to_local(mesh.vertices_mm)
    near = (np.abs(local[:, :2] - at_mm) < HALF_MM).all(axis=1) & (np.abs(local[:, 2]) < ON_FACE_MM)
    faces = mesh.faces[near[mesh.faces].all(axis=1)]
    raster = np.zeros((len(_axis()), len(_axis())), dtype=bool)
    if len(faces) == 0:
        return raster
    vectors = area_vectors(Mesh(vertices_mm=mesh.vertices_mm, faces=faces))
    flat = np.abs(vectors @ cut.face.normal) > 0.6 * np.maximum(np.linalg.norm(vectors, axis=1), 1e-12)
    corners = local[faces[flat]][:, :, :2] - at_mm
    weights = np.array([(a, b, 6 - a - b) for a in range(7) for b in range(7 - a)]) / 6.0
    points = np.einsum("wk,mkd->mwd", weights, corners).reshape(-1, 2)
    cell = _cells(points, len(raster))
    raster[cell[:, 0], cell[:, 1]] = True
    whole = np.zeros_like(raster)
    binary_closing(raster, iterations=2, output=whole)
    return whole


def _rim_left(cut: CutFace, at_mm: Array, diameter_mm: float) -> tuple[float, Array, float]:
    """Share of a rim, its middle and diameter, from the cuts' points about the place that stand round hollow."""
    radius = diameter_mm / 2.0
    away = np.linalg.norm(cut.cuts_mm - at_mm, axis=1)
    points = cut.cuts_mm[np.abs(away - radius) < STRAYED_MM]
    nothing = 0.0, at_mm, 0.0
    if len(points) < 12:
        return nothing
    circle = rough_circle(points[:: max(1, len(points) // 400)])
    if np.linalg.norm(circle.centre_mm - at_mm) > STRAYED_MM or abs(circle.radius_mm - radius) > HOLE_LIKE_MM:
        return nothing
    on = np.abs(np.linalg.norm(points - circle.centre_mm, axis=1) - circle.radius_mm) < HOLE_LIKE_MM
    walls = cut.walls
    beside = np.abs(np.linalg.norm(walls.at_mm - circle.centre_mm, axis=1) - circle.radius_mm) < HOLE_LIKE_MM
    inwards = float(np.sum((circle.centre_mm - walls.at_mm[beside]) * walls.normal[beside]))
    share = seen_round(points[on], circle.centre_mm) if on.any() else 0.0
    if share < LEAST_LEFT or inwards <= 0.0:
        return nothing
    return share, circle.centre_mm, 2.0 * circle.radius_mm


def _edge(metal: Raster, cut: CutFace, at_mm: Array, diameter_mm: float) -> float:
    """Of the directions from the place that come upon metal, the share in which a wall goes down where it begins."""
    reach = np.arange(0.0, min(HALF_MM - 1.0, diameter_mm / 2.0 + 12.0), 0.5 * PIXEL_MM)
    angle = np.arange(DIRECTIONS) * 2.0 * np.pi / DIRECTIONS
    way = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    cell = _cells(way[:, None] * reach[None, :, None], len(metal))
    met = metal[cell[..., 0], cell[..., 1]]
    first = np.argmax(met, axis=1)
    hit = np.flatnonzero(met.any(axis=1) & (first > 0))
    walls = cut.cuts_mm - at_mm
    walls = walls[(np.abs(walls) < HALF_MM).all(axis=1)]
    if len(hit) == 0 or len(walls) == 0:
        return 0.0
    walled = np.zeros(metal.shape, dtype=bool)
    beside = _cells(walls, len(metal))
    walled[beside[:, 0], beside[:, 1]] = True
    walled = binary_dilation(walled, iterations=round(WALL_NEAR_MM / PIXEL_MM))
    begins = cell[hit, first[hit]]
    return float(walled[begins[:, 0], begins[:, 1]].mean())


def _cells(places: Array, count: int) -> npt.NDArray[np.int64]:
    """Pixels (..., 2) of places (..., 2) about the middle of the window."""
    return np.clip(np.rint((places + HALF_MM) / PIXEL_MM).astype(np.int64), 0, count - 1)
