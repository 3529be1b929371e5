"""Metal between a screw's hole and the edge of its flange."""

from collections.abc import Iterator

import numpy as np
from shapely import Point, Polygon

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.geometry.contours import polyline
from tractwright.standards.threads import thread

_DIAMETERS = 1.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw and flange it passes: centre to edge."""
    regions = {flange.name: Polygon(polyline(flange.contour, 0.001)) for flange in case.design.flanges}
    for screw in case.design.screws:
        for flange in case.design.flanges:
            if flange.joint != screw.joint:
                continue
            place = flange.frame.to_local(np.array(screw.seat_mm))[:2]
            point = Point(place)
            inside = regions[flange.name].contains(point)
            edge = regions[flange.name].exterior.distance(point)
            yield Reading(
                subject="+".join(sorted((f"flange.{flange.name}", f"screw.{screw.name}"))),
                measured=edge if inside else -edge,
                unit="mm",
                at_least=_DIAMETERS * thread(screw.thread).major_mm,
                at_mm=screw.seat_mm,
                message="Too little metal between the hole and the flange's edge: a lug round it, or move it inwards.",
            )


RULE = Rule(
    id="join.edge",
    question="Is there metal enough between every hole and the edge of its flange?",
    limit="1.5 thread diameters from centre to edge; a secondary print",
    cure="a lug round the screw",
    bites_at="join",
    needs="description",
    source="edge_distance",
    judge=judge,
)
