"""Assumed values heavy enough to decide."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.job.assume import assumed_values

_HEAVY = 0.15


def judge(case: Case) -> Iterator[Reading]:
    """One reading: the heaviest assumed value."""
    assumed = assumed_values(case.sheet)
    if assumed:
        heaviest = assumed[0]
        yield Reading(
            subject=f"sheet.{heaviest.key}",
            measured=heaviest.weight,
            unit="share",
            at_most=_HEAVY,
            broken="look",
            message=f"Taken as {heaviest.value} because the sheet is silent: confirm it, it can decide the outcome.",
        )


RULE = Rule(
    id="pattern.assumed",
    question="Does an assumed value decide the outcome?",
    limit="a weight of 0.15; judgement",
    cure="give the value in the sheet",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
