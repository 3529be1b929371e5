"""Metal left round a pocket of a flange: to its edge, to holes, to passages and heads."""

from collections.abc import Iterator

import shapely

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import envelope
from tractwright.design.records import Flange
from tractwright.geometry.contours import polyline
from tractwright.geometry.frames import vec3

LEAST_MM = 3.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a pocket: whatever comes nearest to it."""
    flanges = {flange.name: flange for flange in case.design.flanges}
    for pocket in case.design.pockets:
        flange = flanges[pocket.flange]
        area = shapely.Polygon(polyline(pocket.contour))
        rooms = _rooms(case, flange, area)
        what = min(rooms, key=lambda name: rooms[name])
        place = area.representative_point()
        yield Reading(
            subject="+".join(sorted(name for name in (f"pocket.{pocket.name}", what) if name)),
            measured=rooms[what],
            unit="mm",
            at_least=LEAST_MM,
            at_mm=vec3(flange.frame.to_world((place.x, place.y, flange.thickness_mm))),
            message="Little metal is left beside this pocket: more head.pocket_land in the sheet, or move what stands there.",
        )


def _rooms(case: Case, flange: Flange, area: shapely.Polygon) -> dict[str, float]:
    """Distances in the flange's plane, by the path of what they are to; '' for its edge. Negative where they overlap."""
    edge = shapely.Polygon(polyline(flange.contour))
    rooms = {"": edge.exterior.distance(area) if edge.contains(area) else -1.0}
    for screw in case.design.screws:
        if screw.joint == flange.joint:
            x, y, _ = flange.frame.to_local(screw.seat_mm)
            wide = max(screw.post_mm / 2, envelope(screw).head_radius_mm, screw.clearance_mm / 2)
            rooms[f"screw.{screw.name}"] = area.distance(shapely.Point(float(x), float(y))) - wide
    for name, model in case.tubes.items():
        local = flange.frame.to_local(model.inner_mm)
        here = local[(local[..., 2] > -0.5) & (local[..., 2] < flange.thickness_mm + 0.5)]
        if len(here) > 2:
            hull = shapely.MultiPoint(here[:, :2]).convex_hull
            rooms[f"runner.{name}"] = hull.distance(area) if not hull.intersects(area) else -1.0
    return rooms


RULE = Rule(
    id="wall.pocket",
    question="Is there metal enough round every pocket?",
    limit="3 mm to edge, heads, posts and passages; common practice",
    cure="head.pocket_land of the sheet",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
