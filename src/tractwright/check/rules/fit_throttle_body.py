"""The throttle body, with its motor, lever or plug, where it sits."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import hard_limits, words
from tractwright.check.throttle_space import BodySpace, body_points, body_space, gap_mm
from tractwright.design.room import clearance, nearest
from tractwright.geometry.frames import Vec3, vec3

_FREE_MM = 1000.0
_IN_FACE_MM = 0.05
_OF_THE_NECK = ("flange.body", "flange.neck", "throttle.")


def judge(case: Case) -> Iterator[Reading]:
    """One reading a throttle: whatever stands nearest to its body, our own pieces among it."""
    for throttle in case.design.throttles:
        space = body_space(case, throttle)
        what, gap, place = min(_to_room(case, space), _to_ours(case, space), key=lambda found: found[1])
        yield Reading(
            subject=f"throttle.{throttle.name}",
            measured=min(gap, _FREE_MM),
            unit="mm",
            at_least=case.sheet.room.clearance_mm,
            at_mm=place,
            message=f"The throttle body or what stands out beside it comes too near to {what}: turn it, lengthen "
            "the neck, or put it on another wall.",
        )


def _to_room(case: Case, space: BodySpace) -> tuple[str, float, Vec3]:
    points = body_points(space)
    room = hard_limits(case.room)
    distance, _ = clearance(room, points)
    worst = int(np.argmin(distance))
    return nearest(room, points[worst : worst + 1])[0] or "anything", float(distance[worst]), vec3(points[worst])


def _to_ours(case: Case, space: BodySpace) -> tuple[str, float, Vec3]:
    """Runners and plates of ours, but not the neck it is bolted to, nor what lies behind its face."""
    best: tuple[str, float, Vec3] = ("anything", _FREE_MM, space.frame.origin_mm)
    for body in case.bodies:
        if body.subject.startswith(_OF_THE_NECK):
            continue
        points = body.groups.reshape(-1, 3)
        gap = np.where(space.frame.to_local(points)[:, 2] > _IN_FACE_MM, gap_mm(space, points), np.inf)
        worst = int(np.argmin(gap))
        if gap[worst] < best[1]:
            best = (words(body.subject), float(gap[worst]), vec3(points[worst]))
    return best


RULE = Rule(
    id="fit.throttle_body",
    question="Is there room for the throttle body, its motor, lever and plug?",
    limit="room.clearance of the sheet; the body as throttle.body_length and throttle.actuator_reach say, as wide "
    "as the flange under it",
    cure="another wall, a longer neck, or the actuator turned another way",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
