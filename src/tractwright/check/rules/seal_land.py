"""Metal between a groove and whatever is next to it."""

from collections.abc import Iterator

import numpy as np
import shapely

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import STABLE_WALL_MM
from tractwright.design.records import Joint, Seal
from tractwright.geometry.contours import polyline

_LAND_MM = 1.5
_CHORD_MM = 0.05


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the nearest screw hole or edge of the flange it is cut into, and of the one it lies on. A cover's
    cord lies over the walls: walls too thin to be milled are wall.least's to say.
    """
    joints = {joint.name: joint for joint in case.design.joints}
    thin_walls = any(plenum.wall_mm < STABLE_WALL_MM for plenum in case.design.plena)
    for seal in case.design.seals:
        if seal.kind != "cord" or (joints[seal.joint].kind == "cover" and thin_walls):
            continue
        groove = shapely.LinearRing(polyline(seal.path, _CHORD_MM))
        shapely.prepare(groove)
        gaps = _screws(case, joints[seal.joint], groove) | _edges(case, joints[seal.joint], seal, groove)
        nearest = min(gaps, key=lambda name: gaps[name], default="")
        if nearest:
            yield Reading(
                subject="+".join(sorted((nearest, f"seal.{seal.name}"))),
                measured=gaps[nearest] - seal.groove_width_mm / 2,
                unit="mm",
                at_least=_LAND_MM,
                message="Too little metal beside the groove: move the groove or the screw, or widen the flange.",
            )


def _screws(case: Case, joint: Joint, groove: shapely.LinearRing) -> dict[str, float]:
    """From the groove's middle to the edge of each screw's hole."""
    screws = [screw for screw in case.design.screws if screw.joint == joint.name]
    if not screws:
        return {}
    places = joint.frame.to_local(np.array([screw.seat_mm for screw in screws]))[:, :2]
    gaps = np.atleast_1d(shapely.distance(groove, shapely.points(places))).tolist()
    return {f"screw.{s.name}": gap - s.clearance_mm / 2 for s, gap in zip(screws, gaps, strict=True)}


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
    question="Is there metal enough between every groove and the holes and edges next to it?",
    limit="1.5 mm; common practice",
    cure="move the groove, or widen the flange",
    bites_at="seal",
    needs="description",
    source="common_practice",
    judge=judge,
)
