"""Holes many times as deep as they are wide."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Screw
from tractwright.standards.threads import thread

_MOST = 8.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: the deeper of its two holes, in diameters of the drill."""
    for screw in case.design.screws:
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=_depth(screw),
            unit="diameters",
            at_most=_MOST,
            broken="look",
            at_mm=screw.seat_mm,
            message="So deep a hole wanders and needs a long drill and many pecks: a shallower one, or a larger screw.",
        )


def _depth(screw: Screw) -> float:
    passed = screw.grip_mm / screw.clearance_mm
    tapped = screw.drill_depth_mm / thread(screw.thread).tap_drill_mm
    return passed if screw.tapped_in == "engine" else max(passed, tapped)


RULE = Rule(
    id="cut.drill",
    question="Is no hole so deep that its drill wanders?",
    limit="8 diameters of the drill; common practice",
    cure="a shallower hole, a larger screw",
    bites_at="cut",
    needs="description",
    source="common_practice",
    judge=judge,
)
