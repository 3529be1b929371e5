"""Mesh twins: the same bodies as triangles, joined and cut by an independent library that cannot fail on tangency.

A polygon inside a circle is a little smaller than the circle: prisms and cylinders are drawn with so many corners that
the loss stays under 1 part in 1 000, most often under 1 in 10 000.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from manifold3d import CrossSection, Manifold

from tractwright.geometry.contours import Contour, polyline
from tractwright.geometry.frames import Array, Frame
from tractwright.kernel.mesh import mesh_body

_CORNERS = 256
_CHORD_MM = 0.002


def twin_of_tube(points_mm: Array) -> Manifold:
    """A tube through rows of points (stations, angles, 3), closed by a fan about each end row's mean.

    Raises KernelError where they bound no body.
    """
    stations, angles, _ = points_mm.shape
    here = np.arange(angles)
    after = (here + 1) % angles
    starts = (np.arange(stations - 1) * angles)[:, None]
    a, b, c, d = starts + here, starts + after, starts + angles + after, starts + angles + here
    sides = np.concatenate([np.stack(corners, axis=-1).reshape(-1, 3) for corners in ((a, b, c), (a, c, d))])
    first, last = stations * angles, stations * angles + 1
    tail = (stations - 1) * angles
    ends = np.concatenate(
        [
            np.stack([after, here, np.full(angles, first)], axis=1),
            np.stack([tail + here, tail + after, np.full(angles, last)], axis=1),
        ]
    )
    vertices = np.concatenate([points_mm.reshape(-1, 3), [points_mm[0].mean(axis=0), points_mm[-1].mean(axis=0)]])
    faces = np.concatenate([sides, ends]).astype(np.int32)
    body = mesh_body(vertices, faces)
    return body if body.volume() > 0.0 else mesh_body(vertices, np.ascontiguousarray(faces[:, ::-1]))


def twin_of_prism(contour: Contour, frame: Frame, height_mm: float) -> Manifold:
    """The prism on a contour in the frame's x-y, along its z; a negative height goes the other way."""
    flat = CrossSection([polyline(contour, _CHORD_MM)])
    return _placed(Manifold.extrude(flat, abs(height_mm)), frame.moved((0.0, 0.0, min(height_mm, 0.0))))


def twin_of_revolution(profile: Contour, frame: Frame) -> Manifold:
    """The solid of revolution about the frame's z. profile: (radius, height, bulge), counter-clockwise, radius >= 0."""
    flat = CrossSection([polyline(profile, _CHORD_MM)])
    return _placed(Manifold.revolve(flat, _CORNERS), frame)


def joined(bodies: Sequence[Manifold]) -> Manifold:
    """The union."""
    whole = bodies[0]
    for body in bodies[1:]:
        whole = whole + body
    return whole


def mesh_of_twin(body: Manifold) -> tuple[Array, npt.NDArray[np.int32]]:
    """Vertices (n, 3) and triangles (m, 3) of a twin."""
    mesh = body.to_mesh64()
    return np.asarray(mesh.vert_properties[:, :3]), np.asarray(mesh.tri_verts).astype(np.int32)


def lumps(body: Manifold) -> int:
    """Separate parts of more than 1 mm3."""
    return sum(1 for part in body.decompose() if part.volume() > 1.0)


def _placed(body: Manifold, frame: Frame) -> Manifold:
    columns = np.column_stack([frame.x, frame.y, frame.z, frame.origin_mm])
    return body.transform(np.ascontiguousarray(columns))
