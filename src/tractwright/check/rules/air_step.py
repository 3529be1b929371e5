"""The step that pins, holes and bores may leave between two pieces, all against each other."""

from collections.abc import Iterator
from math import dist

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import crossings, is_ours
from tractwright.design.records import Joint
from tractwright.geometry.frames import Array
from tractwright.standards.threads import thread

_STEP_MM = 0.2
_PINS = 2


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint that passages cross: the largest step where they meet."""
    for joint in case.design.joints:
        if joint.kind not in ("runner", "split") or not is_ours(joint):
            continue
        pins = [np.array(dowel.at_mm) for dowel in case.design.dowels if dowel.joint == joint.name]
        if len(pins) >= _PINS:
            play, what = _pinned_mm(case, joint, pins), "pins"
        else:
            play, what = _screwed_mm(case, joint), "screws"
        yield Reading(
            subject=f"joint.{joint.name}",
            measured=play + 2.0 * case.sheet.shop.position_mm,
            unit="mm",
            at_most=_STEP_MM,
            broken="look",
            message=f"With these {what} and tolerances passages may meet with a step against the flow: truer "
            "holes, pins further apart, or match the bores by hand once pinned.",
        )


def _pinned_mm(case: Case, joint: Joint, pins: list[Array]) -> float:
    """Half the pins' play, grown by how far the passages reach beyond the pins."""
    a, b = max(((p, q) for p in pins for q in pins), key=lambda pair: dist(pair[0], pair[1]))
    apart = max(dist(a, b), 1.0)
    middle = (a + b) / 2.0
    furthest = max((dist(place, middle) for place in crossings(case, joint)), default=0.0)
    return case.sheet.joint.dowel_play_mm / 2.0 * max(1.0, 2.0 * furthest / apart)


def _screwed_mm(case: Case, joint: Joint) -> float:
    """Half the least play of a clearance hole."""
    screws = [screw for screw in case.design.screws if screw.joint == joint.name]
    return min((screw.clearance_mm - thread(screw.thread).major_mm for screw in screws), default=0.0) / 2.0


RULE = Rule(
    id="air.step",
    question="Do passages meet across a joint without a step, whatever the tolerances?",
    limit="0.2 mm: half the play of the dowels (joint.dowel_play of the sheet), grown over the row, and twice "
    "shop.position; common practice",
    cure="reamed holes, pins further apart",
    bites_at="air",
    needs="description",
    source="common_practice",
    judge=judge,
)
