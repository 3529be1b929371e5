"""Screws are drawn down from the middle outwards: a long joint without any near its middle traps a bow, and growth."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Joint, Screw
from tractwright.geometry.frames import vec3

_LONG = 3.0
"""Joints this many times as long as wide have a middle to begin at; of shorter ones screws are drawn down crosswise."""
_MIDDLE_SHARE = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a long joint: how far off its middle the first screw to be tightened stands, of the last one's distance."""
    for joint in case.design.joints:
        screws = [screw for screw in case.design.screws if screw.joint == joint.name]
        if joint.kind not in ("neck", "body") and len(screws) > 1 and (reading := _reading(joint, screws)) is not None:
            yield reading


def _reading(joint: Joint, screws: list[Screw]) -> Reading | None:
    places = joint.frame.to_local(np.array([screw.seat_mm for screw in screws]))[:, :2]
    off = places - places.mean(axis=0)
    _, _, ways = np.linalg.svd(off)
    long, wide = np.ptp(off @ ways.T, axis=0)
    if long < _LONG * wide:
        return None
    along = np.abs(off @ ways[0])
    first = int(np.argmin(along))
    return Reading(
        subject=f"joint.{joint.name}",
        measured=float(along[first] / max(float(along.max()), 1e-9)),
        unit="share",
        at_most=_MIDDLE_SHARE,
        broken="look",
        at_mm=vec3(screws[first].seat_mm),
        message="No screw stands near the middle of this long joint to begin tightening at, and a bow of its flange stays in: "
        "a screw there, or both ends in small steps.",
    )


RULE = Rule(
    id="join.tightening",
    question="Can every long joint be tightened from its middle outwards?",
    limit="a screw within half of the way from the middle to the ends, where a joint is three times as long as wide; common "
    "practice",
    cure="a screw near the middle",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
