"""Walls of runners and plenum thick enough for the pressure and the cutter."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import STABLE_WALL_MM, least_wall


def judge(case: Case) -> Iterator[Reading]:
    """One reading a runner and a plenum."""
    for runner in case.design.runners:
        least, place = least_wall(case, runner)
        yield Reading(
            subject=f"runner.{runner.name}",
            measured=least,
            unit="mm",
            at_least=STABLE_WALL_MM,
            at_mm=place,
            message="The wall is thinner than a cutter leaves stable: thicken it.",
            fix=Fix(path=f"runner.{runner.name}.wall_mm", value=STABLE_WALL_MM, what=f"wall {STABLE_WALL_MM:.1f} mm"),
        )
    for plenum in case.design.plena:
        yield Reading(
            subject=f"plenum.{plenum.name}",
            measured=plenum.wall_mm,
            unit="mm",
            at_least=STABLE_WALL_MM,
            message="The plenum's wall is thinner than a cutter leaves stable: thicken it.",
            fix=Fix(path=f"plenum.{plenum.name}.wall_mm", value=STABLE_WALL_MM, what=f"wall {STABLE_WALL_MM:.1f} mm"),
        )


RULE = Rule(
    id="wall.least",
    question="Is every wall thick enough to be milled?",
    limit="2.5 mm; common practice",
    cure="a thicker wall",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
