"""Lengths of a screw that have to agree with one another and with the plates it passes."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import joint_of, stack_mm
from tractwright.design.records import Joint, Screw

_AGREES_MM = 0.05


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: the worst disagreement among its grip, plates and seat, its engagement and its length."""
    for screw in case.design.screws:
        engaged = screw.length_mm - stack_mm(case, screw)
        off = {
            "grip and place of the seat": _grip_off(screw, joint_of(case, screw.joint)),
            "grip and thickness of the flange": _plate_off(case, screw),
            "engagement and length": max(screw.engagement_mm - engaged, 0.0),
        }
        worst = max(off, key=lambda name: off[name])
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=off[worst],
            unit="mm",
            at_most=_AGREES_MM,
            at_mm=screw.seat_mm,
            message=f"Its {worst} disagree, so no length of it can be trusted: hold one of the two, not both.",
        )


def _grip_off(screw: Screw, joint: Joint) -> float:
    """Seat to joint plane along the screw, against its grip [mm]."""
    normal, into = np.array(joint.frame.z), np.array(screw.direction)
    cosine = float(normal @ into)
    height = float((np.array(screw.seat_mm) - joint.frame.origin_mm) @ normal)
    return abs(abs(height / cosine) - screw.grip_mm) if abs(cosine) > 1e-6 else screw.grip_mm


def _plate_off(case: Case, screw: Screw) -> float:
    """The grip against the flange it passes with the standoff on it, or the counterbore in it [mm]."""
    plates = [
        flange.thickness_mm + screw.standoff_mm
        for flange in case.design.flanges
        if flange.joint == screw.joint and flange.piece != screw.tapped_in
    ]
    return min((abs(plate - screw.grip_mm) for plate in plates), default=0.0)


RULE = Rule(
    id="join.adds_up",
    question="Do grip, seat, flange, length and engagement of every screw agree?",
    limit="0.05 mm; plain sums",
    cure="the number that follows from the others",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
