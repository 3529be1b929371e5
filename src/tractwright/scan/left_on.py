"""What was left on the head face when it was scanned: studs that mark screws, a gasket's layer, anything else before it."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import binary_dilation, label

from tractwright.geometry.frames import Array
from tractwright.geometry.meshes import Mesh, area_vectors
from tractwright.scan.rims import CutFace
from tractwright.scan.shapes import rough_circle

PIXEL_MM = 1.0
BEFORE_MM = (1.5, 120.0)
"""So far out of the face, things are looked for."""
BESIDE_MM = 12.0
STUD_MM = (4.0, 16.0)
STUD_HEIGHT_MM = 5.0
ROUND_MM = 0.5
FEWEST = 30
LAYER_MM = (0.35, 3.5)
LAYER_SHARE = 0.04
"""A layer that covers so much of the face is said; judgement."""


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Stud:
    """A round thing that stands out of the face: its middle (2,) in the face's frame, diameter, height."""

    at_mm: Array
    diameter_mm: float
    height_mm: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class LeftOn:
    """Studs, and what to say of the rest."""

    studs: tuple[Stud, ...]
    notes: tuple[str, ...]


def left_on(mesh: Mesh, cut: CutFace) -> LeftOn:
    """What stands before the head face."""
    local = cut.frame.to_local(mesh.vertices_mm)
    on_face = np.abs(local[:, 2]) < 0.5
    if not on_face.any():
        return LeftOn(studs=(), notes=())
    low, high = local[on_face, :2].min(axis=0) - BESIDE_MM, local[on_face, :2].max(axis=0) + BESIDE_MM
    inside = ((local[:, :2] > low) & (local[:, :2] < high)).all(axis=1)
    before = local[inside & (local[:, 2] > BEFORE_MM[0]) & (local[:, 2] < BEFORE_MM[1])]
    studs: list[Stud] = []
    notes = list(_layer(mesh, local, cut))
    for points in _clusters(before[:, :2], before):
        stud = _stud(points)
        if stud is not None:
            studs.append(stud)
        elif len(points) >= FEWEST:
            size = np.ptp(points[:, :2], axis=0)
            notes.append(
                f"something of {size[0]:.0f} x {size[1]:.0f} mm stands {points[:, 2].max():.0f} mm before the head face: "
                "a gasket, hose or bracket left on? It hides what is under it"
            )
    return LeftOn(studs=tuple(studs), notes=tuple(notes))


def _clusters(flat: Array, points: Array) -> list[Array]:
    """Points whose places in the face hang together."""
    if len(flat) < FEWEST:
        return []
    pixel = np.floor((flat - flat.min(axis=0)) / PIXEL_MM).astype(int) + 1
    raster = np.zeros(pixel.max(axis=0) + 2, dtype=bool)
    raster[pixel[:, 0], pixel[:, 1]] = True
    names = np.zeros(raster.shape, dtype=np.int32)
    label(binary_dilation(raster), structure=np.ones((3, 3), dtype=int), output=names)
    own = names[pixel[:, 0], pixel[:, 1]]
    return [points[own == name] for name in np.unique(own) if (own == name).sum() >= FEWEST]


def _stud(points: Array) -> Stud | None:
    """A cluster as a stud, or None where it is none."""
    size, height = np.ptp(points[:, :2], axis=0), float(points[:, 2].max())
    if not STUD_MM[0] < size.max() < STUD_MM[1] or height < STUD_HEIGHT_MM:
        return None
    side = points[points[:, 2] < height - 1.0][:, :2]
    if len(side) < FEWEST:
        return None
    circle = rough_circle(side)
    if circle.residual_mm > ROUND_MM or not STUD_MM[0] < 2.0 * circle.radius_mm < STUD_MM[1]:
        return None
    return Stud(at_mm=circle.centre_mm, diameter_mm=2.0 * circle.radius_mm, height_mm=height)


def _layer(mesh: Mesh, local: Array, cut: CutFace) -> tuple[str, ...]:
    """A second flat layer just before or behind the face: a gasket that stuck to a part of it."""
    vectors = area_vectors(mesh)
    area = np.linalg.norm(vectors, axis=1)
    flat = np.abs(vectors @ cut.face.normal) > 0.98 * np.maximum(area, 1e-12)
    height = local[mesh.faces, 2].mean(axis=1)
    for side, words in ((1.0, "on"), (-1.0, "off")):
        near = flat & (side * height > LAYER_MM[0]) & (side * height < LAYER_MM[1])
        share = float(area[near].sum()) / max(cut.face.area_mm2, 1.0)
        if share > LAYER_SHARE and np.std(height[near]) < 0.3:
            thick = abs(float(np.median(height[near])))
            where = f"a flat layer of {thick:.1f} mm lies {words} the head face over {100.0 * share:.0f} % of it"
            return (f"{where}: a gasket left on? Places hold, the face itself is off by as much",)
    return ()
