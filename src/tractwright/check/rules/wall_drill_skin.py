"""A blind hole must not come out inside the plenum, nor through the plate it is drilled in."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import goes_through
from tractwright.design.housing import plenum_in
from tractwright.design.records import Plenum, Screw
from tractwright.standards.threads import thread

_LEAST_MM = 1.5
_POINT_SHARE = 0.3  # height of a 118 degree point over the drill's diameter
_FAR_MM = 20.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a blind hole in a plenum or cover: metal left before the drill's point comes into the air."""
    for screw in case.design.screws:
        plenum = plenum_in(screw.tapped_in, case.design)
        if plenum is None or goes_through(case, screw):
            continue
        left = _left_mm(screw, plenum)
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=min(left, _FAR_MM),
            unit="mm",
            at_least=_LEAST_MM,
            at_mm=screw.seat_mm,
            message="The drill comes through, or nearly: air leaks past the screw. Drill less deep, or thicken the "
            "metal there.",
        )


def _left_mm(screw: Screw, plenum: Plenum) -> float:
    """From the drill's point on along the hole, to the plenum's inside or to the joint under its floor."""
    into = plenum.frame.matrix() @ np.array(screw.direction)
    start = plenum.frame.to_local(np.array(screw.seat_mm)) + into * screw.grip_mm
    drill = thread(screw.thread).tap_drill_mm
    deep = screw.drill_depth_mm + _POINT_SHARE * drill
    low = np.array([-plenum.width_mm / 2, -plenum.height_mm / 2, plenum.floor_mm])
    high = np.array([plenum.width_mm / 2, plenum.height_mm / 2, plenum.floor_mm + plenum.depth_mm])
    middle = np.array([*plenum.centre_mm, 0.0])
    entered = _enters(start, into, low + middle - drill / 2, high + middle + drill / 2) + drill / 2
    under = start[2] / -into[2] if into[2] < -1e-6 else np.inf
    return float(min(entered, under)) - deep


def _enters(start: np.ndarray, into: np.ndarray, low: np.ndarray, high: np.ndarray) -> float:
    """How far along a ray a box begins; infinity where it passes by."""
    safe = np.where(np.abs(into) > 1e-9, into, 1e-9)
    near, far = (
        np.minimum((low - start) / safe, (high - start) / safe),
        np.maximum((low - start) / safe, (high - start) / safe),
    )
    first, last = float(near.max()), float(far.min())
    return first if first <= last and last > 0.0 else np.inf


RULE = Rule(
    id="wall.drill_skin",
    question="Does every blind hole end before it comes out on the other side?",
    limit="1.5 mm of metal past the drill's point; common practice",
    cure="a shallower hole, or more metal",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
