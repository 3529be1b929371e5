"""The job frame in the scan: origin mid port row, x along the row from port 1, z out of the head into the part."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array, Frame, unit, vec3
from tractwright.geometry.kernels import faces_between
from tractwright.geometry.meshes import Mesh, area_vectors
from tractwright.job.sheet import Scan
from tractwright.scan.faces import HeadFace

DOUBTFUL_MM = 8.0
"""The part's bulk lies at least so far to one side of the row, or which way is up is in doubt; judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """The job frame given in the scan's own axes, and doubts about it."""

    frame: Frame
    notes: tuple[str, ...]


def job_frame(mesh: Mesh, head: HeadFace, scan: Scan) -> Placed:
    """The job frame. Up is the side of the port row that the part's bulk lies on, unless scan.upside_down."""
    z = -head.cut.face.normal
    centres = head.cut.frame.to_world(np.array([port.at_mm for port in head.ports]))
    row = _row_direction(head, centres, z)
    middle = _middle(centres, row)
    bulk = mesh.vertices_mm[:: max(1, len(mesh.vertices_mm) // 40_000)].mean(axis=0) - middle
    side = np.cross(z, row)
    offset = float(bulk @ side)
    up = side * (1.0 if offset >= 0.0 else -1.0) * (-1.0 if scan.upside_down else 1.0)
    x = np.cross(up, z) * (1.0 if scan.port_1 == "left" else -1.0)
    frame = Frame(origin_mm=vec3(middle), x=vec3(x), y=vec3(np.cross(z, x)), z=vec3(z))
    return Placed(frame=frame, notes=(*_up_notes(offset, scan), *_mirror_notes(mesh, head)))


def _row_direction(head: HeadFace, centres: Array, z: Array) -> Array:
    """Along the ports; of a single port along the screws."""
    points = centres if len(centres) > 1 else head.cut.frame.to_world(np.array([hole.at_mm for hole in head.screws]))
    direction = np.linalg.svd(points - points.mean(axis=0))[2][0]
    return unit(direction - z * (direction @ z))


def _middle(centres: Array, row: Array) -> Array:
    """Midway between the first and the last port."""
    along = centres @ row
    return (centres[int(np.argmin(along))] + centres[int(np.argmax(along))]) / 2.0


def _up_notes(offset: float, scan: Scan) -> tuple[str, ...]:
    if abs(offset) < DOUBTFUL_MM:
        return (f"which way is up is in doubt: the part's bulk lies only {abs(offset):.1f} mm beside the port row",)
    if scan.port_1 == "right":
        return ("port 1 at the right: x runs from it, so y points down, away from the part's bulk",)
    return ()


def _mirror_notes(mesh: Mesh, head: HeadFace) -> tuple[str, ...]:
    """Triangles that look into the metal are the mark of a scan that was mirrored, or turned inside out."""
    height = (mesh.vertices_mm - head.cut.face.point_mm) @ head.cut.face.normal
    on_face = faces_between(mesh.faces, height, -0.5, 0.5)
    vectors = area_vectors(mesh)[on_face]
    along = vectors @ head.cut.face.normal
    share = float(along.sum() / max(np.abs(along).sum(), 1e-12))
    if share < -0.5:
        return ("the scan's triangles look into the metal: it may be mirrored; compare it with the part's handedness",)
    if share < 0.5:
        return ("the scan's triangles look both ways: whether it is mirrored cannot be told",)
    return ()
