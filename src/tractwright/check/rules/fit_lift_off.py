"""The part must come off the head: straight along its studs, or far enough to clear the dowels of the gasket face."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import hard_limits, plenum_points
from tractwright.design.records import Bank
from tractwright.design.room import clearance
from tractwright.geometry.frames import Array, vec3

_STUD_MM = 35.0
_NO_STUD_MM = 15.0
_STEPS = 8


def judge(case: Case) -> Iterator[Reading]:
    """One reading a bank: the least room while everything of it slides out along the head's normal."""
    for bank in case.design.banks:
        studs = any(hole.stud for hole in case.design.head_holes if hole.bank == bank.name)
        points = _points(case, bank)
        normal = np.array(bank.frame.z)
        least, place = np.inf, points[0]
        for shift in np.linspace(0.0, _STUD_MM if studs else _NO_STUD_MM, _STEPS):
            distance, _ = clearance(hard_limits(case.room), points + normal * shift)
            worst = int(np.argmin(distance))
            if distance[worst] < least:
                least, place = float(distance[worst]), points[worst] + normal * shift
        yield Reading(
            subject=f"bank.{bank.name}",
            measured=min(least, 1000.0),
            unit="mm",
            at_least=0.0,
            at_mm=vec3(place),
            message="The part cannot be drawn straight off the head: move the plenum or use screws instead of studs.",
        )


def _points(case: Case, bank: Bank) -> Array:
    """Skins beyond the head flange, and plenum bodies."""
    skins = [case.tubes[r.name].outer_mm[8:].reshape(-1, 3) for r in case.design.runners if r.bank == bank.name]
    bodies = [plenum_points(case, plenum) for plenum in case.design.plena if plenum.bank == bank.name]
    return np.concatenate(skins + bodies)


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
