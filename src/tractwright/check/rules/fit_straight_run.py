"""Air that reaches the throttle round a tight bend fills the cylinders unevenly: it wants a straight way before."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import hard_limits, words
from tractwright.check.throttle_space import BodySpace, body_space, run_points
from tractwright.design.room import clearance, nearest

_STEP_MM = 5.0
_IN_FACE_MM = 0.05


def judge(case: Case) -> Iterator[Reading]:
    """One reading a throttle: how far the way before its body is free."""
    for throttle in case.design.throttles:
        space = body_space(case, throttle)
        if space.run_mm <= 0.0:
            continue
        free, what = min(_to_room(case, space), _to_ours(case, space), key=lambda found: found[0])
        yield Reading(
            subject=f"throttle.{throttle.name}",
            measured=free,
            unit="mm",
            at_least=space.run_mm,
            broken="look",
            at_mm=throttle.frame.origin_mm,
            message=f"The hose to the throttle has to bend right before {what}: another wall for the throttle, a "
            "shorter neck, or less straight way.",
        )


def _to_room(case: Case, space: BodySpace) -> tuple[float, str]:
    rings, out = run_points(space, _STEP_MM)
    room = hard_limits(case.room)
    distance, _ = clearance(room, rings.reshape(-1, 3))
    blocked = distance.reshape(rings.shape[:2]).min(axis=1) < 0.0
    if not blocked.any():
        return space.run_mm, "anything"
    first = int(np.argmax(blocked))
    worst = int(np.argmin(distance.reshape(rings.shape[:2])[first]))
    return float(out[first] - _STEP_MM), nearest(room, rings[first, worst : worst + 1])[0]


def _to_ours(case: Case, space: BodySpace) -> tuple[float, str]:
    best = (space.run_mm, "anything")
    for body in case.bodies:
        x, y, z = space.frame.to_local(body.groups.reshape(-1, 3)).T
        ahead = (np.hypot(x, y) < space.run_radius_mm) & (z > space.length_mm + _IN_FACE_MM)
        if ahead.any() and float(z[ahead].min()) - space.length_mm < best[0]:
            best = float(z[ahead].min()) - space.length_mm, words(body.subject)
    return best


RULE = Rule(
    id="fit.straight_run",
    question="Is there a straight way for the air before the throttle?",
    limit="throttle.straight_run of the sheet, one bore where it is silent; common practice",
    cure="another wall for the throttle, a shorter neck",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
