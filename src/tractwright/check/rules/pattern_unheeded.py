"""A number held in design.toml that the description cannot follow."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each path that is held and not followed."""
    for path in case.described.unheeded:
        yield Reading(
            subject=path,
            measured=0.0,
            unit="followed",
            at_least=1.0,
            broken="look",
            message="Held in design.toml, but it follows from other numbers or from the sheet: change those instead, or "
            'write is = "solved" here.',
        )


RULE = Rule(
    id="pattern.unheeded",
    question="Does the description follow every number that is held in design.toml?",
    limit="none left out",
    cure="say it in the sheet, hold the numbers it follows from, or let it go",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
