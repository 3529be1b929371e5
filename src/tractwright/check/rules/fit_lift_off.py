"""The part must come off the head: straight along its studs, or far enough to clear the dowels of the gasket face."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import hard_limits, plenum_points
from tractwright.check.told import too_near
from tractwright.design.boss_space import outside_points
from tractwright.design.manifolds import Manifold, manifolds
from tractwright.design.pattern import Room
from tractwright.design.room import PackedRoom, clearance, nearest, pack, without
from tractwright.geometry.frames import Array, vec3
from tractwright.route.course.lifting import OFF_SCREWS_MM, OFF_STUDS_MM, way_off

_STEPS = 8
_FREE_MM = 1000.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a manifold that stands on heads: the least room while it slides out along the head's normal, over several
    heads midway between their normals. What is too near where the part sits is fit.room's, fit.plates' and fit.hoses' to say.
    """
    room = pack(_left(case))
    way = OFF_STUDS_MM if any(hole.stud for hole in case.design.head_holes) else OFF_SCREWS_MM
    for part in (item for item in manifolds(case.design) if item.banks):
        least, place = _least_on_the_way(room, _points(case, part), way * way_off(part.banks))
        if place is not None:
            yield _reading(part, nearest(room, place)[0] or "anything", (min(least, _FREE_MM), way), place)


def _reading(part: Manifold, what: str, least_and_way: tuple[float, float], place: Array) -> Reading:
    least, way = least_and_way
    return Reading(
        subject="+".join(sorted(f"bank.{bank.name}" for bank in part.banks)),
        measured=least,
        unit="mm",
        at_least=0.0,
        at_mm=vec3(place),
        message=f"Drawn {way:.0f} mm straight off the head{'s' if len(part.banks) > 1 else ''} it fouls {what}: move the "
        "plenum" + (", or use screws instead of studs." if way > OFF_SCREWS_MM else "."),
    )


def _left(case: Case) -> Room:
    """What is really in the way, less what the part comes too near already."""
    room = hard_limits(case.room)
    for name in too_near(case):
        room = without(room, name)
    return room


def _least_on_the_way(room: PackedRoom, points: Array, way: Array) -> tuple[float, Array | None]:
    """The least room of points (n, 3) that are clear where they stand, on a straight way, and where; None without any.

    On the way none comes nearer than half of what is free at both ends less the way: most are passed over by that.
    """
    first, last = clearance(room, points)[0], clearance(room, points + way)[0]
    clear = first >= 0.0
    if not clear.any():
        return _FREE_MM, None
    ends = np.where(clear, np.minimum(first, last), np.inf)
    bound = (first + last - float(np.linalg.norm(way))) / 2.0
    near = clear & (bound <= ends.min()) & np.isfinite(bound)
    near[int(np.argmin(ends))] = True
    places = (points[near] + np.linspace(0.0, 1.0, _STEPS)[:, None, None] * way).reshape(-1, 3)
    distance, _ = clearance(room, places)
    worst = int(np.argmin(distance))
    return float(distance[worst]), places[worst]


def _points(case: Case, part: Manifold) -> Array:
    """Skins beyond the head flange, plenum bodies, every flange but the head's, necks, bosses."""
    design = case.design
    skins = [case.tubes[r.name].outer_mm[8::2, ::2].reshape(-1, 3) for r in design.runners if r.name in part.runners]
    bodies = [plenum_points(case, plenum) for plenum in design.plena if plenum.name in part.plena]
    bosses = [
        outside_points(boss) for boss in design.bosses if boss.runner in part.runners or boss.plenum in part.plena
    ]
    return np.concatenate([np.empty((0, 3)), *skins, *bodies, *_plates(case, part), *bosses])


def _plates(case: Case, part: Manifold) -> list[Array]:
    """Points on flanges that stand out beyond runners and plenum, and on throttle necks."""
    joints = {
        joint.name for joint in case.design.joints if joint.kind != "head" and part.pieces.intersection(joint.pieces)
    }
    necks = {f"throttle.{item.name}" for item in case.design.throttles if item.plenum in part.plena}
    return [
        body.groups[:, ::4].reshape(-1, 3)
        for body in case.bodies
        if body.subject in necks or (body.joint and body.joint in joints)
    ]


RULE = Rule(
    id="fit.lift_off",
    question="Can the part be lifted off its studs or dowels without fouling anything?",
    limit="no touching over 35 mm of stud, or 15 mm without studs (common practice)",
    cure="move the plenum, or use screws",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
