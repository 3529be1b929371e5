"""Metal under the steps of a boss, before the passage."""

from collections.abc import Iterator
from math import isfinite

from tractwright.check.boss_facts import standing, subject, way_of
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.boss import Boss
from tractwright.design.boss_hole import tip_mm

LEAST_MM = 1.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss with steps or a blind hole: what comes nearest to the passage."""
    for boss in standing(case):
        left = [
            boss.height_mm + way.first_mm - deep
            for wide, deep in _steps(boss)
            if isfinite((way := way_of(case, boss, wide / 2.0)).first_mm)
        ]
        if not _steps(boss):
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


def _steps(boss: Boss) -> tuple[tuple[float, float], ...]:
    """Diameter and depth of everything in it that must not come through: steps, and a blind hole to its point."""
    return (*boss.pocket_mm, (boss.hole_mm, tip_mm(boss))) if boss.blind else boss.pocket_mm


RULE = Rule(
    id="wall.boss_floor",
    question="Is there metal between every step or blind hole of a boss and the passage?",
    limit="1.5 mm on the shortest side; common practice",
    cure="a higher boss, steps less deep",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
