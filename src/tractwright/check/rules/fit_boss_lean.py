"""A boss that leans too far has no root a cutter can go round."""

from collections.abc import Iterator

from tractwright.check.boss_facts import MOST_LEAN_DEG, lean_deg, standing, subject
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: its axis off the skin's normal."""
    for boss in standing(case):
        yield Reading(
            subject=subject(boss),
            measured=lean_deg(case, boss),
            unit="deg",
            at_most=MOST_LEAN_DEG,
            at_mm=boss.at_mm,
            message="It leans so far that it lies along the runner: another station, or aim it less along the runner.",
        )


RULE = Rule(
    id="fit.boss_lean",
    question="Does no boss lie along its runner?",
    limit="65 deg off square to the skin; common practice",
    cure="another station, less lean",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
