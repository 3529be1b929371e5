"""Metal between a groove and whatever is next to it."""

from collections.abc import Iterator

import numpy as np
from shapely import LineString, Point, Polygon

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Seal
from tractwright.geometry.contours import polyline

_LAND_MM = 1.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the nearest screw hole or edge of the flange it is cut into, and of the one it lies on."""
    joints = {joint.name: joint for joint in case.design.joints}
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        frame = joints[seal.joint].frame
        ring = polyline(seal.path, 0.02)
        groove = LineString(np.concatenate([ring, ring[:1]]))
        gaps = {
            f"screw.{screw.name}": groove.distance(Point(frame.to_local(np.array(screw.seat_mm))[:2]))
            - screw.clearance_mm / 2
            for screw in case.design.screws
            if screw.joint == seal.joint
        } | _edges(case, seal, groove)
        nearest = min(gaps, key=lambda name: gaps[name])
        yield Reading(
            subject="+".join(sorted((nearest, f"seal.{seal.name}"))),
            measured=gaps[nearest] - seal.groove_width_mm / 2,
            unit="mm",
            at_least=_LAND_MM,
            message="Too little metal between the groove and its neighbour: move the groove or widen the flange.",
        )


def _edges(case: Case, seal: Seal, groove: LineString) -> dict[str, float]:
    """Distance to the outer edge of each flange of the joint, in the joint's frame."""
    joint = next(item for item in case.design.joints if item.name == seal.joint)
    found: dict[str, float] = {}
    for flange in case.design.flanges:
        if flange.joint == seal.joint:
            rim = joint.frame.to_local(flange.frame.to_world(polyline(flange.contour, 0.02)))[:, :2]
            found[f"flange.{flange.name}"] = Polygon(rim).exterior.distance(groove)
    return found


RULE = Rule(
    id="seal.land",
    question="Is there metal enough between every groove and the holes and edges next to it?",
    limit="1.5 mm; common practice",
    cure="move the groove, or widen the flange",
    bites_at="seal",
    needs="description",
    source="common_practice",
    judge=judge,
)
