"""Screws that bottom in their hole clamp nothing; tips that stand out foul what is behind."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import deepest_tip_mm, goes_through, stack_mm
from tractwright.design.records import Screw
from tractwright.errors import TableError
from tractwright.standards.screws import stock_length_at_most

_BLIND = "bottoms before it clamps: a shorter one, or a deeper thread."
_THROUGH = "stands so far out of its thread that it fouls what is behind: a shorter one."


def judge(case: Case) -> Iterator[Reading]:
    """One reading a screw: how much further its tip could go."""
    for screw in case.design.screws:
        longest = stack_mm(case, screw) + deepest_tip_mm(case, screw)
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=longest - screw.length_mm,
            unit="mm",
            at_least=0.0,
            at_mm=screw.seat_mm,
            message=f"The screw is {screw.length_mm - longest:.1f} mm too long and "
            f"{_THROUGH if goes_through(case, screw) else _BLIND}",
            fix=_shorter(screw, longest),
        )


def _shorter(screw: Screw, longest_mm: float) -> Fix | None:
    try:
        length = stock_length_at_most(screw.head, screw.thread, longest_mm)
    except TableError:
        return None
    return Fix(path=f"screw.{screw.name}.length_mm", value=length, what=f"screw {length:.0f} mm long")


RULE = Rule(
    id="join.length",
    question="Does no screw bottom in its hole, nor stand out far behind?",
    limit="one pitch of thread left under the tip; out of a through thread three pitches; common practice",
    cure="the next shorter stock length",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
