"""Holes of a piece that the user has drawn: over every hole of the cylinder head, and for screws to the next piece."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.own.pattern import hole_at

_FEWEST = 4.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a hole of the cylinder head, one for the face that the next piece bolts to."""
    own = case.described.own
    if own is None:
        return
    for hole in case.pattern.head_holes:
        there = hole_at(own, hole)
        yield Reading(
            subject=f"head_hole.{hole.name}",
            measured=1.0 if there is not None and there.through else 0.0,
            unit="drawn",
            at_least=1.0,
            at_mm=None,
            message="The piece drawn has no hole for the screw of this hole of the cylinder head: draw it.",
        )
    screws = [screw for screw in case.design.screws if screw.joint == "runner"]
    yield Reading(
        subject="joint.runner",
        measured=float(len(screws)),
        unit="screws",
        at_least=_FEWEST,
        message="Too few holes of the piece drawn can hold the next piece: tapped ones, or such as a screw passes.",
    )


RULE = Rule(
    id="join.own_holes",
    question="Has a piece drawn already the holes that its joints need?",
    limit="one over each hole of the cylinder head; four for the next piece; common practice",
    cure="the missing holes drawn",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
