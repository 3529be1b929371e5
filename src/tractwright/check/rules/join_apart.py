"""Heads of neighbouring screws must not touch, and a key must go between."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.screw_distances import envelope

_BETWEEN_MM = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint: the two heads or washers that stand nearest to each other."""
    for joint in case.design.joints:
        screws = [screw for screw in case.design.screws if screw.joint == joint.name]
        if len(screws) < 2:
            continue
        seats = np.array([screw.seat_mm for screw in screws])
        radii = np.array([envelope(screw).head_radius_mm for screw in screws])
        apart = np.linalg.norm(seats[:, None, :] - seats[None, :, :], axis=2) - radii[:, None] - radii
        np.fill_diagonal(apart, np.inf)
        a, b = np.unravel_index(int(np.argmin(apart)), apart.shape)
        yield Reading(
            subject="+".join(sorted((f"screw.{screws[a].name}", f"screw.{screws[b].name}"))),
            measured=float(apart[a, b]),
            unit="mm",
            at_least=_BETWEEN_MM,
            at_mm=screws[a].seat_mm,
            message="The heads of these two screws touch, or nearly: move one of them, or leave it out.",
        )


RULE = Rule(
    id="join.apart",
    question="Do the heads of neighbouring screws stand clear of each other?",
    limit="0.5 mm between heads or washers; common practice",
    cure="move one of the two",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
