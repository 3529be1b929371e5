"""Metal round dowel pins."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import hole_to_passage
from tractwright.design.records import Dowel

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
    place = np.array([dowel.at_mm])
    return {
        f"flange.{flange.name}": float(to_edge_mm(flange.contour, flange.frame.to_local(place)[:, :2])[0])
        for flange in case.design.flanges
        if flange.joint == dowel.joint
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
