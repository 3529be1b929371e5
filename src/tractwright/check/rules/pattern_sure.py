"""Features of a scan that were not read with confidence."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_SURE = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading for the least sure feature of a scan."""
    if case.pattern.measurements:
        least = min(case.pattern.measurements, key=lambda item: item.sure)
        yield Reading(
            subject=f"pattern.{least.what.replace(' ', '_')}",
            measured=least.sure,
            unit="share",
            at_least=_SURE,
            broken="look",
            message="This was read from the scan without much confidence: measure it with callipers, and "
            "state it as [[reading]].",
        )


RULE = Rule(
    id="pattern.sure",
    question="Was every port and hole read from the scan with confidence?",
    limit="0.5 of 1; judgement",
    cure="measure it and put it in the sheet",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
