"""The drill of a boss stops short of the far wall."""

from collections.abc import Iterator
from math import isfinite

from tractwright.check.boss_facts import FAR_MM, standing, subject, way_of
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.boss_hole import tip_mm

LEAST_MM = 2.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: from the drill's point on to the wall across the passage."""
    for boss in standing(case):
        if boss.blind:
            continue
        way = way_of(case, boss, boss.hole_mm / 2.0)
        far = way.far_mm + boss.height_mm - tip_mm(boss) if isfinite(way.far_mm) else FAR_MM
        yield Reading(
            subject=subject(boss),
            measured=min(far, FAR_MM),
            unit="mm",
            at_least=LEAST_MM,
            at_mm=boss.at_mm,
            message="The drill's point reaches the far wall: drill less deep, or lean it so that it crosses more passage.",
            fix=Fix(
                path=f"boss.{boss.name}.hole_depth_mm",
                value=round(boss.hole_depth_mm - LEAST_MM + far, 1),
                what="a hole less deep",
            ),
        )


RULE = Rule(
    id="wall.boss_far",
    question="Does every boss's drill stop short of the far wall of the passage?",
    limit="2 mm before its point; common practice",
    cure="a hole less deep",
    bites_at="wall",
    needs="description",
    source="common_practice",
    judge=judge,
)
