"""Room round runners, plenum and the flanges of a split, in place."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import plenum_points, room_along, split_points
from tractwright.check.told import without_hoses
from tractwright.design.room import PackedRoom, clearance, nearest, pack
from tractwright.geometry.frames import vec3


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner, a plenum and a flange of a split. Hoses are fit.hoses' to say."""
    limit, limits = case.sheet.room.clearance_mm, pack(without_hoses(case))
    for runner in case.design.runners:
        room = room_along(case, runner, limits)
        station = int(np.argmin(room))
        place = case.tubes[runner.name].centre_mm[station]
        yield _reading(limits, f"runner.{runner.name}", float(room[station]), place, limit)
    bodies = {f"plenum.{plenum.name}": plenum_points(case, plenum) for plenum in case.design.plena}
    bodies |= {f"flange.{name}": points for name, points in split_points(case).items()}
    for subject, points in bodies.items():
        distance, _ = clearance(limits, points)
        worst = int(np.argmin(distance))
        yield _reading(limits, subject, float(distance[worst]), points[worst], limit)


def _reading(limits: PackedRoom, subject: str, room: float, place: np.ndarray, limit: float) -> Reading:
    what = nearest(limits, place[None, :])[0] or "anything"
    return Reading(
        subject=subject,
        measured=min(room, 1000.0),
        unit="mm",
        at_least=limit,
        at_mm=vec3(place),
        message=f"It comes too near to {what}: move the plenum, shorten the runners, or allow more room there in the sheet.",
    )


RULE = Rule(
    id="fit.room",
    question="Is there room round every runner, plenum and flange of a split, where the part sits?",
    limit="room.clearance of the sheet, to everything kept out",
    cure="the course is found inside the room; where it cannot be, the demands that bind are named",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
