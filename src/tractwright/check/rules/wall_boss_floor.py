"""Metal under the steps of a boss, before the passage."""

from collections.abc import Iterator
from math import isfinite

from tractwright.check.boss_facts import subject, way_of
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule

LEAST_MM = 1.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss with steps: the step that comes nearest to the passage."""
    for boss in case.design.bosses:
        left = [
            boss.height_mm + way.first_mm - deep
            for wide, deep in boss.pocket_mm
            if isfinite((way := way_of(case, boss, wide / 2.0)).first_mm)
        ]
        if not boss.pocket_mm:
            continue
        yield Reading(
            subject=subject(boss),
            measured=min(left, default=None),
            unit="mm",
            at_least=LEAST_MM,
            at_mm=boss.at_mm,
            message="A step of it breaks into the passage, or nearly: a higher boss, or steps less deep.",
            fix=Fix(
                path=f"boss.{boss.name}.height_mm",
                value=round(boss.height_mm + LEAST_MM - min(left) + 0.1, 1),
                what="a higher boss",
            )
            if left
            else None,
        )


RULE = Rule(
    id="wall.boss_floor",
    question="Is there metal between every step of a boss and the passage?",
    limit="1.5 mm on the shortest side; common practice",
    cure="a higher boss, steps less deep",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
