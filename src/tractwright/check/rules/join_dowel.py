"""Metal round dowel pins."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import hole_to_passage
from tractwright.design.records import Dowel
from tractwright.geometry.frames import Array

_METAL_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a dowel: the nearest flange edge, screw hole or passage."""
    for joint in case.design.joints:
        dowels = [dowel for dowel in case.design.dowels if dowel.joint == joint.name]
        edges = _edges(case, dowels)
        for number, dowel in enumerate(dowels):
            beside = {name: float(gaps[number]) for name, gaps in edges.items()} | _screws(case, dowel)
            yield _reading(case, dowel, beside)


def _reading(case: Case, dowel: Dowel, beside: dict[str, float]) -> Reading:
    """Beside : from the dowel's middle to edges and holes."""
    radius = dowel.diameter_mm / 2
    place, into = np.array(dowel.at_mm), np.array(dowel.direction)
    passage = hole_to_passage(place, into, [(-dowel.depth_first_mm, dowel.depth_second_mm, radius)], case.tubes)
    gaps = {passage.subject: passage.mm} | {name: gap - radius for name, gap in beside.items()}
    nearest = min(gaps, key=lambda name: gaps[name])
    return Reading(
        subject="+".join(sorted(name for name in (nearest, f"dowel.{dowel.name}") if name)),
        measured=gaps[nearest],
        unit="mm",
        at_least=_METAL_MM,
        at_mm=dowel.at_mm,
        message="Too little metal round the dowel to hold it true: move it away from there.",
    )


def _edges(case: Case, dowels: list[Dowel]) -> dict[str, Array]:
    """From dowels of one joint to the edge of each of its flanges (n,), negative outside."""
    if not dowels:
        return {}
    places = np.array([dowel.at_mm for dowel in dowels])
    return {
        f"flange.{flange.name}": to_edge_mm(flange.contour, flange.frame.to_local(places)[:, :2])
        for flange in case.design.flanges
        if flange.joint == dowels[0].joint
    }


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
