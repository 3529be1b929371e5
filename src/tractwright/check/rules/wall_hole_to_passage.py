"""Metal between a screw's holes and the passages."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import hole_to_passage, holes_of
from tractwright.geometry.frames import vec3

_LEAST_MM = 2.0
_BREAKS, _NEAR = "breaks into the passage", "runs so near a passage that it may break through"


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: the passage nearest to its clearance hole, counterbore or thread."""
    for screw in case.design.screws:
        gap = hole_to_passage(np.array(screw.seat_mm), np.array(screw.direction), holes_of(screw), case.tubes)
        yield Reading(
            subject="+".join(sorted(name for name in (gap.subject, f"screw.{screw.name}") if name)),
            measured=gap.mm,
            unit="mm",
            at_least=_LEAST_MM,
            at_mm=vec3(gap.place),
            message=f"The hole {_BREAKS if gap.mm < 0.0 else _NEAR}: move the screw, or take a smaller one.",
        )


RULE = Rule(
    id="wall.hole_to_passage",
    question="Is there metal enough between every screw hole and every passage?",
    limit="2 mm; common practice",
    cure="move the screw, a smaller screw, a shallower thread",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
