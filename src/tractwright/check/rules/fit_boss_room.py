"""Room round bosses, in place."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.boss_facts import elsewhere, standing, subject
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.told import without_hoses
from tractwright.design.boss_space import outside_points
from tractwright.design.room import clearance, nearest, pack
from tractwright.geometry.frames import vec3


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: the least room round its metal. Hoses are fit.hoses' to say."""
    limits = pack(without_hoses(case))
    for boss in standing(case):
        points = outside_points(boss)
        distance, _ = clearance(limits, points)
        worst = int(np.argmin(distance))
        what = nearest(limits, points[worst][None, :])[0] or "anything"
        yield Reading(
            subject=subject(boss),
            measured=min(float(distance[worst]), 1000.0),
            unit="mm",
            at_least=case.sheet.room.clearance_mm,
            at_mm=vec3(points[worst]),
            message=f"It comes too near to {what}: {elsewhere(boss)}, or make it lower.",
        )


RULE = Rule(
    id="fit.boss_room",
    question="Is there room round every boss?",
    limit="room.clearance of the sheet, to everything kept out",
    cure="another clock angle, station or place on its wall",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
