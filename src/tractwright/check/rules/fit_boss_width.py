"""A boss nearly as wide as its runner has no skin left to stand on."""

from collections.abc import Iterator

from tractwright.check.boss_facts import MOST_WIDE, standing, subject, wide_share
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss on a runner: half its foot with the root blend, as a share of the runner's half width there."""
    for boss in standing(case):
        if boss.runner:
            yield Reading(
                subject=subject(boss),
                measured=wide_share(case, boss),
                unit="share of its width",
                at_most=MOST_WIDE,
                at_mm=boss.at_mm,
                message="So wide a boss overhangs its runner: a smaller top, a smaller root, or another thread.",
            )


RULE = Rule(
    id="fit.boss_width",
    question="Is every boss narrow enough for its runner?",
    limit="foot and root within 0.92 of the runner's width; beyond that no root blend goes round it",
    cure="a narrower top, a smaller root radius",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
