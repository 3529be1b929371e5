"""Plain bodies for pictures: rods, boxes, outlines drawn up."""

import numpy as np
import shapely

from tractwright.geometry.frames import Array, Frame, Vec3, unit
from tractwright.packet.picture.scene import Body, Triangles, corner_normals

Colour = tuple[float, float, float]
_ROUND = 24
_BOX = np.array(
    [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1), (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4),
     (1, 5, 7), (1, 7, 3)], dtype=np.int32,
)  # fmt: skip


def rod(at: Array, along: Array, radii: tuple[float, float], ends: tuple[float, float], colour: Colour) -> Body:
    """A round rod from one place along its axis to another, with a radius at each."""
    first = unit(np.cross(along, np.eye(3)[int(np.argmin(np.abs(along)))]))
    turns = np.linspace(0.0, 2.0 * np.pi, _ROUND, endpoint=False)
    ring = np.cos(turns)[:, None] * first + np.sin(turns)[:, None] * np.cross(along, first)
    low, high = (at + end * along for end in ends)
    return _walled((low + radii[0] * ring, high + radii[1] * ring), (low, high), colour)


def drawn_up(outline: shapely.Polygon, frame: Frame, ends: tuple[float, float], colour: Colour) -> Body:
    """An outline drawn up between two heights of a frame; its ends are fans about its middle, so they are for hidden ones."""
    ring = shapely.get_coordinates(shapely.geometry.polygon.orient(outline).exterior)[:-1]
    middle = np.array(outline.centroid.coords[0])
    low, high = (frame.to_world(np.column_stack([ring, np.full(len(ring), end)])) for end in ends)
    foot, top = (frame.to_world((*middle, end)) for end in ends)
    return _walled((low, high), (foot, top), colour)


def box(axes: Array, low: Vec3, high: Vec3, colour: Colour) -> Body:
    """A box between two corners in axes, rows."""
    corners = np.array([(x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])
    return _body(corners @ axes, _BOX, colour)


def _walled(rings: tuple[Array, Array], middles: tuple[Array, Array], colour: Colour) -> Body:
    """A wall between two rings (n, 3), closed by fans about a point each."""
    n = len(rings[0])
    here, following = np.arange(n), (np.arange(n) + 1) % n
    foot, top = np.full(n, 2 * n), np.full(n, 2 * n + 1)
    corners = (
        (here, following, n + following), (here, n + following, n + here), (following, here, foot),
        (n + here, n + following, top),
    )  # fmt: skip
    faces = np.concatenate([np.column_stack(three) for three in corners]).astype(np.int32)
    return _body(np.concatenate([*rings, np.stack(middles)]), faces, colour)


def _body(vertices_mm: Array, faces: Triangles, colour: Colour) -> Body:
    return Body(vertices_mm=vertices_mm, faces=faces, normals=corner_normals(vertices_mm, faces), colour=colour)
