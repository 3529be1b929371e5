"""Screws clamp, dowels place: passages that meet across a joint of ours need two pins, far apart."""

from collections.abc import Iterator
from math import dist

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import crossings, is_ours
from tractwright.design.records import Joint

_APART_SHARE = 0.5
_PINS = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint between pieces of ours that passages cross: its pins, or how far apart they stand."""
    for joint in case.design.joints:
        if joint.kind not in ("runner", "split") or not is_ours(joint):
            continue
        places = [dowel.at_mm for dowel in case.design.dowels if dowel.joint == joint.name]
        if len(places) < _PINS:
            yield _count(joint, len(places))
        else:
            yield _apart(case, joint, max(dist(a, b) for a in places for b in places))


def _count(joint: Joint, pins: int) -> Reading:
    return Reading(
        subject=f"joint.{joint.name}",
        measured=float(pins),
        unit="dowels",
        at_least=_PINS,
        message="Screws alone let the passages miss each other at this joint: put two dowel pins through it.",
    )


def _apart(case: Case, joint: Joint, apart_mm: float) -> Reading:
    places = crossings(case, joint)
    row = max((dist(a, b) for a in places for b in places), default=0.0)
    return Reading(
        subject=f"joint.{joint.name}",
        measured=apart_mm,
        unit="mm",
        at_least=_APART_SHARE * row,
        broken="look",
        message="The pins stand close together and let the pieces turn about them: place them near the ends of the "
        "row.",
    )


RULE = Rule(
    id="join.located",
    question="Do two dowels, far apart, place every joint that passages cross?",
    limit="two pins; half the row of passages between them a look; common practice",
    cure="two pins near the ends of the row",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
