"""Screws that bottom in their hole clamp nothing."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.errors import TableError
from tractwright.standards.screws import stock_length_at_most
from tractwright.standards.threads import thread

_PITCHES_LEFT = 1.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: thread left under its tip."""
    for screw in case.design.screws:
        left = screw.tapped_depth_mm - (screw.length_mm - screw.grip_mm)
        limit = _PITCHES_LEFT * thread(screw.thread).pitch_mm
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=left,
            unit="mm",
            at_least=limit,
            at_mm=screw.seat_mm,
            message="The screw bottoms before it clamps: a shorter screw, a washer, or a deeper thread.",
            fix=_shorter(screw.head, screw.thread, screw.grip_mm + screw.tapped_depth_mm - limit, screw.name),
        )


def _shorter(head: str, size: str, longest: float, name: str) -> Fix | None:
    try:
        length = stock_length_at_most("hex" if head == "hex" else "cap", size, longest)
    except TableError:
        return None
    return Fix(path=f"screw.{name}.length_mm", value=length, what=f"screw {length:.0f} mm long")


RULE = Rule(
    id="join.length",
    question="Does no screw bottom in its hole?",
    limit="one pitch of thread left under the tip; common practice",
    cure="the next shorter stock length",
    bites_at="join",
    needs="description",
    source="iso_4762",
    judge=judge,
)
