"""A boss's hole comes out into the air inside with its whole width."""

from collections.abc import Iterator
from math import isfinite

from tractwright.check.boss_facts import is_well_set, standing, subject, way_of
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: how far its full width goes past where the last of its rim leaves the metal."""
    for boss in standing(case):
        if boss.blind or not is_well_set(case, boss):
            continue
        way = way_of(case, boss, boss.hole_mm / 2.0)
        comes_out = isfinite(way.all_mm)
        past = boss.hole_depth_mm - boss.height_mm - way.all_mm if comes_out else -boss.hole_mm
        yield Reading(
            subject=subject(boss),
            measured=past,
            unit="mm",
            at_least=0.0,
            at_mm=boss.at_mm,
            message="Its hole does not open into the passage with its whole width: aim it at the middle, or drill deeper.",
            fix=Fix(
                path=f"boss.{boss.name}.hole_depth_mm",
                value=round(boss.height_mm + way.all_mm + 0.5, 1),
                what="a deeper hole",
            )
            if comes_out
            else None,
        )


RULE = Rule(
    id="cut.boss_through",
    question="Does every boss's hole open into the passage with its whole width?",
    limit="the full diameter past the last of its rim",
    cure="a deeper hole, another aim",
    bites_at="cut",
    needs="description",
    source="common_practice",
    judge=judge,
)
