"""An aluminium flange on its head: warm, it grows more, and its holes wander off the head's."""

from collections.abc import Iterator

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Joint, Screw
from tractwright.standards.materials import material
from tractwright.standards.threads import thread

_COLD_DEGC = 20.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a head joint: its outermost hole, against the play of its screw."""
    warm = case.sheet.air.wall_degc - _COLD_DEGC
    for joint in case.design.joints:
        screws = [screw for screw in case.design.screws if screw.joint == joint.name]
        if joint.kind != "head" or not screws:
            continue
        wandered = {
            screw.name: abs(warm) * off for screw, off in zip(screws, _growths(case, joint, screws), strict=True)
        }
        play = {screw.name: (screw.clearance_mm - thread(screw.thread).major_mm) / 2 for screw in screws}
        worst = max(screws, key=lambda screw: wandered[screw.name] - play[screw.name])
        yield Reading(
            subject=f"joint.{joint.name}",
            measured=wandered[worst.name],
            unit="mm",
            at_most=play[worst.name],
            broken="look",
            at_mm=worst.seat_mm,
            message=f"Warm, the flange grows off the {case.sheet.head.material} head and bends {worst.name}: wider "
            "or slotted outer holes, and tighten from the middle out.",
        )


def _growths(case: Case, joint: Joint, screws: list[Screw]) -> list[float]:
    """How far each hole wanders off the head's for one degree, from the middle of all [mm/K]."""
    ours = next(
        (piece.material for piece in case.design.pieces if piece.name in joint.pieces), case.sheet.shop.material
    )
    differs = abs(material(ours).expansion_per_k - material(case.sheet.head.material).expansion_per_k)
    places = joint.frame.to_local(np.array([screw.seat_mm for screw in screws]))[:, :2]
    return (differs * np.linalg.norm(places - places.mean(axis=0), axis=1)).tolist()


RULE = Rule(
    id="join.growth",
    question="Do the head screws bear it that the warm flange grows more than the head?",
    limit="half the play of the clearance hole, at air.wall of the sheet against 20 C",
    cure="wider or slotted outer holes, tightened from the middle out",
    bites_at="join",
    needs="description",
    source="aluminium_typical",
    judge=judge,
)
