"""What one rule tells already, so that no other tells it again: things of the room, and hoses, that the part comes too near."""

from functools import lru_cache

import numpy as np

from tractwright.check.case import Case
from tractwright.check.measures import hard_limits, plenum_points, room_along, split_points
from tractwright.design.pattern import Room
from tractwright.design.room import HEAD_FACE, clearance, without
from tractwright.geometry.frames import Array, Vec3, vec3
from tractwright.job.space_tables import Hose

_FREE_MM = 1000.0


def without_hoses(case: Case) -> Room:
    """The room less its hoses, which are fit.hoses' to say."""
    room = case.room
    for hose in case.sheet.room.hose:
        room = without(room, hose.name)
    return room


def nearest_to_hose(case: Case, hose: Hose) -> tuple[str, float, Vec3]:
    """The part of the manifold that comes nearest to a hose: its path, the gap [mm], and where."""
    best: tuple[str, float, Vec3] = ("", _FREE_MM, hose.start_mm)
    for body in case.bodies:
        points = body.groups.reshape(-1, 3)
        off = _to_line(points, np.array(hose.start_mm), np.array(hose.end_mm)) - hose.diameter_mm / 2
        worst = int(np.argmin(off))
        if off[worst] < best[1]:
            best = (body.subject, float(off[worst]), vec3(points[worst]))
    return best


@lru_cache(maxsize=4)
def too_near(case: Case) -> frozenset[str]:
    """Names of things kept out that runners, plena or flanges of a split come too near where they sit: fit.room says so; and
    of hoses, which fit.hoses says. The last cases asked for are kept.
    """
    least, limits = case.sheet.room.clearance_mm, hard_limits(without_hoses(case))
    names = {item.name for item in (*limits.planes, *limits.boxes, *limits.grids, *limits.rods)} - {HEAD_FACE}
    bodies = [*(plenum_points(case, plenum) for plenum in case.design.plena), *split_points(case).values()]
    found = {name for name in names if _room_mm(case, _only(limits, name), bodies) < least}
    hoses = {hose.name for hose in case.sheet.room.hose if nearest_to_hose(case, hose)[1] < least}
    return frozenset(found | hoses)


def _room_mm(case: Case, room: Room, bodies: list[Array]) -> float:
    """The least room of runners and bodies [mm]."""
    rooms = [float(room_along(case, runner, room).min()) for runner in case.design.runners]
    return min([*rooms, *(float(clearance(room, points)[0].min()) for points in bodies)], default=_FREE_MM)


def _only(room: Room, name: str) -> Room:
    return Room(
        planes=tuple(item for item in room.planes if item.name == name),
        boxes=tuple(item for item in room.boxes if item.name == name),
        grids=tuple(item for item in room.grids if item.name == name),
        rods=tuple(item for item in room.rods if item.name == name),
    )


def _to_line(points: Array, start: Array, end: Array) -> Array:
    way = end - start
    share = np.clip((points - start) @ way / float(way @ way), 0.0, 1.0)
    return np.linalg.norm(points - start - share[:, None] * way, axis=1)
