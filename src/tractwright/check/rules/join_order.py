"""Pieces that have to go together in another order than usual, or keys do not get in."""

from collections.abc import Iterator

from tractwright.check.assembly import assembly_of
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading: the joints that have to be tightened out of their usual turn, from the head outwards.

    Where no order will do, join.key_room says which screw no key gets at.
    """
    if not case.design.screws:
        return
    found = assembly_of(case.bodies, case.design)
    usual = tuple(joint.name for joint in case.design.joints)
    screwed = {screw.joint for screw in case.design.screws}
    words = ", ".join(name for name in found.order if name in screwed)
    yield Reading(
        subject="job.order",
        measured=float(sum(a != b for a, b in zip(found.order, usual, strict=True))),
        unit="joints",
        at_most=0.0,
        broken="look",
        message=f"Keys get at all screws only in this order: {words}. Write it on the assembly sheet.",
    )


RULE = Rule(
    id="join.order",
    question="Can the pieces be screwed together in the usual order, from the head outwards?",
    limit="every screw within reach of a key with the pieces on by then; another order that will do a look",
    cure="the order given; or turn the plenum or throttle",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
