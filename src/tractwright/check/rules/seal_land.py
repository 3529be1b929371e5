"""Metal between a groove and whatever is next to it."""

from collections.abc import Iterator

import numpy as np
import shapely

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import STABLE_WALL_MM, words
from tractwright.design.records import Joint, Seal
from tractwright.design.throttled import throttle_at
from tractwright.geometry.contours import polyline

_LAND_MM = 1.5
_CHORD_MM = 0.05
_AT_JOINT_MM = 4.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the nearest screw or dowel hole, passage, or edge of a flange of its joint. A cover's cord lies
    over the walls: walls too thin to be milled are wall.least's to say.
    """
    joints = {joint.name: joint for joint in case.design.joints}
    thin_walls = any(plenum.wall_mm < STABLE_WALL_MM for plenum in case.design.plena)
    for seal in case.design.seals:
        if seal.kind != "cord" or (joints[seal.joint].kind == "cover" and thin_walls):
            continue
        groove = shapely.LinearRing(polyline(seal.path, _CHORD_MM))
        shapely.prepare(groove)
        joint = joints[seal.joint]
        gaps = _screws(case, joint, groove) | _edges(case, joint, seal, groove)
        gaps |= _dowels(case, joint, groove) | _passages(case, joint, groove)
        nearest = min(gaps, key=lambda name: gaps[name], default="")
        if nearest:
            yield Reading(
                subject="+".join(sorted((nearest, f"seal.{seal.name}"))),
                measured=gaps[nearest] - seal.groove_width_mm / 2,
                unit="mm",
                at_least=_LAND_MM,
                message=f"Too little metal between the groove and {words(nearest)}: move one of the two, or widen the flange.",
            )


def _screws(case: Case, joint: Joint, groove: shapely.LinearRing) -> dict[str, float]:
    """From the groove's middle to the edge of each screw's hole."""
    screws = [screw for screw in case.design.screws if screw.joint == joint.name]
    if not screws:
        return {}
    places = joint.frame.to_local(np.array([screw.seat_mm for screw in screws]))[:, :2]
    gaps = np.atleast_1d(shapely.distance(groove, shapely.points(places))).tolist()
    return {f"screw.{s.name}": gap - s.clearance_mm / 2 for s, gap in zip(screws, gaps, strict=True)}


def _dowels(case: Case, joint: Joint, groove: shapely.LinearRing) -> dict[str, float]:
    """From the groove's middle to the edge of each dowel's hole."""
    dowels = [dowel for dowel in case.design.dowels if dowel.joint == joint.name]
    if not dowels:
        return {}
    places = joint.frame.to_local(np.array([dowel.at_mm for dowel in dowels]))[:, :2]
    gaps = np.atleast_1d(shapely.distance(groove, shapely.points(places))).tolist()
    return {f"dowel.{d.name}": gap - d.diameter_mm / 2 for d, gap in zip(dowels, gaps, strict=True)}


def _passages(case: Case, joint: Joint, groove: shapely.LinearRing) -> dict[str, float]:
    """From the groove's middle to each passage or throttle's opening that goes through the joint."""
    found: dict[str, float] = {}
    for name, model in case.tubes.items() if joint.kind in ("runner", "split") else ():
        beside = np.abs(joint.frame.to_local(model.centre_mm)[:, 2]) < model.half_mm + _AT_JOINT_MM
        local = joint.frame.to_local(model.inner_mm[beside])
        near = local[np.abs(local[..., 2]) < _AT_JOINT_MM][:, :2]
        if len(near):
            found[f"runner.{name}"] = float(shapely.distance(groove, shapely.MultiPoint(near)))
    if joint.kind == "neck" and (throttle := throttle_at(joint, case.design)) is not None:
        x, y, _ = joint.frame.to_local(np.array(throttle.frame.origin_mm))
        found[f"throttle.{throttle.name}"] = float(shapely.distance(groove, shapely.Point(x, y))) - throttle.bore_mm / 2
    return found


def _edges(case: Case, joint: Joint, seal: Seal, groove: shapely.LinearRing) -> dict[str, float]:
    """Distance to the outer edge of each flange of the joint, in the joint's frame; negative where it runs outside."""
    found: dict[str, float] = {}
    for flange in case.design.flanges:
        if flange.joint == seal.joint:
            rim = joint.frame.to_local(flange.frame.to_world(polyline(flange.contour, _CHORD_MM)))[:, :2]
            region = shapely.Polygon(rim)
            off = float(region.exterior.distance(groove))
            found[f"flange.{flange.name}"] = off if region.contains(groove) else -off - 1.0
    return found


RULE = Rule(
    id="seal.land",
    question="Is there metal enough between every groove and the holes, passages and edges next to it?",
    limit="1.5 mm to screw and dowel holes, passages and edges; common practice",
    cure="move the groove, the screw or the pin, or widen the flange",
    bites_at="seal",
    needs="description",
    source="common_practice",
    judge=judge,
)
