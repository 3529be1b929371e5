"""A solid told face by face in plain numbers: what reading needs of it, without the kernel."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from tractwright.geometry.contours import Contour, Vertex
from tractwright.geometry.frames import Array, Frame, Vec3

FaceKind = Literal["plane", "cylinder", "cone", "sphere", "torus", "other"]
EdgeKind = Literal["line", "circle", "other"]
Mesh = tuple[Array, npt.NDArray[np.int32]]


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class EdgeUse:
    """An edge as one face walks it, the face to its left seen from outside.

    edge : the same number in both faces that share it; other : the face across it, -1 for none; points_mm (n, 3) in the
    walk's sense; into : unit direction along `other` away from the edge, at its middle; centre_mm, axis, radius_mm,
    sweep_rad of a circle, the sweep positive about the axis, 0 of another kind.
    """

    edge: int
    other: int
    kind: EdgeKind
    points_mm: Array
    into: Vec3
    centre_mm: Vec3
    axis: Vec3
    radius_mm: float
    sweep_rad: float


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class BodyFace:
    """A face. origin_mm, axis : a plane's point and outward normal, else the axis of a surface of revolution; radius_mm :
    of a cylinder, sphere, a torus' tube; hollow : the metal lies outside a round face; loops : its wires, the outer first;
    normals (n, 3) : outwards, at the mesh's points.
    """

    kind: FaceKind
    origin_mm: Vec3
    axis: Vec3
    radius_mm: float
    hollow: bool
    area_mm2: float
    loops: tuple[tuple[EdgeUse, ...], ...]
    mesh: Mesh
    normals: Array


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Body:
    """A solid: its faces, and what it measures. mesh : the faces' triangles together, welded."""

    name: str
    faces: tuple[BodyFace, ...]
    volume_mm3: float
    area_mm2: float
    valid: bool
    watertight: bool
    mesh: Mesh


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class ReadSolids:
    """What a file holds. unit : the file's own word; notes : what was odd and put right, or cannot be."""

    bodies: tuple[Body, ...]
    unit: str
    notes: tuple[str, ...]


def joined_mesh(meshes: list[Mesh]) -> Mesh:
    """Triangles put together, not welded."""
    counts = np.cumsum([0, *(len(points) for points, _ in meshes)])
    points = np.concatenate([points for points, _ in meshes]) if meshes else np.zeros((0, 3))
    faces = [triangles + start for (_, triangles), start in zip(meshes, counts[:-1], strict=True)]
    return points, np.concatenate(faces).astype(np.int32) if faces else np.zeros((0, 3), dtype=np.int32)


def loop_points(loop: tuple[EdgeUse, ...]) -> Array:
    """Points (n, 3) round a loop, the first not repeated."""
    return np.concatenate([use.points_mm[:-1] for use in loop])


def loop_contour(loop: tuple[EdgeUse, ...], frame: Frame) -> Contour:
    """A loop that lies in the frame's x-y as lines and arcs, other curves as runs of lines."""
    vertices: list[Vertex] = []
    for use in loop:
        places = frame.to_local(use.points_mm)[:, :2]
        if use.kind == "circle":
            vertices += _arcs(use, places, frame)
        else:
            kept = places[:1] if use.kind == "line" else places[:-1]
            vertices += [(float(x), float(y), 0.0) for x, y in kept]
    return tuple(vertices)


def _arcs(use: EdgeUse, places: Array, frame: Frame) -> list[Vertex]:
    """An arc in parts of at most half a turn."""
    parts = 2 if abs(use.sweep_rad) > np.pi - 1e-6 else 1
    sense = float(np.sign(np.dot(use.axis, frame.z))) * use.sweep_rad
    middle = frame.to_local(use.centre_mm)[:2]
    first = float(np.arctan2(*(places[0] - middle)[::-1]))
    bulge = float(np.tan(sense / parts / 4.0))
    turns = [first + sense * k / parts for k in range(parts)]
    x0, y0 = float(middle[0]), float(middle[1])
    return [(x0 + use.radius_mm * float(np.cos(a)), y0 + use.radius_mm * float(np.sin(a)), bulge) for a in turns]
