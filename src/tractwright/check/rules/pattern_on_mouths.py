"""What the sheet says of throttle bodies on the mouths counts only where they are there."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.job.fields import key_of_field

_OF_MOUTHS = ("pitch_mm", "body_flange_mm", "trumpet_mm", "bell_mm", "at_mm", "direction")


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each such key that the sheet says."""
    facts = case.sheet.throttle
    for field in _OF_MOUTHS:
        if field in facts.model_fields_set:
            yield Reading(
                subject=f"sheet.throttle.{key_of_field(field)}",
                measured=1.0 if facts.on_mouths else 0.0,
                unit="followed",
                at_least=1.0,
                broken="look",
                message=f'It is told of bodies on the mouths, but the throttle\'s place is {facts.place}: place = "mouths", or '
                "leave it out.",
            )


RULE = Rule(
    id="pattern.on_mouths",
    question="Does everything that the sheet says of throttle bodies on the mouths count?",
    limit="none left out",
    cure='throttle.place = "mouths", or the key out of the sheet',
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
