"""Metal round the hole of a boss."""

from collections.abc import Iterator

from tractwright.check.boss_facts import standing, subject
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.boss_hole import widest_radius

LEAST_MM = 2.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: from its widest step or thread to the edge of its top."""
    for boss in standing(case):
        wide = widest_radius(boss)
        yield Reading(
            subject=subject(boss),
            measured=boss.top_mm / 2.0 - wide,
            unit="mm",
            at_least=LEAST_MM,
            at_mm=boss.at_mm,
            message="The wall round its hole is thin: a wider top, or a smaller thread or step.",
            fix=Fix(path=f"boss.{boss.name}.top_mm", value=round(2.0 * (wide + LEAST_MM), 1), what="a wider top"),
        )


RULE = Rule(
    id="wall.boss_hole",
    question="Is there metal enough round every boss's hole?",
    limit="2.5 mm; common practice",
    cure="a wider top",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
