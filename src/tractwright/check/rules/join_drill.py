"""A tap cuts no full thread to the bottom of its hole: the drill goes deeper."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import goes_through
from tractwright.standards.holes import drill_beyond_thread_mm
from tractwright.standards.threads import thread

_BOTTOMING_PITCHES = 2.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a hole of ours: how much deeper it is drilled than it is threaded. Through threads have no bottom."""
    for screw in case.design.screws:
        if screw.tapped_in == "engine" or goes_through(case, screw):
            continue
        pitch = thread(screw.thread).pitch_mm
        deep = screw.tapped_depth_mm + drill_beyond_thread_mm(screw.thread, screw.tapped_depth_mm)
        deep = round(deep, 2)
        yield Reading(
            subject=f"screw.{screw.name}",
            measured=screw.drill_depth_mm - screw.tapped_depth_mm,
            unit="mm",
            at_least=_BOTTOMING_PITCHES * pitch,
            at_mm=screw.seat_mm,
            message=f"The drill stops too soon for a tap to cut the thread to its depth: drill {deep:g} mm deep.",
            fix=Fix(path=f"screw.{screw.name}.drill_depth_mm", value=deep, what=f"drilled {deep:g} mm deep"),
        )


RULE = Rule(
    id="join.drill",
    question="Is every blind hole drilled deeper than its thread, so that the tap has somewhere to run?",
    limit="2.5 pitches, what a bottoming tap leaves unfinished; common practice",
    cure="a deeper drill: a fifth of the thread more, five pitches at least",
    bites_at="join",
    needs="description",
    source="common_practice",
    judge=judge,
)
