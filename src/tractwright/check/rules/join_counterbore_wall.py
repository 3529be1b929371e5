"""A counterbore too near to the edge of its flange breaks out of it, or leaves a sliver that tears off."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.edges import to_edge_mm
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Flange, Screw

_WALL_MM = 1.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a counterbored screw: metal left between its counterbore and the edge of the flange it is sunk into."""
    for screw in case.design.screws:
        sunk = screw.counterbore_mm > 0.0 and screw.standoff_mm < 0.0
        for flange in case.design.flanges if sunk else ():
            if flange.joint == screw.joint and flange.piece != screw.tapped_in:
                yield _reading(screw, flange)


def _reading(screw: Screw, flange: Flange) -> Reading:
    place = flange.frame.to_local(np.array([screw.seat_mm]))[:, :2]
    return Reading(
        subject="+".join(sorted((f"flange.{flange.name}", f"screw.{screw.name}"))),
        measured=float(to_edge_mm(flange.contour, place)[0]) - screw.counterbore_mm / 2,
        unit="mm",
        at_least=_WALL_MM,
        at_mm=screw.seat_mm,
        message="The counterbore leaves too little metal to the flange's edge: a smaller screw or counterbore, a lug round "
        "it, or the seat on the flange's face.",
    )


RULE = Rule(
    id="join.counterbore_wall",
    question="Has every counterbore a wall all round?",
    limit="1.5 mm to the flange's edge; common practice",
    cure="a smaller counterbore, a lug, a seat on the flange's face",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
