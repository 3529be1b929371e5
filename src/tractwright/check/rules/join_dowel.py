"""Metal round dowel pins."""

from collections.abc import Iterator

import numpy as np
import shapely

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import hole_to_passage
from tractwright.design.records import Dowel
from tractwright.geometry.contours import polyline

_METAL_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a dowel: the nearest flange edge, screw hole or passage."""
    for dowel in case.design.dowels:
        radius = dowel.diameter_mm / 2
        place, into = np.array(dowel.at_mm), np.array(dowel.direction)
        passage = hole_to_passage(place, into, [(-dowel.depth_first_mm, dowel.depth_second_mm, radius)], case.tubes)
        gaps = {passage.subject: passage.mm} | {
            name: gap - radius for name, gap in (_edges(case, dowel) | _screws(case, dowel)).items()
        }
        nearest = min(gaps, key=lambda name: gaps[name])
        yield Reading(
            subject="+".join(sorted(name for name in (nearest, f"dowel.{dowel.name}") if name)),
            measured=gaps[nearest],
            unit="mm",
            at_least=_METAL_MM,
            at_mm=dowel.at_mm,
            message="Too little metal round the dowel to hold it true: move it away from there.",
        )


def _edges(case: Case, dowel: Dowel) -> dict[str, float]:
    """From the dowel's middle to the edge of each flange of its joint, negative outside."""
    found: dict[str, float] = {}
    for flange in case.design.flanges:
        if flange.joint == dowel.joint:
            region = shapely.Polygon(polyline(flange.contour, 0.01))
            point = shapely.Point(flange.frame.to_local(np.array(dowel.at_mm))[:2])
            edge = region.exterior.distance(point)
            found[f"flange.{flange.name}"] = edge if region.contains(point) else -edge
    return found


def _screws(case: Case, dowel: Dowel) -> dict[str, float]:
    """From the dowel's middle to the edge of each screw's hole in its joint."""
    into = np.array(dowel.direction)
    found: dict[str, float] = {}
    for screw in case.design.screws:
        if screw.joint == dowel.joint:
            offset = np.array(screw.seat_mm) - dowel.at_mm
            off = float(np.linalg.norm(offset - into * float(offset @ into)))
            found[f"screw.{screw.name}"] = off - screw.clearance_mm / 2
    return found


RULE = Rule(
    id="join.dowel",
    question="Is there metal enough round every dowel?",
    limit="2 mm to edges, holes and passages; common practice",
    cure="move the dowel",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
