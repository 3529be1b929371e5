"""Two sources of one feature that differ: stop and ask."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule

_LIMIT_MM = 0.5


def judge(case: Case) -> Iterator[Reading]:
    """One reading for each feature that two sources gave."""
    for item in case.pattern.measurements:
        if item.other_source is not None and item.unit == "mm":
            yield Reading(
                subject=f"pattern.{item.what.replace(' ', '_')}",
                measured=abs(item.value - item.other_source),
                unit="mm",
                at_most=_LIMIT_MM,
                message=f"The {item.source} says {item.value:.2f}, the {item.other} {item.other_source:.2f}: measure it again.",
            )


RULE = Rule(
    id="pattern.sources_agree",
    question="Do all sources agree about ports and screws: scan, gasket, callipers, sheet?",
    limit="0.5 mm between two sources; common practice",
    cure="measure the part again and correct the sheet",
    bites_at="pattern",
    needs="description",
    source="common_practice",
    judge=judge,
)
