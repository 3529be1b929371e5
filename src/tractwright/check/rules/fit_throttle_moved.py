"""A throttle body that no longer sits where it sat takes its hoses, cable and plugs along."""

from collections.abc import Iterator
from math import dist

import numpy as np

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_FOLLOWS_MM = 5.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading for the throttle nearest to the old one: how far its face has moved, tilt counted at the bore's rim. None
    where bodies on the mouths take its place altogether.
    """
    old = case.pattern.throttle_face
    if old is None or not case.design.throttles or case.design.body_rows:
        return
    throttle = min(case.design.throttles, key=lambda item: dist(item.frame.origin_mm, old.frame.origin_mm))
    tilted = float(np.linalg.norm(np.array(throttle.frame.z) - old.frame.z)) * throttle.bore_mm / 2
    moved = dist(throttle.frame.origin_mm, old.frame.origin_mm)
    yield Reading(
        subject=f"throttle.{throttle.name}",
        measured=moved + tilted,
        unit="mm",
        at_most=_FOLLOWS_MM,
        broken="look",
        at_mm=throttle.frame.origin_mm,
        message="The throttle body sits elsewhere than on the old part: see that hose, cable, plug and bracket follow.",
    )


RULE = Rule(
    id="fit.throttle_moved",
    question="Does the throttle body sit where it sat on the old part?",
    limit="5 mm, tilt counted at the bore's rim: what hoses and cables follow; judgement",
    cure="throttle.place, plenum.at and plenum.direction in the sheet, or longer hoses",
    bites_at="fit",
    needs="description",
    source="shop_judgement",
    judge=judge,
)
