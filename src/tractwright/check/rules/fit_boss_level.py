"""A boss whose side runs into the skin all but level has no root there: no ball goes round it."""

from collections.abc import Iterator

from tractwright.check.boss_facts import is_well_set, opening_deg, standing, subject
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

LEAST_DEG = 12.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss on a runner: the least angle between its side and the skin round its foot. One too wide for its
    runner, or that lies along it, is fit.boss_width's and fit.boss_lean's to say.
    """
    for boss in standing(case):
        if boss.runner and is_well_set(case, boss):
            yield Reading(
                subject=subject(boss),
                measured=opening_deg(case, boss),
                unit="deg",
                at_least=LEAST_DEG,
                at_mm=boss.at_mm,
                message="Its side runs out level into the skin, or its foot hangs over it: less lean, another station, or a "
                "narrower boss.",
            )


RULE = Rule(
    id="fit.boss_level",
    question="Does every boss's side meet the skin at an angle all round?",
    limit="12 deg; below that no root blend goes round it (judgement)",
    cure="less lean, another station, a narrower boss",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
