"""The wall of a passage as stations x angles of points, seen from its centreline."""

from dataclasses import dataclass

import numpy as np

from tractwright.geometry.frames import Array, Frame, carried_frames, unit, vec3
from tractwright.kernel.body import Body
from tractwright.own.records import Passage
from tractwright.own.sections import wall_of
from tractwright.own.trace import cut_at


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class PassageSkin:
    """s_mm (n,) from the first end, centre_mm, tangent, u, v (n, 3), points_mm (n, m, 3) at even angles from u to v.

    Stations whose section does not close, next to leaning ends, are left out.
    """

    s_mm: Array
    centre_mm: Array
    tangent: Array
    u: Array
    v: Array
    points_mm: Array


def passage_skin(body: Body, passage: Passage, s_mm: Array, angles: int) -> PassageSkin:
    """The skin at chosen stations."""
    wall = wall_of(body, passage.inside)
    place = [np.interp(s_mm, passage.s_mm, passage.centre_mm[:, k]) for k in range(3)]
    way = [np.interp(s_mm, passage.s_mm, passage.tangent[:, k]) for k in range(3)]
    centre, tangent = np.stack(place, axis=1), unit(np.stack(way, axis=1))
    u, v = carried_frames(centre, tangent, np.eye(3)[int(np.argmin(np.abs(tangent[0])))])
    turns = np.linspace(0.0, 2.0 * np.pi, angles, endpoint=False)
    rows: list[Array] = []
    kept: list[int] = []
    for k in range(len(s_mm)):
        frame = Frame(origin_mm=vec3(centre[k]), x=vec3(u[k]), y=vec3(v[k]), z=vec3(tangent[k]))
        cut = cut_at(wall, frame)
        if cut is not None:
            rows.append(frame.to_world(_at_angles(cut.points_mm, turns)))
            kept.append(k)
    return PassageSkin(
        s_mm=s_mm[kept], centre_mm=centre[kept], tangent=tangent[kept], u=u[kept], v=v[kept], points_mm=np.array(rows)
    )


def _at_angles(points: Array, turns: Array) -> Array:
    """Points (m, 2) where rays from the origin at angles meet a loop round it, straight between its own points."""
    angle = np.arctan2(points[:, 1], points[:, 0]) % (2.0 * np.pi)
    order = np.argsort(angle)
    after = np.searchsorted(angle[order], turns) % len(order)
    start, end = points[order[after - 1]], points[order[after]]
    way, side = np.stack([np.cos(turns), np.sin(turns)], axis=1), end - start
    across = way[:, 0] * side[:, 1] - way[:, 1] * side[:, 0]
    radius = (start[:, 0] * side[:, 1] - start[:, 1] * side[:, 0]) / np.where(np.abs(across) > 1e-12, across, 1.0)
    return way * np.where(np.abs(across) > 1e-12, radius, np.linalg.norm(start, axis=1))[:, None]
