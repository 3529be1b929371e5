"""Full thread in a boss: the passage must not cut into it."""

from collections.abc import Iterator
from math import isfinite

from tractwright.check.boss_facts import standing, subject, way_of
from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.design.boss_hole import step_end, thread_sizes


def judge(case: Case) -> Iterator[Reading]:
    """One reading a threaded boss: metal along the thread on its shortest side, from the top or the last step. Of a blind one
    wall.boss_floor says more.
    """
    for boss in standing(case):
        sizes = thread_sizes(boss)
        if sizes is None or boss.blind:
            continue
        way = way_of(case, boss, sizes.outside_mm)
        metal = boss.height_mm + way.first_mm - step_end(boss) if isfinite(way.first_mm) else None
        yield Reading(
            subject=subject(boss),
            measured=metal,
            unit="mm",
            at_least=boss.thread_mm,
            at_mm=boss.at_mm,
            message="The passage cuts into the thread before it is full: a higher boss, or a smaller thread.",
            fix=Fix(
                path=f"boss.{boss.name}.height_mm",
                value=round(boss.height_mm + boss.thread_mm - (metal or 0.0) + 0.5, 1),
                what="a higher boss",
            )
            if metal is not None
            else None,
        )


RULE = Rule(
    id="join.boss_thread",
    question="Has every thread in a boss its full length of metal?",
    limit="1.5 diameters (common practice), of a taper pipe thread hand-tight and wrench make-up length",
    cure="a higher boss",
    bites_at="join",
    needs="description",
    source="asme_b1_20_1",
    judge=judge,
)
