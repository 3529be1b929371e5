"""Metal between a screw's hole and the edge of its flange."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Flange, Screw
from tractwright.standards.spacing import edge_distance_mm
from tractwright.standards.threads import thread


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw and flange it passes: centre to edge."""
    for flange in case.design.flanges:
        screws = [screw for screw in case.design.screws if screw.joint == flange.joint]
        for screw, edge in zip(screws, _to_edge(flange, screws), strict=True):
            yield Reading(
                subject="+".join(sorted((f"flange.{flange.name}", f"screw.{screw.name}"))),
                measured=edge,
                unit="mm",
                at_least=edge_distance_mm(thread(screw.thread).major_mm),
                at_mm=screw.seat_mm,
                message="Too little metal from the hole's middle to the flange's edge: put a lug round it or move "
                "it in.",
            )


def _to_edge(flange: Flange, screws: list[Screw]) -> list[float]:
    """From each screw's axis to the flange's edge [mm], negative outside it."""
    if not screws:
        return []
    places = flange.frame.to_local(np.array([screw.seat_mm for screw in screws]))[:, :2]
    return to_edge_mm(flange.contour, places).tolist()


RULE = Rule(
    id="join.edge",
    question="Is there metal enough between every hole and the edge of its flange?",
    limit="1.5 thread diameters from the hole's middle to the edge",
    cure="a lug round the screw",
    bites_at="join",
    needs="description",
    source="edge_distance",
    judge=judge,
)
