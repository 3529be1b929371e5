"""Bosses keep off neighbouring runners, one another, plenum and foreign flanges."""

from collections.abc import Iterator

from tractwright.check.boss_facts import FAR_MM, elsewhere, standing, subject, to_others
from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.check.measures import words
from tractwright.geometry.frames import vec3

TOUCHING_MM = 1.0


def judge(case: Case) -> Iterator[Reading]:
    """One reading a boss: what stands nearest to its metal."""
    limit = case.sheet.runner.neighbour_gap_mm
    for boss in standing(case):
        gap = to_others(case, boss)
        yield Reading(
            subject=subject(boss, gap.what if gap.mm < limit else ""),
            measured=min(gap.mm, FAR_MM),
            unit="mm",
            at_least=limit,
            broken="look" if gap.mm > TOUCHING_MM else "stop",
            at_mm=vec3(gap.place),
            message=f"No cutter goes between it and {words(gap.what)}: {elsewhere(boss)}.",
        )


RULE = Rule(
    id="fit.boss_neighbours",
    question="Is there room for a cutter between every boss and what stands beside it?",
    limit="runner.neighbour_gap of the sheet a look; under 1 mm, which joins the two, a stop",
    cure="another clock angle, station or place on its wall",
    bites_at="fit",
    needs="description",
    source="common_practice",
    judge=judge,
)
