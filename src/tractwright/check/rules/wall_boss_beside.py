"""A boss's hole keeps off other passages and screw holes."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.boss_facts import standing, subject
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import hole_to_passage
from tractwright.design.boss_hole import bores_of
from tractwright.design.boss_space import into_top
from tractwright.geometry.frames import vec3

LEAST_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: the nearest passage that its hole does not open into."""
    for boss in standing(case):
        top, start = into_top(boss), 0.0
        holes: list[tuple[float, float, float]] = []
        for bore in bores_of(boss):
            holes.append((start, bore.deep_mm, bore.start_mm))
            start = bore.deep_mm
        others = {name: model for name, model in case.tubes.items() if name != boss.runner}
        if boss.plenum or not others:
            continue
        gap = hole_to_passage(np.array(top.origin_mm), np.array(top.z), holes, others)
        yield Reading(
            subject=subject(boss, gap.subject),
            measured=gap.mm,
            unit="mm",
            at_least=LEAST_MM,
            at_mm=vec3(gap.place),
            message="Its hole runs into the next passage, or nearly: turn its clock angle or move its station.",
        )


RULE = Rule(
    id="wall.boss_beside",
    question="Does no boss's hole come near a passage it does not belong to?",
    limit="2 mm; common practice",
    cure="another clock angle or station",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
